"""The codes: what can be found in an answer, by kind of answer and in order of weight.

The table is `problems/data/codes.toml`. A slip is a known mistake of one question, with a code of its
own; it is always wrong and weighs more than every other wrong code.
"""

import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any

from problems.grading.verdict import SCORES, Judgement
from problems.words import _

TABLE = Path(__file__).parents[1] / "data" / "codes.toml"
SLIPS = Path(__file__).parents[1] / "data" / "slips.toml"
BY_WEIGHT: tuple[Judgement, ...] = ("unreadable", "wrong", "partly", "correct")


@dataclass(frozen=True, slots=True)
class Code:
    """One code of one kind of answer, with its plain-language entry.

    `example` is an answer that gets the code where the right one is `right`, with the further fields
    of the grading case in `case`.
    """

    kind: str
    code: str
    verdict: Judgement
    title: str
    means: str
    example: str
    right: str
    case: Mapping[str, Any] = field(default_factory=dict)

    def __post_init__(self) -> None:
        if self.verdict not in SCORES:
            raise ValueError(f"The code {self.code} has the verdict “{self.verdict}”, which is none.")
        if not (self.code and self.title and self.means and self.right):
            raise ValueError(f"The entry of the code {self.code} is not complete.")

    @property
    def sentence(self) -> str:
        """What the code means, in the reader's language."""
        return _(self.means)

    @property
    def heading(self) -> str:
        return _(self.title)


@cache
def codes(kind: str) -> tuple[Code, ...]:
    """The codes of a kind of answer, the most important first.

    >>> [code.code for code in codes("ratio")]
    ['unreadable', 'inverted', 'off_value']
    """
    rows = tomllib.loads(TABLE.read_text(encoding="utf-8"))
    return tuple(Code(kind=kind, **row) for row in rows[kind])


@cache
def _by_name(kind: str) -> dict[str, tuple[int, Code]]:
    return {code.code: (rank, code) for rank, code in enumerate(codes(kind))}


@cache
def _slips() -> dict[str, str]:
    """The sentences of known slips by code."""
    return tomllib.loads(SLIPS.read_text(encoding="utf-8"))


def entry(kind: str, code: str) -> Code | None:
    """The entry of a code, or None for the code of a slip."""
    found = _by_name(kind).get(code)
    return found[1] if found else None


def sentence(kind: str, code: str) -> str:
    """What a code says to the student: of the code's entry, or of the slip's."""
    known = entry(kind, code)
    if known:
        return known.sentence
    if code in _slips():
        return _(_slips()[code])
    return _("This is the result of a known mistake: {slip}.").format(slip=code.replace("_", " "))


def worst(kind: str, found: Iterable[str]) -> Judgement:
    """The verdict on an answer with these codes: the worst of theirs; a slip is wrong.

    >>> worst("quantity", ["unit_missing", "figures"])
    'partly'
    """
    verdicts = {known.verdict if (known := entry(kind, code)) else "wrong" for code in found}
    return next((judgement for judgement in BY_WEIGHT if judgement in verdicts), "correct")


def ordered(kind: str, found: Iterable[str]) -> tuple[str, ...]:
    """The codes once each, the most important first.

    >>> ordered("quantity", ["unit_missing", "forgot_to_halve"])
    ('forgot_to_halve', 'unit_missing')
    """
    ranks = _by_name(kind)
    first_wrong = min(rank for rank, code in ranks.values() if code.verdict == "wrong")
    return tuple(
        sorted(dict.fromkeys(found), key=lambda code: ranks[code][0] if code in ranks else first_wrong - 0.5)
    )
