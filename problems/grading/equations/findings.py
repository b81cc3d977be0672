"""`Finding`: one thing found in an answer, with its sentence and place."""

from typing import NamedTuple

from problems.chemistry.reading import ReadSpecies


class Finding(NamedTuple):
    """A code of the grading rules, what to say to the student, and where the fault was typed."""

    code: str
    sentence: str
    place: ReadSpecies | None = None
