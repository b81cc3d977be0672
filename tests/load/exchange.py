"""What an exchange costs the workers, beside bare views that write the same two rows.

An exchange is an answer with its feedback (session and person read, the text read and graded, the answer,
the strength and the day written, the question shown as it stands) and the next question (chosen, made,
stored, shown): two requests of a signed-in student through every middleware. A bare view is one. The first
is for who is signed in, behind the site's own middleware, as every view of a site is; the other knows nobody
and has no middleware to speak of. Rounds alternate, so that whatever else the machine does meets all alike.
"""

from __future__ import annotations

import asyncio
import time
import uuid
from collections.abc import Awaitable, Iterable, Iterator
from typing import Any

from django.conf import settings
from django.contrib.auth import login
from django.http import HttpRequest
from django.utils import timezone

from accounts.models import User
from accounts.sessions import SessionStore
from problems.generators.setups import SHOWCASE
from quizzes import runs, steering
from quizzes.models import Strength
from tests.load.browser import Browser
from tests.load.figures import Figures
from tests.load.served import Served
from tests.load.student import Student

AT_ONCE = 4
BARE, NOBODYS = "bare view", "bare view for nobody"
TOKEN = "t" * 32


class Meter:
    """Processor time of the workers and number of requests, by kind."""

    def __init__(self) -> None:
        self.used: dict[str, float] = {}
        self.number: dict[str, int] = {}

    async def round(self, kind: str, served: Served, requests: Iterable[Awaitable[Any]]) -> None:
        before = served.processor_time()
        self.number[kind] = self.number.get(kind, 0) + len(await few_at_once(requests))
        self.used[kind] = self.used.get(kind, 0.0) + served.processor_time() - before

    def each(self, kind: str) -> float:
        """Of one request [ms]."""
        return 1000 * self.used[kind] / self.number[kind]


async def few_at_once(requests: Iterable[Awaitable[Any]]) -> list[Any]:
    gate = asyncio.Semaphore(AT_ONCE)

    async def through(request: Awaitable[Any]) -> Any:
        async with gate:
            return await request

    return await asyncio.gather(*(through(each) for each in requests))


async def measure(
    site: Served,
    bare: Served,
    nobodys: Served,
    students: list[Student],
    rows: list[dict[str, str]],
    rounds: int,
) -> dict[str, Any]:
    """`rows` name a student with a session and a question for each bare request of a round."""
    meter, browsers = Meter(), [Browser(nobodys.port) for _ in rows]
    signed_in = [_signed_in(bare.port, row) for row in rows]
    begun = time.monotonic()
    for number in range(rounds + 1):
        if number == 1:  # the first round only warms up
            meter = Meter()
        await _round(meter, site, students)
        await meter.round(NOBODYS, nobodys, _posts("/two-rows/", browsers, rows))
        await meter.round(BARE, bare, _posts("/own-two-rows/", signed_in, rows))
    return _report(meter, time.monotonic() - begun, students[0].figures)


async def _round(meter: Meter, site: Served, students: list[Student]) -> None:
    waiting = students
    while waiting:
        await meter.round("answer", site, [each.answer() for each in waiting])
        waiting = [each for each in waiting if each.open]
    await meter.round("next question", site, [each.go_on() for each in students if not each.is_last])
    await few_at_once(each.go_on() for each in students if each.is_last)


def bare_rows(names: list[str]) -> list[dict[str, str]]:
    """A question of each of a few students of their own: the two servers never wait for each other."""
    people = [User(username=f"bare-{name}", display_name=name) for name in names]
    rows = []
    for person in User.objects.bulk_create(people):
        known = steering.current()
        state = steering.belief_of(None, known.parameters).to_bytes()
        Strength.objects.create(student=person, state=state)
        question = runs.next_question(runs.start_run(person, timezone.now(), SHOWCASE), timezone.now())
        assert question is not None
        session = _session_of(person)
        rows.append({"student": str(person.pk), "question": str(question.pk), "session": session})
    return rows


def _session_of(person: User) -> str:
    request = HttpRequest()
    request.session = SessionStore()
    login(request, person)
    request.session.save()
    return str(request.session.session_key)


def _signed_in(port: int, row: dict[str, str]) -> Browser:
    browser = Browser(port)
    browser.cookies = {settings.SESSION_COOKIE_NAME: row["session"], settings.CSRF_COOKIE_NAME: TOKEN}
    return browser


def _posts(path: str, browsers: list[Browser], rows: list[dict[str, str]]) -> Iterator[Awaitable[None]]:
    return (_bare(browser, path, row) for browser, row in zip(browsers, rows, strict=True))


async def _bare(browser: Browser, path: str, row: dict[str, str]) -> None:
    fields = {**row, "token": str(uuid.uuid4()), "answer": "2 H2O -> 2 H2 + O2"}
    page = await browser.post(path, fields)
    assert page.body == "<p>Taken.</p>", page


def _report(meter: Meter, seconds: float, figures: Figures) -> dict[str, Any]:
    kinds = ("answer", "next question", BARE, NOBODYS)
    each = {kind: round(meter.each(kind), 2) for kind in kinds}
    exchange = meter.each("answer") + meter.each("next question")
    return {
        "processor_ms": each,
        "number": meter.number,
        "ratio": round(exchange / meter.each(BARE), 2),
        "ratio_to_nobodys": round(exchange / meter.each(NOBODYS), 2),
        "seconds": round(seconds, 1),
        **figures.report(),
    }
