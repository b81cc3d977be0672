"""Setups in few words for the tests of the cell."""

from problems.cell.setup import Setup
from problems.cell.tables import electrolytes


def cell(
    electrolyte: str,
    molarity: float,
    electrodes: str = "graphite",
    indicator: str | None = None,
    current: float = 0.1,
    time: float = 600.0,
    **more: float,
) -> Setup:
    """A setup; `electrodes` is one material or cathode:anode."""
    cathode, _, anode = electrodes.partition(":")
    return Setup(electrolyte, molarity * 1000, cathode, anode or cathode, indicator, current, time, **more)


def strongest(key: str, molarity: float) -> float:
    """`molarity`, or the solubility where that is less [mol/L]."""
    return min(molarity, electrolytes()[key].solubility)
