"""A class that presses Enter in the same second, and a school that practises for some minutes."""

from __future__ import annotations

import asyncio
import time
from random import Random
from typing import Any

from tests.load.browser import Browser, LostError
from tests.load.exchange import few_at_once
from tests.load.figures import Figures
from tests.load.school import PASSWORD, first_class
from tests.load.served import Served
from tests.load.student import Student

LOOKS_EVERY = 10  # s, the teacher's page


async def sign_in_all(names: list[str], site: Served) -> tuple[list[Student], Figures]:
    figures = Figures()
    students = [Student(name, site.port, figures) for name in names]
    await few_at_once(each.sign_in() for each in students)
    await few_at_once(each.begin() for each in students)
    if figures.errors:
        raise RuntimeError(f"Not everybody could begin: {figures.errors[0]}")
    return students, figures


async def at_once(names: list[str], site: Served, times: int) -> dict[str, Any]:
    """Everybody's answer in the same instant, `times` times with a next question between."""
    students, figures = await sign_in_all(names, site)
    begun, used = time.monotonic(), site.processor_time()
    for _ in range(times):
        await asyncio.gather(*(each.answer() for each in students))
        await few_at_once(each.go_on() for each in students if each.open is None)
    return _report(figures, site, time.monotonic() - begun, site.processor_time() - used)


async def school(names: list[str], site: Served, seconds: float, every: float) -> dict[str, Any]:
    """Each student answers every so many seconds, after live readings; the teacher watches a class."""
    students, figures = await sign_in_all(names, site)
    figures.times.clear()
    begun, used = time.monotonic(), site.processor_time()
    end = begun + seconds
    work = [_practise(each, end, every) for each in students]
    await asyncio.gather(*work, _watch(site.port, end, figures))
    return _report(figures, site, time.monotonic() - begun, site.processor_time() - used)


async def soak(names: list[str], site: Served, answers: int) -> dict[str, Any]:
    """So many answers as fast as they go; the memory of the workers at ten moments."""
    students, figures = await sign_in_all(names, site)
    begun, used = time.monotonic(), site.processor_time()
    memory = []
    for tenth in range(1, 11):
        while len(figures.times.get("answer", ())) < answers * tenth / 10:
            await few_at_once(_answer_and_go_on(each) for each in students)
        memory.append([round(each, 1) for each in site.memory()])
    found = _report(figures, site, time.monotonic() - begun, site.processor_time() - used)
    return {**found, "memory_over_time_mb": memory}


async def _answer_and_go_on(student: Student) -> None:
    await student.answer(right=student.rng.random() < 0.9)
    if student.open is None:
        await student.go_on()


async def _practise(student: Student, end: float, every: float) -> None:
    due = time.monotonic() + student.rng.uniform(0, every)
    while due < end:
        await asyncio.sleep(max(due - time.monotonic(), 0))
        try:
            await _one_answer(student, every)
        except LostError as error:
            student.figures.errors.append(str(error))
        due += every


async def _one_answer(student: Student, every: float) -> None:
    if student.open is None:
        await student.go_on()
    await student.type(readings=3)
    if student.rng.random() < 0.25:
        await student.hint()
    await asyncio.sleep(student.rng.uniform(0, every / 4))
    await student.answer(right=student.rng.random() < 0.9)


async def _watch(port: int, end: float, figures: Figures) -> None:
    browser = Browser(port)
    await browser.get("/account/sign-in/")
    await browser.post("/account/sign-in/", {"username": "vera", "password": PASSWORD})
    path = f"/classes/{first_class()}/"
    while time.monotonic() < end:
        begun = time.perf_counter()
        page = await browser.get(path)
        figures.note("class page", time.perf_counter() - begun)
        if page.status != 200 or "Student 1" not in page.body:
            figures.errors.append(f"class page: {page.status} {page.body[:200]!r}")
        await asyncio.sleep(Random(port).uniform(0.9, 1.1) * LOOKS_EVERY)


def _report(figures: Figures, site: Served, seconds: float, used: float) -> dict[str, Any]:
    answers = len(figures.times["answer"])
    return {
        **figures.report(),
        "seconds": round(seconds, 1),
        "answers_per_second": round(answers / seconds, 2),
        "processor_seconds": round(used, 2),
        "memory_mb": [round(each) for each in site.memory()],
    }
