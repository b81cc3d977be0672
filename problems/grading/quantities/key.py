"""`QuantityKey`: everything a quantity is judged against, read once from a case."""

import re
from dataclasses import dataclass
from functools import lru_cache

from problems.grading import fields
from problems.grading.names import split_name
from problems.grading.numbers import Number, numbers_at
from problems.grading.quantities.tail import read_tail
from problems.grading.quantities.units import Dimension, Named, kelvin, pure_number, registry, units
from problems.grading.typed import clean
from problems.words import _

TOLERANCE = 0.02
PH_TOLERANCE = 0.1
WIDE, PH_WIDE = 3, 2
_PH_NAME = re.compile(r"(p)(OH|H)(?![A-Za-z])", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Value:
    """A number of a unit, with the number as it was typed."""

    number: Number
    named: Named

    @property
    def amount(self) -> float:
        """The number [in its own unit]."""
        return float(self.number.value)

    @property
    def dimension(self) -> Dimension:
        return self.named.unit.dimensionality

    def amount_in(self, named: Named) -> float:
        """The number of another unit of the same dimension; temperatures convert with their offset."""
        if named.unit == self.named.unit:
            return self.amount
        return float(registry().Quantity(self.amount, self.named.unit).to(named.unit).magnitude)


@dataclass(frozen=True, slots=True)
class QuantityKey:
    """The right value, the unit asked for, how near an answer must come, and known wrong values.

    `tolerance` is relative; absolute for a pH and where the right value is zero. `bare` says that the
    right value was given without a unit.
    """

    right: Value
    unit: Named
    tolerance: float
    figures: int | None = None
    asked: str = ""
    slips: tuple[tuple[str, Value], ...] = ()
    bare: bool = False

    def __post_init__(self) -> None:
        if self.right.dimension != self.unit.unit.dimensionality:
            raise fields.CaseError(
                _("The key is in {key}, but {unit} is asked, which measures something else.").format(
                    key=self.right.named.shown or _("no unit"), unit=self.unit.shown or _("no unit")
                )
            )

    @classmethod
    def from_case(cls, case: fields.Case) -> "QuantityKey":
        """Read the fields of a case; raises CaseError where a key does not read."""
        return _key(
            fields.text(case, "expected"),
            fields.optional_text(case, "unit"),
            fields.text(case, "asked") if "asked" in case else None,
            tuple(fields.text_slips(case).items()),
            fields.optional_number(case, "tolerance"),
            fields.optional_count(case, "figures"),
        )

    @property
    def is_ph(self) -> bool:
        return self.right.named.shown in ("pH", "pOH")

    @property
    def is_share(self) -> bool:
        return self.right.named.shown == "%"

    @property
    def may_be_fraction(self) -> bool:
        """True for a share whose key may be meant as a fraction of one: 0.85 for 85 %."""
        return self.is_share and self.bare and self.right.amount <= 1

    @property
    def is_temperature(self) -> bool:
        return bool(self.right.dimension == kelvin().dimensionality)

    @property
    def takes_unit(self) -> bool:
        """False for a pure number, a pH and a share: a bare number is complete there."""
        return bool(self.right.named.shown) and not self.is_ph and not self.is_share

    @property
    def wanted(self) -> tuple[Dimension, ...]:
        """The dimensions that a unit is looked for in: the key's first, then those of the slips."""
        return (self.right.dimension, *(slip.dimension for _code, slip in self.slips))

    def margin(self, value: float) -> float:
        """How far an answer may lie from `value` [in the value's unit]."""
        return self.tolerance if self.is_ph or value == 0 else self.tolerance * abs(value)

    @property
    def wide(self) -> int:
        """Within how many tolerances an answer counts as badly rounded."""
        return PH_WIDE if self.is_ph else WIDE


@lru_cache(maxsize=512)
def _key(
    expected: str,
    unit: str,
    asked: str | None,
    slips: tuple[tuple[str, str], ...],
    tolerance: float | None,
    figures: int | None,
) -> QuantityKey:
    """Kept, since the parts of a chain that rest on a quantity ask for its key as well."""
    cleaned = clean(expected).text
    name, start = split_name(cleaned)
    asked = name if asked is None else asked.strip()
    names = (asked, name)
    right = read_value(cleaned[start:], _asked_unit(unit, names), "expected")
    named = _asked_unit(unit, names, (right.dimension,)) or right.named
    wrong = tuple((code, _slip(text, named, code)) for code, text in slips)
    default = PH_TOLERANCE if right.named.shown in ("pH", "pOH") else TOLERANCE
    margin = default if tolerance is None else tolerance
    return QuantityKey(right, named, margin, figures, asked, wrong, cleaned[-1:].isdigit())


def read_value(text: str, bare: Named | None, field: str) -> Value:
    """A value of a case in its preferred reading; a bare number has the unit `bare`.

    Raises CaseError where it does not read.
    """
    found = re.match(r"\s*([+-]?)\s*", text)
    numbers, end = numbers_at(text, found.end() if found else 0)
    tail = text[end:].strip()
    wanted = (bare.unit.dimensionality,) if bare else ()
    named = read_tail(tail, wanted) if tail else None
    if not numbers or (tail and not named):
        raise fields.CaseError(
            _("The field “{field}” does not read as a quantity: “{text}”.").format(
                field=field, text=text.strip()
            )
        )
    negative = found is not None and found[1] == "-"
    number = numbers[0].negated() if negative else numbers[0]
    return Value(number, named.named if named else bare or pure_number())


def _slip(text: str, unit: Named, code: str) -> Value:
    cleaned = clean(text).text
    return read_value(cleaned[split_name(cleaned).start :], unit, f"slips.{code}")


def _asked_unit(unit: str, names: tuple[str, ...], wanted: tuple[Dimension, ...] = ()) -> Named | None:
    """The unit that bare numbers have; None where only the key can tell.

    What the key measures is `wanted`: by it C is the coulomb or the degree.
    """
    written = clean(unit).text
    if not written:
        match = next(filter(None, map(_PH_NAME.match, names)), None)
        return units().exact["p" + match[2].upper()] if match else None
    tail = read_tail(written, wanted)
    if tail is None:
        raise fields.CaseError(_("The field “unit” is no known unit: “{unit}”.").format(unit=written))
    return tail.named
