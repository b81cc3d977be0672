"""What stands on paper beside a question: working space, marks, and the answer in words."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from problems import words
from problems.generators import say
from problems.question import Kind, Part, Question
from quizzes.lesson.versions import says_more

LINES: dict[str, int] = {
    "equation": 2,
    "formula": 1,
    "quantity": 6,
    "expression": 4,
    "ratio": 2,
    "oxidation_number": 1,
    "choice": 0,
}
"""Lines of working space by kind of answer."""
NUDGE = 1e-7
"""Less than any figure that is kept, enough to leave the middle between two."""
FORMULAS: frozenset[Kind] = frozenset({"equation", "formula"})


@dataclass(frozen=True, slots=True)
class PaperPart:
    """One thing asked, on paper; `marks` says in words what each mark is for."""

    letter: str
    part: Part
    lines: range
    marks: Sequence[str]
    answer: str


@dataclass(frozen=True, slots=True)
class PaperQuestion:
    """A question on paper; `lead` is what it says beyond the head of the sheet."""

    number: int
    question: Question
    lead: str
    parts: Sequence[PaperPart]

    @property
    def marks(self) -> int:
        return sum(len(part.marks) for part in self.parts)

    @property
    def is_long(self) -> bool:
        """Too long to be kept on one page."""
        return len(self.parts) > 3


def paper_question(number: int, question: Question) -> PaperQuestion:
    several = len(question.parts) > 1
    parts = [
        _part(chr(ord("a") + place) if several else "", part) for place, part in enumerate(question.parts)
    ]
    return PaperQuestion(number, question, says_more(question), parts)


def _part(letter: str, part: Part) -> PaperPart:
    marks = [*marks_for(part)]
    return PaperPart(letter, part, range(LINES[part.grading["kind"]]), marks, answer_in_words(part))


def marks_for(part: Part) -> Sequence[str]:
    """What each mark of a part is given for."""
    kind = part.grading["kind"]
    if kind == "equation":
        return (
            _("the right substances on each side"),
            _("every element balanced"),
            _("charge balanced, whole numbers without a common factor"),
        )
    if kind == "quantity":
        way = _("a way that leads to the result, from an earlier result that may be wrong")
        if not part.carries:
            way = _("a way that leads to the result")
        return way, *_of_number(part)
    if kind == "expression":
        return _("the right quantities in it"), _("put together rightly")
    if kind == "choice" and part.several:
        return _several(part)
    return (_("the right answer"),)


def _of_number(part: Part) -> Sequence[str]:
    if " " in part.grading["expected"]:
        return _("the right number"), _("the right unit")
    return (_("the right number"),)


def _several(part: Part) -> Sequence[str]:
    right = len(part.grading["expected"])
    sentence = ngettext(
        "the right option and no wrong one", "all %(number)d right options and no wrong one", right
    )
    return (sentence % {"number": right},)


def answer_in_words(part: Part) -> str:
    """The answer as a reader writes it."""
    expected = part.grading["expected"]
    if part.options:
        return "; ".join(option.text for option in part.options if not option.why_wrong)
    if part.grading["kind"] == "quantity":
        tries = [*_roundings(expected, part.grading.get("figures", 3))]
        worked = " ".join(part.solution)
        return next((text for text in tries if _stands_in(text, worked)), tries[0])
    return say.uni(expected) if part.grading["kind"] in FORMULAS else str(expected)


def _roundings(expected: str, figures: int) -> Iterator[str]:
    """The ways to write a key, the usual first. A key has one figure more than is shown; where that is a
    five, or more or fewer are shown, the worked solution, which is rounded once, tells which it is."""
    text, _space, unit = expected.partition(" ")
    value = float(text)
    for more in (0, 1):
        for near in (value, value * (1 - NUDGE), value * (1 + NUDGE)):
            if unit:
                yield say.quantity(near, unit.replace("^-1", "⁻¹"), figures + more)
            else:
                yield words.decimals(near, 2 - more)


def _stands_in(text: str, worked: str) -> bool:
    return re.search(rf"(?<![\d.,]){re.escape(text)}(?!\d)", worked) is not None
