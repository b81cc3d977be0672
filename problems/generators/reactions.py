"""The table of reactions round the cell: making the electrolyte, what is done afterwards, forms for acid."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any, Literal

from problems.cell import tables
from problems.cell.evidence import Evidence
from problems.cell.setup import Setup
from problems.chemistry.equation import Equation
from problems.chemistry.formula import HYDROGEN_ION, HYDROXIDE, Formula
from problems.generators import conventional
from problems.words import _

ALKALI = frozenset({"K^+", "Na^+"})
"""Cations that bind neither hydroxide nor anything that is added."""
Type = Literal["neutralisation", "gas", "precipitation", "displacement", "combination"]


@dataclass(frozen=True, slots=True)
class Reaction:
    """A row of the table: on which cells it makes sense, what is told of it, and its equation."""

    equation: Equation
    salts: frozenset[str] = frozenset()
    but: frozenset[str] = frozenset()
    ions: frozenset[Formula] = frozenset()
    arms: frozenset[Formula] = frozenset()
    told: str = ""
    type: Type | None = None

    @property
    def text(self) -> str:
        """What is done and seen, in the reader's language."""
        return _(self.told)

    def fits(self, setup: Setup, cell: Evidence) -> bool:
        """True where the cell has what the reaction needs."""
        if cell.use == "refused" or setup.electrolyte in self.but:
            return False
        if self.salts:
            return setup.electrolyte in self.salts
        if self.arms:
            return self.arms <= _made(setup, cell)
        return not self.ions or bool(self.ions & setup.row.ions.keys())


def _made(setup: Setup, cell: Evidence) -> frozenset[Formula]:
    """Acid, base and gases in the arms of a salt cell, where no buffer or metal ion binds them."""
    if any("half_reaction" not in arm.fair for arm in cell.electrodes):
        return frozenset()
    gases = {arm.gas for arm in cell.electrodes if arm.gas is not None}
    ions = {arm.ion for arm in cell.electrodes if arm.ion in (HYDROGEN_ION, HYDROXIDE)}
    plain = {
        ion.plain for ion in setup.row.ions if ion.charge > 0
    } <= ALKALI and setup.row.nature == "neutral"
    return frozenset(each for each in (*gases, *(ions if plain else ())) if each is not None)


@lru_cache(maxsize=3)
def table(kind: Literal["making", "follow_up", "acid_form"]) -> tuple[Reaction, ...]:
    """The rows of one kind."""
    return tuple(_row(row) for row in tables.document("reactions")[kind])


def _row(row: Mapping[str, Any]) -> Reaction:
    return Reaction(
        Equation.parse(row["equation"]),
        frozenset(row.get("salts", ())),
        frozenset(row.get("but", ())),
        frozenset(map(Formula.parse, row.get("ions", ()))),
        frozenset(map(Formula.parse, row.get("arms", ()))),
        row.get("told", ""),
        row.get("type"),
    )


def fitting(
    kind: Literal["making", "follow_up", "acid_form"], setup: Setup, cell: Evidence
) -> list[Reaction]:
    """The rows of one kind that make sense on this cell."""
    return [
        replace(row, equation=conventional.equation(row.equation))
        for row in table(kind)
        if row.fits(setup, cell)
    ]
