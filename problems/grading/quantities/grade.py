"""`grade_quantity`: a typed quantity becomes a verdict."""

from problems.chemistry.reading.normal import Typed
from problems.grading.codes import sentence, worst
from problems.grading.quantities.judging import codes_of, is_right, matching_slip
from problems.grading.quantities.key import QuantityKey
from problems.grading.quantities.reading import Reading, readings
from problems.grading.quantities.units import measured
from problems.grading.typed import read_or_refuse
from problems.grading.verdict import Verdict
from problems.words import _

KIND = "quantity"


def grade_quantity(answer: str, key: QuantityKey) -> Verdict:
    """Judge what was typed.

    >>> key = QuantityKey.from_case({"expected": "22.4 mL"})
    >>> grade_quantity("0,0224 L", key).verdict, grade_quantity("22.4", key).codes
    ('correct', ('unit_missing',))
    """
    return read_or_refuse(answer, lambda typed: _judge(typed, key))


def _judge(typed: Typed, key: QuantityKey) -> Verdict:
    judged = [(reading, codes_of(reading, key)) for reading in readings(typed.text, key)]
    reading, codes = _best(judged)
    position, length = _place(typed, reading, codes)
    slip = bool(codes) and codes[0] == matching_slip(reading.value, key)
    verdict = "wrong" if slip else worst(KIND, codes)
    return Verdict(verdict, codes, reading.shown, _message(reading, codes, key), position, length)


def _best(judged: list[tuple[Reading, tuple[str, ...]]]) -> tuple[Reading, tuple[str, ...]]:
    """The preferred reading, or another where only that one is right, or at least near."""
    for near_enough in (is_right, lambda codes: is_right(codes) or "rounding" in codes):
        for reading, codes in judged:
            if near_enough(codes):
                return reading, codes
    return judged[0]


def _place(typed: Typed, reading: Reading, codes: tuple[str, ...]) -> tuple[int | None, int | None]:
    """Where the fault stands, for the codes that one place carries."""
    if "wrong_dimension" in codes:
        return typed.span(reading.unit_start, reading.unit_end)
    if "sign" in codes and typed.text[reading.sign_start : reading.sign_start + 1] in ("+", "-"):
        return typed.span(reading.sign_start, reading.sign_start + 1)
    return None, None


def _message(reading: Reading, codes: tuple[str, ...], key: QuantityKey) -> str:
    if not codes:
        return _("Right.")
    if codes[0] == "wrong_dimension":
        return _wrong_dimension(reading, key)
    return " ".join(sentence(KIND, code) for code in codes[:2])


def _wrong_dimension(reading: Reading, key: QuantityKey) -> str:
    typed, asked = reading.value, key.right
    if not key.takes_unit and not key.is_ph:
        return _("This is a number without a unit; “{unit}” does not belong.").format(unit=typed.named.shown)
    return _("“{unit}” measures {typed}, but {asked} is asked.").format(
        unit=typed.named.shown, typed=measured(typed.dimension), asked=measured(asked.dimension)
    )
