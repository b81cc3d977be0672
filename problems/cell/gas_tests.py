"""How long a cell runs until there is gas enough for the tests, and how they are done."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from math import ceil
from types import MappingProxyType

from problems.cell import tables
from problems.cell.evidence import shown
from problems.cell.run import ROLES, Run, simulate
from problems.cell.series import tube_volume
from problems.cell.setup import Setup
from problems.cell.tables import Role
from problems.chemistry.formula import Formula

MINUTE = 60.0
LONGEST = 3600.0
"""No demonstration is drawn out beyond this [s] to fill a tube."""


@dataclass(frozen=True, slots=True)
class GasTest:
    """The test for a gas: `volume` [m³ over water] that it takes, None where no gas is collected."""

    gas: Formula
    volume: float | None
    how: str


@dataclass(frozen=True, slots=True)
class GasToTest:
    """A gas made at an electrode: its test, and when [s] it is enough, None where it is not collected."""

    role: Role
    test: GasTest
    enough_at: float | None


@lru_cache(maxsize=1)
def gas_tests() -> Mapping[Formula, GasTest]:
    """The tests by gas."""
    rows = tables.document("bench")["gas_test"]
    found = (GasTest(Formula.parse(row["formula"]), row.get("volume"), row["how"]) for row in rows)
    return MappingProxyType({test.gas: test for test in found})


def gases_to_test(run: Run) -> tuple[GasToTest, ...]:
    """The gases of a run that are tested, cathode first."""
    found = []
    for role in ROLES:
        for product in run.periods[role][0].choice.products:
            test = gas_tests().get(product)
            if test is not None and not run.periods[role][0].choice.mixed:
                found.append(GasToTest(role, test, _enough_at(run, role, test)))
    return tuple(found)


def _enough_at(run: Run, role: Role, test: GasTest) -> float | None:
    """When the tube holds what the test takes [s]; None where it never does."""
    if test.volume is None or tube_volume(run, role, run.end) is None:
        return None
    low, high = 0.0, run.end.time
    if _volume(run, role, high) < test.volume:
        return None
    while high - low > 0.01:
        half = (low + high) / 2
        low, high = (low, half) if _volume(run, role, half) >= test.volume else (half, high)
    return high


def _volume(run: Run, role: Role, time: float) -> float:
    return tube_volume(run, role, run.at(time)) or 0.0


def long_enough(setup: Setup) -> Setup:
    """The setup with the time, in whole minutes, in which every collected gas suffices for its test.

    It stays as it is where its own time is enough, where no gas is collected, and where so long a run would
    be no class cell any more.

    >>> kno3 = Setup("KNO3", 250.0, "graphite", "graphite", "phenol red", 0.1, 600.0)
    >>> long_enough(kno3).time / 60
    13.0
    """
    longest = replace(setup, time=max(setup.time, LONGEST))
    times = [each.enough_at for each in gases_to_test(simulate(longest)) if each.enough_at is not None]
    needed = MINUTE * ceil(max(times, default=0.0) / MINUTE)
    if needed <= setup.time:
        return setup
    # Chlorine or a used-up ion may forbid what the tube would allow.
    longer = replace(setup, time=needed)
    return longer if shown(simulate(longer)).allowed_in_class else setup
