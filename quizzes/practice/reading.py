"""The live reading under an answer box: how the grader understands the text, never the verdict.

It knows the ions of the setup and the known ions, but not the key: other kinds than equations and
formulas are read against a blank key of the same unit or symbols.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from problems.chemistry.formula import Formula
from problems.chemistry.reading import ReadingError, live_readings, live_species
from problems.grading.case import grade
from quizzes.models import Question

BLANK = {"ratio": "1:1", "oxidation_number": "+1", "expression": "1"}


@dataclass(frozen=True, slots=True)
class Reading:
    """A text as understood, the other way it can be understood, or why it cannot."""

    text: str = ""
    other: str = ""
    problem: str = ""


def live_reading(question: Question, part: int, typed: str) -> Reading:
    """How `typed` reads so far as an answer to one part."""
    return read_typed(question.snapshot.parts[part].grading, typed, question.run.setup.row.ions)


def read_typed(grading: Mapping[str, Any], typed: str, ions: Iterable[Formula] = ()) -> Reading:
    """How `typed` reads as such a kind of answer, where these ions are about."""
    if not typed.strip():
        return Reading()
    if grading["kind"] in ("equation", "formula"):
        return _chemical(grading["kind"], typed, ions)
    verdict = grade({**_blank(grading), "id": "", "answer": typed})
    return Reading(verdict.reading) if verdict.reading else Reading(problem=verdict.message)


def _chemical(kind: str, typed: str, ions: Iterable[Formula]) -> Reading:
    try:
        if kind == "formula":
            return Reading(*live_species(typed, ions))
        return Reading(*live_readings(typed, ions))
    except ReadingError as fault:
        return Reading(problem=str(fault))


def _blank(grading: Mapping[str, Any]) -> dict[str, Any]:
    """The grading of a part with its key taken out."""
    kept = {name: grading[name] for name in ("kind", "unit", "symbols", "asked") if name in grading}
    unit = grading.get("unit") or str(grading["expected"]).partition(" ")[2]
    return {**kept, "expected": BLANK.get(grading["kind"], f"1 {unit}".strip())}
