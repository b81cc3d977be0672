"""Answers while workers and the database are killed: what got its feedback is there, exactly once.

In waves everybody submits at the same time. Into a wave falls a kill, while at least twenty submits are
in flight: every worker by SIGKILL or, on PostgreSQL in turn with that, the database by an immediate stop.
What was not acknowledged is sent again with its token until it is.
"""

from __future__ import annotations

import asyncio
import uuid
from collections import Counter
from contextlib import suppress
from dataclasses import dataclass, field
from random import Random
from typing import Any

from quizzes.models import Answer, Strength
from quizzes.recompute import recompute
from tests.load.browser import LostError
from tests.load.database import Postgresql, Sqlite
from tests.load.scenes import sign_in_all
from tests.load.served import Served
from tests.load.student import Student

AT_LEAST_IN_FLIGHT = 20
PAUSE = 0.2  # s before a submit is sent again


@dataclass
class Count:
    """What the students know: which of their submits got feedback, and how many are on their way."""

    acknowledged: list[tuple[str, uuid.UUID]] = field(default_factory=list)
    in_flight: int = 0
    resent: int = 0


async def run(
    names: list[str], site: Served, database: Sqlite | Postgresql, answers: int, kills: int
) -> dict[str, Any]:
    students, _ = await sign_in_all(names, site)
    count, rng, done = Count(), Random("kills"), 0
    caught: list[int] = []
    while len(count.acknowledged) < answers or done < kills:
        await asyncio.gather(*(_until_open(each) for each in students))
        wave = asyncio.gather(*(_submit(each, count) for each in students))
        share = len(count.acknowledged) / answers
        if done < kills and share >= done / kills:
            at_kill = await _kill(site, database, count, rng, done)
            caught += [at_kill] if at_kill >= AT_LEAST_IN_FLIGHT else []
            done = len(caught)
        await wave
    return {"kills": done, "in_flight": caught, "resent": count.resent, **compare(count.acknowledged)}


async def _submit(student: Student, count: Count) -> None:
    """One answer, sent until its feedback is there."""
    token = uuid.uuid4()
    count.in_flight += 1
    while not await _acknowledged(student, token):
        count.resent += 1
        await asyncio.sleep(PAUSE)
    count.in_flight -= 1
    count.acknowledged.append((student.name, token))


async def _acknowledged(student: Student, token: uuid.UUID) -> bool:
    try:
        return await student.answer(token=token)
    except LostError:
        return False


async def _until_open(student: Student) -> None:
    """A question to answer, however often it has to be asked for."""
    while student.open is None:
        with suppress(LostError):
            await (student.go_on() if student.next else student.begin())
        if student.open is None:
            await asyncio.sleep(PAUSE)


async def _kill(site: Served, database: Sqlite | Postgresql, count: Count, rng: Random, number: int) -> int:
    """How many submits were in flight at the kill."""
    await asyncio.sleep(rng.uniform(0, 0.06))
    in_flight = count.in_flight
    if number % 2 and isinstance(database, Postgresql):
        await asyncio.to_thread(database.kill)
        await asyncio.to_thread(database.start)
    else:
        for place in range(len(site.workers())):
            site.kill_a_worker(place)
    return in_flight


def compare(acknowledged: list[tuple[str, uuid.UUID]]) -> dict[str, Any]:
    """The acknowledged answers beside the rows, each student's numbers, and strengths beside `recompute`."""
    stored = Counter(Answer.objects.order_by().values_list("student__username", "token"))
    rows = Strength.objects.select_related("student")
    return {
        "acknowledged": len(acknowledged),
        "lost": sum(stored[each] == 0 for each in acknowledged),
        "doubled": sum(number > 1 for number in stored.values()),
        "never_sent": len(stored.keys() - set(acknowledged)),
        "wrongly_numbered": sum(_numbers(row) != list(range(1, row.numbered + 1)) for row in rows),
        "strength_differs": sum(recompute(row.student) for row in rows),
    }


def _numbers(row: Strength) -> list[int]:
    answers = Answer.objects.filter(student=row.student).order_by("number")
    return list(answers.values_list("number", flat=True))
