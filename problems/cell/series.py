"""`series(setup)`: what a cell shows over time."""

from dataclasses import dataclass

from problems.cell import arm, tables, water
from problems.cell.evidence import why_refused
from problems.cell.run import Moment, Run, simulate
from problems.cell.setup import Setup
from problems.cell.tables import Role

Values = tuple[float | None, ...]
LEAST_POINTS = 25


@dataclass(frozen=True, slots=True)
class Series:
    """By moment: `minutes` [min], gas in each tube [m³ over water], pH and colour of each arm.

    An electrode that collects no gas has None all along, an arm without a pH or a colour too.
    """

    minutes: tuple[float, ...]
    cathode_volumes: Values
    anode_volumes: Values
    cathode_ph: Values
    anode_ph: Values
    cathode_colours: tuple[str | None, ...]
    anode_colours: tuple[str | None, ...]


def series(setup: Setup, points: int = LEAST_POINTS) -> Series:
    """What the cell of `setup` shows at `points` equal steps from 0 to the end of its run.

    Raises ValueError for fewer than two points, and for a setup that is refused.

    >>> brine = series(Setup("KNO3", 100.0, "graphite", "graphite", None, 0.1, 600.0))
    >>> len(brine.minutes), brine.minutes[0], brine.minutes[-1]
    (25, 0.0, 10.0)
    """
    if why_refused(setup):
        raise ValueError("A refused cell has no course over time.")
    return course(simulate(setup), points)


def course(run: Run, points: int = LEAST_POINTS) -> Series:
    """The series of a finished run."""
    if points < 2:
        raise ValueError("A series has two points at least.")
    last = run.end.time
    moments = [run.at(last * place / (points - 1)) for place in range(points - 1)] + [run.end]
    return Series(
        minutes=tuple(moment.time / 60 for moment in moments),
        cathode_volumes=_volumes(run, "cathode", moments),
        anode_volumes=_volumes(run, "anode", moments),
        cathode_ph=tuple(arm.ph(run, "cathode", moment) for moment in moments),
        anode_ph=tuple(arm.ph(run, "anode", moment) for moment in moments),
        cathode_colours=tuple(arm.colour(run, "cathode", moment) for moment in moments),
        anode_colours=tuple(arm.colour(run, "anode", moment) for moment in moments),
    )


def tube_volume(run: Run, role: Role, moment: Moment) -> float | None:
    """The gas in the tube of this electrode [m³ over water]; None where no gas can be collected or told."""
    if not _collects(run, role):
        return None
    return water.gas_volume(moment.gas[role], run.setup.temperature, run.setup.pressure)


def _volumes(run: Run, role: Role, moments: list[Moment]) -> Values:
    return tuple(tube_volume(run, role, moment) for moment in moments)


def _collects(run: Run, role: Role) -> bool:
    periods = run.periods[role]
    if any(period.choice.mixed for period in periods):
        return False
    gases = tables.gases()
    return any(
        product in gases and gases[product].collected
        for period in periods
        for product, _share in period.choice.made
    )
