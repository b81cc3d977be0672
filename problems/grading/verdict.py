"""`Verdict`: how one typed answer was judged, the same type for every kind of answer."""

from dataclasses import dataclass
from typing import Literal

Judgement = Literal["correct", "partly", "wrong", "unreadable"]

SCORES: dict[str, float | None] = {"correct": 1, "partly": 0.5, "wrong": 0, "unreadable": None}


@dataclass(frozen=True, slots=True)
class Verdict:
    """A judgement with what was found, most important first, and a message to act on.

    `position` and `length` point into the answer as typed [code points, from 0].
    """

    verdict: Judgement
    codes: tuple[str, ...] = ()
    reading: str | None = None
    message: str = ""
    position: int | None = None
    length: int | None = None

    def __post_init__(self) -> None:
        if self.verdict == "unreadable" and (len(self.codes) != 1 or self.reading is not None):
            raise ValueError("An unreadable answer has one code alone and no reading.")

    @property
    def score(self) -> float | None:
        """1, 0.5 or 0; None for an unreadable answer, which never counts as an attempt."""
        return SCORES[self.verdict]

    @property
    def counts(self) -> bool:
        return self.verdict != "unreadable"
