"""A student at work. Whatever a page must say is looked for in it; what is missing is noted as an error."""

from __future__ import annotations

import re
import time
import uuid
from dataclasses import dataclass
from random import Random

from tests.load.browser import Browser, Fields, Page
from tests.load.figures import Figures
from tests.load.school import PASSWORD, keys_of

FORM = re.compile(r'action="/questions/([0-9a-f-]{36})/answer/".*?name="part" value="(\d+)"', re.DOTALL)
NEXT = re.compile(r'hx-post="(/runs/[0-9a-f-]{36}/next/)"')
UNREADABLE = "-> ("


@dataclass(frozen=True, slots=True)
class Open:
    """The part of a question whose box is open."""

    question: str
    part: int

    @property
    def path(self) -> str:
        return f"/questions/{self.question}"


class Student:
    def __init__(self, name: str, port: int, figures: Figures) -> None:
        self.name = name
        self.browser = Browser(port)
        self.figures = figures
        self.rng = Random(name)
        self.open: Open | None = None
        self.next = ""
        self.is_last = False

    async def sign_in(self) -> None:
        await self.browser.get("/account/sign-in/")
        given = {"username": self.name, "password": PASSWORD}
        page = await self.timed("sign in", "/account/sign-in/", given)
        self._expect(page.status in (200, 302) and "session" in self.browser.cookies, "sign in", page)

    async def begin(self) -> None:
        """A new run with its first question."""
        page = await self.timed("begin a run", "/runs/", {})
        path = page.headers.get("location", "")
        begun = page.status == 302 and path.startswith("/runs/")
        self._expect(begun, "begin a run", page)
        if begun:
            self.next, self.open = f"{path}next/", None
            await self.go_on()

    async def go_on(self) -> None:
        """The next question, or a new run after the last one."""
        page = await self.timed("next question", self.next, {})
        if page.status == 200:
            self._look(page)
        if page.status == 200 and self.open is None and not self.next:
            self._expect('id="question"' in page.body, "summary", page)
            await self.begin()
        else:
            self._expect(self.open is not None, "next question", page)

    async def answer(self, right: bool = True, token: uuid.UUID | None = None) -> bool:
        """Answer the open part, rightly or, where a text is typed, with something unreadable.

        True where the page holds the feedback that this answer must have.
        """
        assert self.open is not None
        part, (choice, key) = self.open.part, (await keys_of(self.open.question))[self.open.part]
        right = right or choice
        fields = _fields(self.open, choice, key if right else UNREADABLE, token or uuid.uuid4())
        page = await self.timed("answer", f"{self.open.path}/answer/", fields)
        said = "correct" if right else "unreadable"
        has_feedback = f'class="feedback {said}" id="feedback-{part}"' in page.body
        self._expect(has_feedback, f"feedback {said}", page)
        if has_feedback:
            self._look(page)
        return has_feedback

    async def type(self, readings: int) -> None:
        """Type the key with a live reading now and then."""
        assert self.open is not None
        choice, key = (await keys_of(self.open.question))[self.open.part]
        if choice or not isinstance(key, str):
            return
        for place in range(1, readings + 1):
            typed = key[: max(len(key) * place // readings, 1)]
            given = {"part": str(self.open.part), "answer": typed}
            page = await self.timed("live reading", f"{self.open.path}/reading/", given)
        self._expect(page.status == 200 and "Read as" in page.body, "live reading", page)

    async def hint(self) -> None:
        assert self.open is not None
        page = await self.timed("hint", f"{self.open.path}/hint/", {})
        self._expect(page.status == 200 and 'class="hints"' in page.body, "hint", page)

    async def timed(self, kind: str, path: str, fields: Fields) -> Page:
        begun = time.perf_counter()
        page = await self.browser.post(path, fields)
        self.figures.note(kind, time.perf_counter() - begun)
        return page

    def _look(self, page: Page) -> None:
        form, following = FORM.search(page.body), NEXT.search(page.body)
        self.open = Open(form[1], int(form[2])) if form else None
        self.next = following[1] if following else ""
        self.is_last = "Finish the run" in page.body

    def _expect(self, holds: bool, what: str, page: Page) -> None:
        if not holds:
            self.figures.errors.append(f"{what}: {page.status} {page.body[:200]!r}")


def _fields(at: Open, choice: bool, typed: str | list[str], token: uuid.UUID) -> Fields:
    return {"part": str(at.part), "token": str(token), "option" if choice else "answer": typed}
