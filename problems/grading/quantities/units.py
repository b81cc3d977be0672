"""The closed table of units, each ready made by the unit library before any student types.

Students' text is only looked up here: the library's own parser evaluates arithmetic and must never
see it.
"""

import tomllib
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import pint

from problems import words
from problems.words import _, mark

TABLE = Path(__file__).parents[2] / "data" / "units.toml"
MICRO = ("µ", "u")

Factors = tuple[tuple[str, int], ...]
Dimension = Any
"""A dimensionality of the unit library: it compares and hashes, and that is all it is used for."""


@dataclass(frozen=True, slots=True)
class Named:
    """One unit of the table: how it is shown, and the library's unit."""

    shown: str
    unit: pint.Unit


@dataclass(frozen=True, slots=True)
class Units:
    """The whole table: by exact spelling, and by spelling in any case."""

    exact: dict[str, Named]
    folded: dict[str, tuple[tuple[str, Named], ...]]
    measures: dict[Dimension, str]

    def candidates(self, word: str, temperature: bool = False) -> list[Named]:
        """The units a typed word may be, the likeliest first; empty where there is none.

        A word known in its own case is that unit alone; else the case is disregarded.
        """
        if temperature and word.casefold() == "c":
            return [self.exact["°C"]]
        if word in self.exact:
            return [self.exact[word]]
        found = self.folded.get(word.casefold(), ())
        return [named for _, named in sorted(found, key=lambda pair: -_same_letters(pair[0], word))]


@cache
def registry() -> pint.UnitRegistry[float]:
    """The unit library's registry, with the mole, a percentage, pH and pOH as dimensions of their own."""
    made: pint.UnitRegistry[float] = pint.UnitRegistry()
    for name in ("percentage = [share]", "acidity = [acidity]", "basicity = [basicity]"):
        made.define(name)
    made.define("ampere_second = ampere * second")
    return made


@cache
def units() -> Units:
    """The table, read once."""
    table = tomllib.loads(TABLE.read_text(encoding="utf-8"))
    exact: dict[str, Named] = {}
    spellings: dict[str, list[tuple[str, Named]]] = {}
    for row in table["unit"]:
        for spelling, named, as_written in _spellings(row, table["prefix"]):
            if as_written:
                exact[spelling] = named
            spellings.setdefault(spelling.casefold(), []).append((spelling, named))
    folded = {spelling: tuple(found) for spelling, found in spellings.items()}
    return Units(exact, folded, _measures(table["measures"], exact))


def product(factors: Iterable[tuple[Named, int]]) -> Named:
    """The unit made of factors, each with its exponent; inside a product degrees count as kelvins."""
    parts = list(factors)
    if len(parts) == 1 and parts[0][1] == 1:
        return parts[0][0]
    unit = pure_number().unit
    for named, exponent in parts:
        plain = kelvin() if named.shown in ("°C", "°F") else named.unit
        unit = unit * plain**exponent
    return Named(_shown(parts), unit)


@cache
def pure_number() -> Named:
    """The unit of a quantity without one."""
    return Named("", registry().Unit(""))


@cache
def kelvin() -> pint.Unit:
    """The unit of temperature that has no offset."""
    return registry().kelvin


def measured(dimension: Dimension) -> str:
    """What is measured in this dimension, in words: “a volume”."""
    return _(units().measures.get(dimension, mark("something else")))


def _spellings(row: dict[str, Any], prefixes: dict[str, str]) -> Iterable[tuple[str, Named, bool]]:
    """Every way to write a unit of the table, with all its prefixes; True where the case is its own."""
    for prefix in ("", *row["prefixes"]):
        word = prefixes[prefix] if prefix else ""
        named = Named(prefix + row["symbol"][0], getattr(registry(), word + row["pint"]))
        for symbol in row["symbol"]:
            for written in MICRO if prefix == "µ" else (prefix,):
                yield written + symbol, named, True
            if prefix and prefix == row.get("big_m"):
                yield "M" + symbol, named, True
        for spelled in row["words"]:
            yield word + spelled, named, False


def _measures(rows: dict[str, str], exact: dict[str, Named]) -> dict[Dimension, str]:
    found = {}
    for text, words_for in rows.items():
        first, *divisors = text.split("/")
        base, _, power = first.partition("^")
        factors = [(exact[base], int(power or 1)), *((exact[name], -1) for name in divisors)]
        found[product(factors).unit.dimensionality] = words_for
    return found


def _shown(parts: list[tuple[Named, int]]) -> str:
    """The product as it is written: mol/L, J/(mol·K), cm³."""
    above = "·".join(_powered(named.shown, power) for named, power in parts if power > 0)
    below = [_powered(named.shown, -power) for named, power in parts if power < 0]
    if not below:
        return above
    return f"{above or '1'}/{below[0]}" if len(below) == 1 else f"{above or '1'}/({'·'.join(below)})"


def _powered(shown: str, power: int) -> str:
    return shown if power == 1 else f"{shown}{str(power).translate(words.SUPERSCRIPTS)}"


def _same_letters(spelling: str, word: str) -> int:
    return sum(mine == typed for mine, typed in zip(spelling, word, strict=False))
