"""A typed answer made into its possible readings: numbers with a unit, or without one."""

import re
from dataclasses import dataclass
from fractions import Fraction

from problems.grading.names import drop_name
from problems.grading.numbers import numbers_at
from problems.grading.quantities.key import QuantityKey, Value
from problems.grading.quantities.tail import read_tail
from problems.grading.quantities.units import Named
from problems.grading.typed import UnreadableError
from problems.words import _

_ABOUT = re.compile(
    r"\s*(?:=|~|≈|(?:ca\.?|circa|about|approx\.?|approximately)(?![A-Za-z]))?\s*", re.IGNORECASE
)
_SIGN = re.compile(r"([+-]?)\s*")
_TIMES = re.compile(r"\s*(?:[*·×]\s*(?=[A-Za-zµΩ°]))?")
_RANGE = re.compile(r"[+±-]|to\b|till\b|or\b|\.\.|…")
_DIGITS = re.compile(r"[0-9.,*×xX/^=']")


@dataclass(frozen=True, slots=True)
class Reading:
    """One way to read an answer; `bare` where no unit was typed.

    The unit stands from `unit_start` to `unit_end` in the cleaned text, the sign at `sign_start`.
    """

    value: Value
    bare: bool
    sign_start: int
    unit_start: int
    unit_end: int

    @property
    def shown(self) -> str:
        """How the answer was understood: 2.24 × 10⁻² L."""
        unit = "" if self.bare else self.value.named.shown
        if unit in ("pH", "pOH"):
            return f"{unit} {self.value.number.shown}"
        return f"{self.value.number.shown} {unit}".strip()


def readings(text: str, key: QuantityKey) -> list[Reading]:
    """All readings of an answer, the preferred first; raises UnreadableError where there is none."""
    sign_start, place, negative = _front(text, key)
    text = text[:place] + text[place:].replace("~", " ")
    numbers, end = numbers_at(text, place)
    if not numbers:
        raise UnreadableError(_("A number is expected here."), place, len(text))
    if negative:
        numbers = [number.negated() for number in numbers]
    unit_start = _after(_TIMES, text, end)
    places = (sign_start, unit_start, len(text))
    bare = unit_start >= len(text)
    named = key.unit if bare else _unit(text, unit_start, key)
    scales = _scales(key, named, bare)
    values = (Value(number.times(scale), named) for number in numbers for scale in scales)
    return [Reading(value, bare, *places) for value in values]


def _scales(key: QuantityKey, named: Named, bare: bool) -> list[Fraction]:
    """What a typed number may have to be multiplied by: of a share, 85 and 0.85 may mean the same."""
    scales = [Fraction(1)]
    if key.is_share and bare:
        scales.append(Fraction(100))
    if key.may_be_fraction and named.shown == "%":
        scales.append(Fraction(1, 100))
    return scales


def _front(text: str, key: QuantityKey) -> tuple[int, int, bool]:
    """What stands before the digits: where the sign is, where the digits begin, and if it is a minus."""
    place = _after(_ABOUT, text, drop_name(text, key.asked))
    if key.is_ph:
        place = _after(re.compile(rf"(?:{key.unit.shown}[ :]*)?", re.IGNORECASE), text, place)
    return place, _after(_SIGN, text, place), text.startswith("-", place)


def _after(pattern: re.Pattern[str], text: str, start: int) -> int:
    match = pattern.match(text, start)
    return match.end() if match else start


def _unit(text: str, start: int, key: QuantityKey) -> Named:
    tail = read_tail(text[start:], key.wanted)
    if tail:
        return tail.named
    rest = text[start:]
    if _RANGE.match(rest):
        raise UnreadableError(_("Write one value, not a range or a sum."), start, len(text))
    if _DIGITS.match(rest):
        raise UnreadableError(_("Write one number and one unit; here it goes on."), start, len(text))
    raise UnreadableError(_("“{unit}” is not a known unit.").format(unit=rest[:40]), start, len(text))
