"""The known parts of a formula: the ions and ligands that keep together, hydrate water, and the rest.

`CuSO4.5H2O` is Cu²⁺, SO₄²⁻ and five waters; only so can copper and sulfur be told apart by rule.
"""

import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Any

from problems.chemistry.formula import Formula, atoms_of

TABLE = Path(__file__).parent.parent / "data" / "oxidation.toml"

# An element without compounds stands in for a group that was cut out, so that the group can be counted
# wherever it stands, inside other brackets too.
MARK = "Og"


@dataclass(frozen=True, slots=True)
class Part:
    """A part of a formula, how often it is there, and whether it is what the known groups leave."""

    formula: Formula
    count: int = 1
    is_rest: bool = False


@dataclass(frozen=True, slots=True)
class Group:
    """An ion or ligand that keeps together; `ends`: it may stand at the end without brackets."""

    formula: Formula
    ends: bool
    begins: bool

    def marked(self, body: str) -> str:
        """`body` with a mark in place of each such group."""
        name = self.formula.body
        if self.begins and body.startswith(name):
            body = MARK + body.removeprefix(name)
        if self.ends and body.endswith(name):
            body = body.removesuffix(name) + MARK
        return body.replace(f"({name})", MARK).replace(f"[{name}]", MARK)


@cache
def table() -> Mapping[str, Any]:
    """The table of oxidation rules as it stands in the data."""
    return MappingProxyType(tomllib.loads(TABLE.read_text(encoding="utf-8")))


@cache
def nonmetals() -> frozenset[str]:
    """Non-metals and half-metals."""
    return frozenset(table()["limits"])


@cache
def groups() -> tuple[Group, ...]:
    """All known groups, the longest first, so that thiosulfate is not taken for sulfite."""
    names: Mapping[str, Sequence[str]] = table()["groups"]
    found = [
        Group(Formula.parse(name), ends=name in names["anions"], begins=name in names["front"])
        for name in dict.fromkeys([*names["anions"], *names["front"], *names["ligands"]])
    ]
    return tuple(sorted(found, key=lambda group: -len(group.formula.body)))


def hydrate_parts(formula: Formula) -> tuple[Part, ...]:
    """The formula parted at its points; the charge is that of the first part.

    >>> [(str(part.formula), part.count) for part in hydrate_parts(Formula.parse("CuSO4.5H2O"))]
    [('CuSO4', 1), ('H2O', 5)]
    """
    first, *others = formula.body.split(".")
    parts = [Part(Formula(atoms_of(first), formula.charge, first))]
    for other in others:
        body = other.lstrip("0123456789")
        parts.append(Part(Formula(atoms_of(body), 0, body), int(other.removesuffix(body) or 1)))
    return tuple(parts)


def known_parts(formula: Formula) -> tuple[Part, ...]:
    """The known groups in a formula without hydrate water, and the rest; the formula alone if it has none.

    Groups are taken out only where a metal or hydrogen is left, or beside ammonium: elsewhere the same
    letters are other things, as the end of CH₃CN.

    >>> [str(part.formula) for part in known_parts(Formula.parse("Fe2(SO4)3"))]
    ['SO4^2-', 'Fe2^6+']
    """
    body, parts = formula.body, []
    for group in groups():
        marked = group.marked(body)
        count = _marks(marked) - _marks(body)
        if count:
            parts.append(Part(group.formula, count))
        body = marked
    rest = tuple((symbol, number) for symbol, number in atoms_of(body) if symbol != MARK)
    charge = formula.charge - sum(part.formula.charge * part.count for part in parts)
    if not parts or not _can_be_left(dict(rest), charge, parts):
        return (Part(formula),)
    return (*parts, Part(Formula(rest, charge), is_rest=True)) if rest else tuple(parts)


def _marks(body: str) -> int:
    return dict(atoms_of(body)).get(MARK, 0)


def _can_be_left(rest: Mapping[str, int], charge: int, parts: Sequence[Part]) -> bool:
    if not rest:
        return charge == 0
    beside_cation = any(part.formula.charge > 0 for part in parts)
    return beside_cation or set(rest) == {"H"} or not nonmetals().issuperset(rest)
