"""The tables of `problems/data/` as frozen rows, read once.

Each function returns one table; rows are looked up by the name that the rest of the program uses.
Every row names its source, spelled out in `problems/data/SOURCES.md`, its certainty and its date.
"""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path
from types import MappingProxyType
from typing import Any, Literal, TypeVar

from problems.chemistry.equation import Equation
from problems.chemistry.formula import Formula

DATA_DIR = Path(__file__).parent.parent / "data"
CERTAINTIES = ("found", "computed", "common practice", "from memory")
Nature = Literal["acidic", "neutral", "basic"]
Role = Literal["cathode", "anode"]
Row = TypeVar("Row")


@dataclass(frozen=True, slots=True)
class Ion:
    """An ion with its molar conductivity per unit of charge at 25 °C [S cm²/mol] and its colour in water."""

    formula: Formula
    conductivity: float
    part: str
    colour: str | None


@dataclass(frozen=True, slots=True)
class Acid:
    """A weak acid: `pka` at 25 °C, ideal; `part` is what it is counted under in a solution."""

    part: str
    reaction: Equation
    pka: float


@dataclass(frozen=True, slots=True)
class Metal:
    """What a metal ion does in water: its hydroxide (`ksp`, ions in [mol/L]) and its hydrolysis."""

    ion: Formula
    hydroxide: Formula
    ksp: float
    cloud: str
    pka: float | None = None
    log_dimer: float | None = None


@dataclass(frozen=True, slots=True)
class Electrolyte:
    """A row of the table of electrolytes; solubility, bench and hood limits [mol/L] at 20 °C."""

    formula: Formula
    name: str
    ions: Mapping[Formula, int]
    nature: Nature
    solubility: float
    hydrates: tuple[Formula, ...] = ()
    start_ph: float | None = None
    no_ph: bool = False
    nature_unclear: str = ""
    strong: Literal["acid", "base"] | None = None
    hydrolysis: tuple[Equation, ...] = ()
    cathode: tuple[Equation, ...] = ()
    anode: tuple[Equation, ...] = ()
    bench: float = 0.0
    hood: float = 0.0
    refused: bool = False
    cautions: tuple[str, ...] = ()
    note: str = ""

    @property
    def key(self) -> str:
        return self.formula.plain

    def has(self, ion: Formula) -> bool:
        return ion in self.ions


@dataclass(frozen=True, slots=True)
class Material:
    """An electrode material; overpotentials [V] only rank what is discharged."""

    key: str
    hydrogen: float
    oxygen: float
    chlorine: float
    inert: bool = False
    metal: Formula | None = None
    metal_ion: Formula | None = None
    active_in: frozenset[str] = frozenset()
    passive_in: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Couple:
    """A reduction with its standard potential at 25 °C [V]; `school` as printed for students."""

    key: str
    reaction: Equation
    value: float
    school: float
    conflict: str = ""


@dataclass(frozen=True, slots=True)
class Change:
    """One change of an indicator, from `low` to `high` [pH], with the colour between."""

    low: float
    high: float
    colour: str


@dataclass(frozen=True, slots=True)
class Indicator:
    """An indicator: colours from acid to base, with its changes, or with the cuts of a mixture [pH]."""

    name: str
    colours: tuple[str, ...]
    steps: tuple[Change, ...] = ()
    cuts: tuple[float, ...] = ()
    margin: float = 0.3
    margin_low: float | None = None
    fades_above: float | None = None
    pink_from: float | None = None
    azo: bool = False
    mixed: bool = False
    same: Mapping[str, tuple[str, ...]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Gas:
    """A gas: Henry constant at 25 °C [mol/(m³ Pa)], whether a tube over water may hold it, its test."""

    formula: Formula
    name: str
    henry: float
    collected: bool
    test: str


@dataclass(frozen=True, slots=True)
class Colour:
    """A colour by name, its paint as a hex value, and words that count as equal."""

    name: str
    paint: str
    same: tuple[str, ...] = ()


@lru_cache(maxsize=32)
def document(name: str) -> Mapping[str, Any]:
    """One table file as read, the values of `[defaults]` filled into rows that lack them."""
    content = tomllib.loads((DATA_DIR / f"{name}.toml").read_text(encoding="utf-8"))
    defaults = content.pop("defaults", {})
    for key, rows in content.items():
        if isinstance(rows, list):
            content[key] = [{**defaults, **row} for row in rows]
        elif isinstance(rows, dict):
            content[key] = {**defaults, **rows}
    return MappingProxyType(content)


@lru_cache(maxsize=1)
def ions() -> Mapping[Formula, Ion]:
    return _table(
        "ions",
        "ion",
        lambda row: Ion(
            Formula.parse(row["formula"]),
            row["conductivity"],
            row.get("part", row["formula"]),
            row.get("colour"),
        ),
        lambda ion: ion.formula,
    )


@lru_cache(maxsize=1)
def acids() -> Mapping[str, Acid]:
    return _table(
        "equilibria",
        "acid",
        lambda row: Acid(row["part"], Equation.parse(row["reaction"]), row["pka"]),
        lambda acid: acid.part,
    )


@lru_cache(maxsize=1)
def metals() -> Mapping[Formula, Metal]:
    return _table("equilibria", "metal", lambda row: Metal(**_read(row, Metal)), lambda metal: metal.ion)


@lru_cache(maxsize=1)
def electrolytes() -> Mapping[str, Electrolyte]:
    return _table(
        "electrolytes", "electrolyte", lambda row: Electrolyte(**_read(row, Electrolyte)), lambda row: row.key
    )


@lru_cache(maxsize=1)
def electrodes() -> Mapping[str, Material]:
    return _table(
        "electrodes", "electrode", lambda row: Material(**_read(row, Material)), lambda row: row.key
    )


@lru_cache(maxsize=1)
def potentials() -> Mapping[str, Couple]:
    return _table("potentials", "couple", lambda row: Couple(**_read(row, Couple)), lambda row: row.key)


@lru_cache(maxsize=1)
def indicators() -> Mapping[str, Indicator]:
    return _table(
        "indicators", "indicator", lambda row: Indicator(**_read(row, Indicator)), lambda row: row.name
    )


@lru_cache(maxsize=1)
def gases() -> Mapping[Formula, Gas]:
    return _table("gases", "gas", lambda row: Gas(**_read(row, Gas)), lambda gas: gas.formula)


@lru_cache(maxsize=1)
def cautions() -> Mapping[str, str]:
    """The sentences about what to mind, by key."""
    return MappingProxyType({row["key"]: row["text"] for row in document("cautions")["caution"]})


@lru_cache(maxsize=1)
def colours() -> Mapping[str, Colour]:
    return _table("colours", "colour", lambda row: Colour(**_read(row, Colour)), lambda row: row.name)


def _table(name: str, kind: str, build: Any, key: Any) -> Mapping[Any, Any]:
    return MappingProxyType({key(row): row for row in map(build, document(name)[kind])})


def _read(row: Mapping[str, Any], kind: type) -> dict[str, Any]:
    """The fields of a row that its dataclass knows, each turned into its value."""
    known = kind.__dataclass_fields__  # type: ignore[attr-defined]
    return {key: _READERS.get(key, _plain)(value) for key, value in row.items() if key in known}


def _plain(value: Any) -> Any:
    return tuple(value) if isinstance(value, list) else value


def _equations(texts: list[str]) -> tuple[Equation, ...]:
    return tuple(Equation.parse(text) for text in texts)


_READERS: dict[str, Any] = {
    "formula": Formula.parse,
    "metal": Formula.parse,
    "metal_ion": Formula.parse,
    "ion": Formula.parse,
    "hydroxide": Formula.parse,
    "ions": lambda counts: MappingProxyType({Formula.parse(ion): count for ion, count in counts.items()}),
    "hydrates": lambda texts: tuple(Formula.parse(text) for text in texts),
    "reaction": Equation.parse,
    "hydrolysis": _equations,
    "cathode": _equations,
    "anode": _equations,
    "active_in": frozenset,
    "passive_in": frozenset,
    "steps": lambda steps: tuple(Change(**step) for step in steps),
    "same": lambda same: (
        tuple(same) if isinstance(same, list) else MappingProxyType({k: tuple(v) for k, v in same.items()})
    ),
}
