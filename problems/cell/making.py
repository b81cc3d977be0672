"""What a cell is filled with: how much to weigh or dilute, and how its indicator is set to the middle."""

from collections.abc import Iterator
from dataclasses import dataclass

from problems.cell import colours, tables
from problems.cell.run import start_ph
from problems.cell.setup import Setup
from problems.chemistry.formula import Formula

FLASK = 50e-6
"""Solutions are made in whole multiples of this [m³], the smallest flask."""
SIDE = 2.0  # pH to either side at which an indicator at its middle shows its other colours


@dataclass(frozen=True, slots=True)
class Weighing:
    """A solid and its mass [kg]."""

    solid: Formula
    mass: float


@dataclass(frozen=True, slots=True)
class Dilution:
    """The volume [m³] of a stock solution of `concentration` [mol/m³]."""

    concentration: float
    volume: float


@dataclass(frozen=True, slots=True)
class Middle:
    """How an indicator comes to its `middle` colour: with `acid` from `basic`, with `base` from `acidic`."""

    middle: str
    acidic: str
    basic: str
    acid: str
    base: str


def solution_volume(setup: Setup) -> float:
    """The volume [m³] of solution to make: both arms and a little to spare, in whole flasks.

    >>> round(solution_volume(Setup("KNO3", 250.0, "graphite", "graphite", None, 0.1, 600.0)) * 1e6)
    150
    """
    # Arms as large as the flask would leave nothing to rinse them with.
    return round((int(2 * setup.arm_volume / FLASK * (1 + 1e-9)) + 1) * FLASK, 9)


def weighings(setup: Setup) -> tuple[Weighing, ...]:
    """What may stand on the balance, as the bottle may hold the salt or a hydrate; none for an acid.

    >>> [round(each.mass * 1000, 2) for each in
    ...  weighings(Setup("CuSO4", 250.0, "copper", "copper", None, 0.1, 600.0))]
    [5.99, 9.36]
    """
    if stock_of(setup) is not None:
        return ()
    amount = setup.concentration * solution_volume(setup)
    solids = (Formula.parse(setup.electrolyte), *setup.row.hydrates)
    return tuple(Weighing(solid, amount * solid.molar_mass / 1000) for solid in solids)


def stock_of(setup: Setup) -> float | None:
    """The concentration [mol/m³] of the stock solution that an acid is diluted from; None for a solid.

    >>> stock_of(Setup("H2SO4", 200.0, "platinum", "platinum", None, 0.1, 600.0))
    1000.0
    """
    for row in tables.document("bench")["stock"]:
        if row["formula"] == setup.electrolyte:
            return float(row["concentration"]) * 1000
    return None


def dilution(setup: Setup) -> Dilution | None:
    """How much of which stock solution is diluted; None for a solid.

    >>> dilution(Setup("H2SO4", 200.0, "platinum", "platinum", None, 0.1, 600.0)).volume
    3e-05
    """
    stock = stock_of(setup)
    if stock is None:
        return None
    return Dilution(stock, round(setup.concentration * solution_volume(setup) / stock, 9))


def middle(setup: Setup) -> Middle | None:
    """How the indicator comes to its middle colour; None where it already shows what it should.

    >>> found = middle(Setup("KNO3", 250.0, "graphite", "graphite", "phenol red", 0.1, 600.0))
    >>> found.acidic, found.middle, found.basic
    ('yellow', 'orange', 'red')
    """
    if setup.indicator is None or setup.row.start_ph is None:
        return None
    indicator = tables.indicators()[setup.indicator]
    value = start_ph(setup.row, setup.molarity)
    shown = [colours.of_indicator(indicator, value + shift) for shift in (0, -SIDE, SIDE)]
    drops = list(_drops(setup))
    if len(set(shown)) < 3 or len(drops) != 2:
        return None
    return Middle(*shown, *drops)


def _drops(setup: Setup) -> Iterator[str]:
    """The acid and the base of the solution's own ions."""
    names = {Formula.parse(row["ion"]): row["name"] for row in tables.document("bench")["drops"]}
    for ion in sorted((ion for ion in setup.row.ions if ion in names), key=lambda ion: ion.charge):
        yield names[ion]
