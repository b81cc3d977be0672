"""Whole formulas of strong electrolytes and the ions they give in water."""

import tomllib
from collections import Counter
from collections.abc import Iterator, Mapping
from functools import cache
from math import lcm
from pathlib import Path
from typing import Any

from problems.chemistry.formula import Formula

DATA = Path(__file__).parents[2] / "data" / "strong_electrolytes.toml"

Ions = Mapping[Formula, int]


@cache
def electrolytes() -> dict[Formula, Ions]:
    """Strong acids, strong bases and soluble salts, each with the ions of one formula unit.

    >>> sorted(str(ion) for ion in electrolytes()[Formula.parse("CuSO4")])
    ['Cu^2+', 'SO4^2-']
    """
    rows = _rows()
    table = dict(_salts(rows))
    for row in (*rows["bases"], *rows["acids"]):
        table[Formula.parse(row["formula"])] = _ions(row["ions"])
    return table


@cache
def first_steps() -> dict[Formula, Ions]:
    """Acids of two steps, taken apart by one step only."""
    rows = _rows()["acids"]
    return {Formula.parse(row["formula"]): _ions(row["first_step"]) for row in rows if "first_step" in row}


def ions_of(species: Formula, key: frozenset[Formula]) -> Ions | None:
    """The ions that a whole formula stands for, beside a key with these species; else None."""
    step = first_steps().get(species)
    if step and any(ion in key for ion in step if len(ion.atoms) > 1):
        return step
    return electrolytes().get(species)


@cache
def _rows() -> dict[str, Any]:
    return tomllib.loads(DATA.read_text(encoding="utf-8"))


def _ions(names: list[str]) -> Ions:
    return Counter(Formula.parse(name) for name in names)


def _salts(rows: dict[str, Any]) -> Iterator[tuple[Formula, Ions]]:
    apart = {(cation, row["anion"]) for row in rows["apart"] for cation in row["cations"]}
    for cation in rows["cations"]:
        for anion in rows["anions"]:
            if (cation, anion) not in apart:
                yield _salt(Formula.parse(cation), Formula.parse(anion))


def _salt(cation: Formula, anion: Formula) -> tuple[Formula, Ions]:
    charge = lcm(cation.charge, -anion.charge)
    ions = Counter({cation: charge // cation.charge, anion: charge // -anion.charge})
    atoms: Counter[str] = Counter()
    for ion, count in ions.items():
        atoms += Counter({symbol: number * count for symbol, number in ion.atoms})
    return Formula(tuple(sorted(atoms.items()))), ions
