"""How a class writes things: H⁺ or H₃O⁺, state symbols asked or not, L or dm³, point or comma.

A context variable, set by whoever makes questions or pages for a class, as the language is in `words`.
Both ways of writing are right everywhere; a convention only says which one is shown and asked for.
"""

import re
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import asdict, dataclass
from typing import Any, Literal

DecimalSign = Literal["", ".", ","]

# Units as they stand in sentences and behind numbers; a bare L only behind a number or a field for one.
_UNITS = re.compile(r"(?P<per>mol/L)|(?P<small>\bmL\b)|(?P<large>(?<=[\d}] )L\b)")
_DECIMAL = re.compile(r"(?<=\d)[.,](?=\d)")
_IN_DECIMETRES = {"per": "mol/dm³", "small": "cm³", "large": "dm³"}


@dataclass(frozen=True, slots=True)
class Conventions:
    """One way to write; `decimal` is empty where the language decides.

    >>> Conventions().hydronium
    False
    """

    hydronium: bool = False
    states: bool = False
    decimetres: bool = False
    decimal: DecimalSign = ""

    def as_json(self) -> dict[str, Any]:
        """Plain values, for storing; `from_json` reads them back."""
        return asdict(self)

    @classmethod
    def from_json(cls, kept: Mapping[str, Any]) -> "Conventions":
        """What is missing is as usual, and what is not known any more is passed over.

        >>> Conventions.from_json({"decimal": ",", "gone": 1})
        Conventions(hydronium=False, states=False, decimetres=False, decimal=',')
        """
        found = cls(**{name: kept[name] for name in cls.__slots__ if name in kept})
        return USUAL if found == USUAL else found


USUAL = Conventions()
_current: ContextVar[Conventions] = ContextVar("conventions", default=USUAL)


@contextmanager
def written(conventions: Conventions) -> Iterator[None]:
    """Write by `conventions` inside the block."""
    token = _current.set(conventions)
    try:
        yield
    finally:
        _current.reset(token)


def current() -> Conventions:
    return _current.get()


def sentence(text: str) -> str:
    """A sentence, or the pattern of one, with the ion and the units that the class writes.

    One that speaks of H₃O⁺ itself keeps its H⁺.

    >>> with written(Conventions(hydronium=True, decimetres=True)):
    ...     sentence("c(H⁺) = {level} mol/L in {volume} mL")
    'c(H₃O⁺) = {level} mol/dm³ in {volume} cm³'
    """
    conventions = current()
    if conventions is USUAL:
        return text
    if conventions.hydronium and "H₃O⁺" not in text:
        text = text.replace("H⁺", "H₃O⁺")
    if conventions.decimal:
        text = _DECIMAL.sub(conventions.decimal, text)
    return unit(text)


def unit(text: str) -> str:
    """Units of volume as the class writes them.

    >>> with written(Conventions(decimetres=True)):
    ...     unit("2.5 L"), unit("mL"), unit("mol/L"), unit("Liter")
    ('2.5 dm³', 'cm³', 'mol/dm³', 'Liter')
    """
    if not current().decimetres:
        return text
    return _UNITS.sub(lambda found: _IN_DECIMETRES[str(found.lastgroup)], text)
