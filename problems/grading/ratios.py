"""Ratios of two numbers: `2:1`, `2 to 1`, `4:2`, `1:0.5`, or the one number `2`."""

import re
from dataclasses import dataclass
from fractions import Fraction
from itertools import product

from problems.grading import fields
from problems.grading.codes import sentence
from problems.grading.names import drop_name
from problems.grading.numbers import Number, numbers_at
from problems.grading.typed import UnreadableError, clean, read_or_refuse
from problems.grading.verdict import Verdict
from problems.words import _

KIND = "ratio"
TOLERANCE = Fraction(2, 100)
_BETWEEN = re.compile(r"\s*(?::|/|(?:is\s+)?to(?![a-z]))\s*", re.IGNORECASE)
_ONE = Number(Fraction(1), "1")


@dataclass(frozen=True, slots=True)
class Ratio:
    """Two numbers above zero."""

    first: Number
    second: Number

    def __post_init__(self) -> None:
        if self.first.value <= 0 or self.second.value <= 0:
            raise UnreadableError(_("Both parts of a ratio are above zero."), 0)

    @property
    def value(self) -> Fraction:
        return self.first.value / self.second.value

    @property
    def shown(self) -> str:
        return f"{self.first.shown}:{self.second.shown}"

    def equals(self, other: Fraction) -> bool:
        """True within the tolerance, since 1:0.33 is meant as 3:1."""
        return abs(self.value - other) <= TOLERANCE * other


@dataclass(frozen=True, slots=True)
class RatioKey:
    """The right ratio, and the ratios that known mistakes lead to."""

    right: Fraction
    slips: tuple[tuple[str, Fraction], ...] = ()

    def __post_init__(self) -> None:
        if self.right <= 0:
            raise fields.CaseError(_("The key of a ratio is above zero."))

    @classmethod
    def from_case(cls, case: fields.Case) -> "RatioKey":
        slips = ((code, _key(text, f"slips.{code}")) for code, text in fields.text_slips(case).items())
        return cls(_key(fields.text(case, "expected"), "expected"), tuple(slips))


def grade_ratio(answer: str, key: RatioKey) -> Verdict:
    """Judge a typed ratio.

    >>> grade_ratio("1 to 2", RatioKey(Fraction(2))).codes
    ('inverted',)
    """
    return read_or_refuse(answer, lambda typed: _judge(typed.text, key))


def read_ratios(text: str) -> list[Ratio]:
    """The readings of a ratio, the preferred first; raises UnreadableError where there is none."""
    start = drop_name(text, "")
    firsts, end = numbers_at(text, start + len(text[start:]) - len(text[start:].lstrip()))
    if not firsts:
        raise UnreadableError(_("A number is expected here."), start, len(text))
    between = _BETWEEN.match(text, end)
    seconds, end = numbers_at(text, between.end()) if between else ([_ONE], end)
    if not seconds or text[end:].strip():
        raise UnreadableError(_("Write two numbers with a colon between them."), end, len(text))
    return [Ratio(first, second) for first, second in product(firsts, seconds)]


def _key(text: str, field: str) -> Fraction:
    try:
        return read_ratios(clean(text).text)[0].value
    except UnreadableError:
        message = _("The field “{field}” does not read as a ratio: “{text}”.")
        raise fields.CaseError(message.format(field=field, text=text)) from None


def _judge(text: str, key: RatioKey) -> Verdict:
    readings = read_ratios(text)
    ratio = next((reading for reading in readings if reading.equals(key.right)), readings[0])
    code = _code(ratio, key)
    if not code:
        return Verdict("correct", (), ratio.shown, _("Right."))
    return Verdict("wrong", (code,), ratio.shown, sentence(KIND, code))


def _code(ratio: Ratio, key: RatioKey) -> str:
    if ratio.equals(key.right):
        return ""
    slip = next((code for code, value in key.slips if ratio.equals(value)), "")
    return slip or ("inverted" if ratio.equals(1 / key.right) else "off_value")
