"""Where quantities with units come in and go out: a number and a unit of a closed list, turned by pint.

Typed text never reaches pint's own parser: the number is read here, the unit is looked up.
"""

import re
from decimal import Decimal
from functools import lru_cache
from typing import Any

import pint

from problems.errors import ProblemError
from problems.words import _

UNITS: dict[str, dict[str, str]] = {
    "concentration": {
        "mol/L": "mol/L",
        "mol/l": "mol/L",
        "M": "mol/L",
        "mol/dm3": "mol/L",
        "mol/dm³": "mol/L",
        "mmol/L": "mmol/L",
        "mmol/l": "mmol/L",
        "mM": "mmol/L",
        "mol/m3": "mol/m^3",
        "mol/m³": "mol/m^3",
    },
    "current": {"A": "A", "mA": "mA"},
    "time": {"min": "min", "s": "s", "h": "h", "minutes": "min", "seconds": "s", "hours": "h"},
    "temperature": {"°C": "degC", "degC": "degC", "C": "degC", "K": "K"},
    "pressure": {
        "kPa": "kPa",
        "Pa": "Pa",
        "hPa": "hPa",
        "mbar": "mbar",
        "bar": "bar",
        "atm": "atm",
        "torr": "torr",
        "mmHg": "torr",
    },
    "volume": {"mL": "mL", "ml": "mL", "L": "L", "cm3": "mL", "cm³": "mL", "m3": "m^3", "m³": "m^3"},
}
SI: dict[str, str] = {
    "concentration": "mol/m^3",
    "current": "A",
    "time": "s",
    "temperature": "K",
    "pressure": "Pa",
    "volume": "m^3",
}
# What a quantity is written in, the friendliest unit first; the last is SI, which reads back exactly.
WRITTEN: dict[str, tuple[str, ...]] = {
    "concentration": ("mol/L", "mol/m3"),
    "current": ("A",),
    "time": ("min", "s"),
    "temperature": ("°C", "K"),
    "pressure": ("kPa", "Pa"),
    "volume": ("mL", "m3"),
}
_TEXT = re.compile(r"\s*([+-−]?\d*[.,]?\d+(?:[eE][+-]?\d+)?|[+-−]?\d+[.,]?)\s*(\S.*?)?\s*")


class QuantityError(ProblemError):
    """A text that is no number with a unit of the list; `kind` names the quantity."""

    def __init__(self, kind: str, text: str, sentence: str) -> None:
        self.kind, self.text = kind, text
        super().__init__(sentence)


@lru_cache(maxsize=1)
def registry() -> Any:
    """The unit registry, in decimal arithmetic so that 50 mL is exactly 50e-6 m³."""
    return pint.UnitRegistry(non_int_type=Decimal)


def read(kind: str, text: str) -> float:
    """A text such as "0.25 mol/L" as a number in the SI unit of its kind.

    Raises QuantityError, one sentence, for anything but a number with a unit of the list.

    >>> read("time", "12 min")
    720.0
    """
    match = _TEXT.fullmatch(text) if len(text) <= 60 else None
    if not match:
        raise QuantityError(
            kind,
            text,
            _("“{text}” is not a number with a unit, such as {example}.").format(
                text=text[:60], example=example(kind)
            ),
        )
    digits, unit = match[1].replace(",", ".").replace("−", "-"), (match[2] or "")
    if unit not in UNITS[kind]:
        raise QuantityError(
            kind,
            text,
            _("“{text}” has no unit that fits here; use one of {units}.").format(
                text=text, units=", ".join(dict.fromkeys(WRITTEN[kind] + tuple(UNITS[kind])))
            ),
        )
    return float(_convert(kind, Decimal(digits), unit))


def write(kind: str, value: float) -> str:
    """A number in the SI unit of its kind as a text that `read` turns back into exactly that number.

    >>> write("concentration", 250.0), write("temperature", 294.15)
    ('0.25 mol/L', '21 °C')
    """
    for unit in WRITTEN[kind]:
        text = f"{_short(_from_si(kind, Decimal(repr(value)), unit))} {unit}"
        if len(text) < 24 and read(kind, text) == value:
            return text
    return f"{value!r} {WRITTEN[kind][-1]}"


def example(kind: str) -> str:
    """A text that reads, for a message."""
    return {
        "concentration": "0.25 mol/L",
        "current": "0.40 A",
        "time": "12 min",
        "temperature": "21 °C",
        "pressure": "99.2 kPa",
        "volume": "50 mL",
    }[kind]


def _convert(kind: str, number: Decimal, unit: str) -> Decimal:
    units = registry()
    amount: Decimal = units.Quantity(number, UNITS[kind][unit]).to(SI[kind]).magnitude
    return amount


def _from_si(kind: str, number: Decimal, unit: str) -> Decimal:
    units = registry()
    amount: Decimal = units.Quantity(number, SI[kind]).to(UNITS[kind][unit]).magnitude
    return amount


def _short(number: Decimal) -> str:
    text = f"{number:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


@lru_cache(maxsize=1)
def _constants() -> tuple[float, float]:
    units = registry()
    faraday = (Decimal(1) * units.elementary_charge * units.avogadro_constant).to("C/mol").magnitude
    gas = (Decimal(1) * units.molar_gas_constant).to("J/(mol*K)").magnitude
    return float(faraday), float(gas)


FARADAY, GAS_CONSTANT = _constants()
"""Faraday constant [C/mol] and gas constant [J/(mol K)], from pint; exact by definition since 2019."""
