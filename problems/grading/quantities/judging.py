"""One reading of a quantity against its key: the codes that it gets, the most important first."""

from decimal import ROUND_HALF_UP, Decimal

from problems.grading.quantities.key import QuantityKey, Value
from problems.grading.quantities.reading import Reading

GREATEST_POWER_OF_TEN = 12
FAINT = 1e-9
"""A value on the limit counts as inside: binary fractions must not decide [relative]."""
DIGITS = 12


def codes_of(reading: Reading, key: QuantityKey) -> tuple[str, ...]:
    """The codes of one reading in order of weight; empty where it is simply right."""
    main = _value_code(reading.value, key)
    found = [main] if main else []
    if reading.bare and key.takes_unit:
        found.insert(0 if main == "rounding" else len(found), "unit_missing")
    if main in ("", "rounding") and _figures_are_off(reading, key):
        found.append("figures")
    return tuple(found)


def is_right(codes: tuple[str, ...]) -> bool:
    """True where the value itself is right, whatever else there is to say."""
    return not set(codes) - {"unit_missing", "figures"}


def matching_slip(value: Value, key: QuantityKey) -> str:
    """The code of the first slip that the value equals, or nothing."""
    return next((code for code, slip in key.slips if _equals(value, slip, key)), "")


def _value_code(value: Value, key: QuantityKey) -> str:
    """The one code that the value gets, or nothing where it is right."""
    if _equals(value, key.right, key):
        return ""
    slip = matching_slip(value, key)
    if slip:
        return slip
    if value.dimension != key.right.dimension:
        return "wrong_dimension"
    if _equals_once_rounded(value, key):
        return ""
    if _is_off_by_power_of_ten(value, key):
        return "power_of_ten"
    negated = Value(value.number.negated(), value.named)
    if key.right.amount and (_equals(negated, key.right, key) or _equals_once_rounded(negated, key)):
        return "sign"
    return "rounding" if _equals(value, key.right, key, key.wide) else "off_value"


def _equals(value: Value, right: Value, key: QuantityKey, times: int = 1) -> bool:
    """True within so many tolerances of `right`, in the unit of `right`."""
    if value.dimension != right.dimension:
        return False
    return _near(value.amount_in(right.named), right.amount, times * key.margin(right.amount))


def _near(amount: float, right: float, margin: float) -> bool:
    return abs(amount - right) <= margin + FAINT * abs(right)


def _equals_once_rounded(value: Value, key: QuantityKey) -> bool:
    """True where answer and key agree after rounding to the key's own figures, two or more."""
    figures = key.right.number.figures
    if not figures or figures[1] < 2:
        return False
    amount = value.amount_in(key.right.named)
    return _rounded(amount, figures[1]) == _rounded(key.right.amount, figures[1])


def _rounded(amount: float, figures: int) -> Decimal:
    """The amount to so many significant figures, halves away from zero as in school."""
    exact = Decimal(f"{amount:.{DIGITS}e}")
    if not exact:
        return exact
    return exact.quantize(Decimal(1).scaleb(exact.adjusted() - figures + 1), rounding=ROUND_HALF_UP)


def _is_off_by_power_of_ten(value: Value, key: QuantityKey) -> bool:
    right = key.right.amount
    if key.is_ph or key.is_temperature or not right:
        return False
    amount = value.amount_in(key.right.named)
    powers = range(-GREATEST_POWER_OF_TEN, GREATEST_POWER_OF_TEN + 1)
    return any(_near(amount * 10.0**power, right, key.margin(right)) for power in powers if power)


def _figures_are_off(reading: Reading, key: QuantityKey) -> bool:
    typed = reading.value.number.figures
    if key.figures is None or typed is None:
        return False
    fewest, most = typed
    return most < key.figures - 1 or fewest > key.figures + 1
