"""A typed answer made into its possible readings: numbers with a unit, or without one."""

import re
from dataclasses import dataclass

from problems.grading.names import drop_name
from problems.grading.numbers import Number, numbers_at
from problems.grading.quantities.key import QuantityKey, Value
from problems.grading.quantities.tail import read_tail
from problems.grading.quantities.units import Named
from problems.grading.typed import UnreadableError
from problems.words import _

_ABOUT = re.compile(
    r"\s*(?:=|~|≈|(?:ca\.?|circa|about|approx\.?|approximately)(?![A-Za-z]))?\s*", re.IGNORECASE
)
_SIGN = re.compile(r"([+-]?)\s*")
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
    unit_start = end + len(text[end:]) - len(text[end:].lstrip())
    places = (sign_start, unit_start, len(text))
    if unit_start >= len(text):
        return [Reading(value, True, *places) for number in numbers for value in _bare_values(number, key)]
    named = _unit(text, unit_start, key)
    return [Reading(Value(number, named), False, *places) for number in numbers]


def _front(text: str, key: QuantityKey) -> tuple[int, int, bool]:
    """What stands before the digits: where the sign is, where the digits begin, and if it is a minus."""
    place = _after(_ABOUT, text, drop_name(text, key.asked))
    if key.is_ph:
        place = _after(re.compile(rf"(?:{key.unit.shown}[ :]*)?", re.IGNORECASE), text, place)
    return place, _after(_SIGN, text, place), text.startswith("-", place)


def _after(pattern: re.Pattern[str], text: str, start: int) -> int:
    match = pattern.match(text, start)
    return match.end() if match else start


def _bare_values(number: Number, key: QuantityKey) -> list[Value]:
    """A number without a unit has the asked one; of a share, 12 and 0.12 may mean the same."""
    asked = Value(number, key.unit)
    if not key.is_share:
        return [asked]
    whole = Number(number.value * 100, number.digits, number.power, number.figures)
    return [asked, Value(whole, key.unit)]


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
