"""Oxidation numbers: `+2`, `2+`, `-1/2`, in digits or in Roman numerals."""

import re
from dataclasses import dataclass
from fractions import Fraction

from problems import words
from problems.grading import fields
from problems.grading.codes import sentence
from problems.grading.names import drop_name
from problems.grading.numbers import FROM_SUPERSCRIPTS, numbers_at
from problems.grading.typed import UnreadableError, clean, read_or_refuse
from problems.grading.verdict import Verdict
from problems.words import _

KIND = "oxidation_number"
GREATEST = 9
NEAR = Fraction(5, 1000)
"""A mean oxidation number such as 8/3 may be typed as 2.67."""

ROMAN = {"I": 1, "II": 2, "III": 3, "IV": 4, "V": 5, "VI": 6, "VII": 7, "VIII": 8, "IX": 9}
_SINGLE_CHARACTERS = {
    first + place: numeral for place, numeral in enumerate(ROMAN) for first in (ord("Ⅰ"), ord("ⅰ"))
}
_SIGNED = re.compile(r"([+±-]?)\s*(.*?)\s*([+-]?)", re.DOTALL)
_BRACKETED = re.compile(r"\(\s*([^()]*?)\s*\)|\[\s*([^\[\]]*?)\s*\]")


@dataclass(frozen=True, slots=True)
class OxidationKey:
    """The right oxidation number, and those that known mistakes lead to."""

    right: Fraction
    slips: tuple[tuple[str, Fraction], ...] = ()

    @classmethod
    def from_case(cls, case: fields.Case) -> "OxidationKey":
        slips = ((code, _key(text, f"slips.{code}")) for code, text in fields.text_slips(case).items())
        return cls(_key(fields.text(case, "expected"), "expected"), tuple(slips))


def grade_oxidation_number(answer: str, key: OxidationKey) -> Verdict:
    """Judge a typed oxidation number.

    >>> grade_oxidation_number("VI", OxidationKey(Fraction(6))).reading
    '+6'
    """
    return read_or_refuse(answer, lambda typed: _judge(typed.text, key))


def read_oxidation_number(text: str) -> Fraction:
    """The number that is meant; raises UnreadableError for anything else.

    >>> read_oxidation_number("-II"), read_oxidation_number("1/2")
    (Fraction(-2, 1), Fraction(1, 2))
    """
    start = drop_name(text, "")
    bare = text[start:].strip()
    bracketed = _BRACKETED.fullmatch(bare)
    bare = (bracketed[1] or bracketed[2] or "") if bracketed else bare
    match = _SIGNED.fullmatch(bare.translate(_SINGLE_CHARACTERS).translate(FROM_SUPERSCRIPTS))
    size = _size(match[2]) if match else None
    if match is None or size is None or (match[1] and match[3]) or (match[1] == "±" and size):
        raise UnreadableError(_("Write a sign and a number, such as +2 or −1."), start, len(text))
    if size > GREATEST:
        raise UnreadableError(_("An oxidation number lies between −9 and +9."), start, len(text))
    return -size if "-" in (match[1], match[3]) else size


def _size(text: str) -> Fraction | None:
    """The number without its sign: Roman, or in digits."""
    if text.upper() in ROMAN:
        return Fraction(ROMAN[text.upper()])
    numbers, end = numbers_at(text, 0)
    return numbers[0].value if numbers and end == len(text) else None


def _key(text: str, field: str) -> Fraction:
    try:
        return read_oxidation_number(clean(text).text)
    except UnreadableError:
        message = _("The field “{field}” does not read as an oxidation number: “{text}”.")
        raise fields.CaseError(message.format(field=field, text=text)) from None


def _judge(text: str, key: OxidationKey) -> Verdict:
    value = read_oxidation_number(text)
    reading = f"{'+' if value > 0 else ''}{value}".replace("-", words.MINUS)
    code = _code(value, key)
    if not code:
        return Verdict("correct", (), reading, _("Right."))
    return Verdict("wrong", (code,), reading, sentence(KIND, code))


def _code(value: Fraction, key: OxidationKey) -> str:
    if abs(value - key.right) <= NEAR:
        return ""
    slip = next((code for code, wrong in key.slips if abs(value - wrong) <= NEAR), "")
    return slip or ("sign" if abs(value + key.right) <= NEAR else "off_value")
