"""How long a cell runs until its gases suffice for their tests, against Faraday's law done by hand."""

from dataclasses import replace

import pytest

from problems.cell.evidence import evidence
from problems.cell.gas_tests import LONGEST, gas_tests, gases_to_test, long_enough
from problems.cell.run import simulate
from problems.cell.setup import Setup
from problems.chemistry.formula import Formula
from problems.generators.setups import OFFERED, SHOWCASE

# CODATA 2022 constants; vapour pressure of water at 21 °C: 2.49 kPa (CRC Handbook).
FARADAY, GAS_CONSTANT, VAPOUR = 96485.33, 8.314463, 2490.0


def by_hand(volume: float, electrons: int, current: float) -> float:
    """Seconds until so much gas [m³] stands over water at 21 °C and 1 atm; `electrons` a molecule."""
    amount = (101_325 - VAPOUR) * volume / (GAS_CONSTANT * 294.15)
    return electrons * amount * FARADAY / current


@pytest.mark.parametrize(("gas", "electrons"), [("H2", 2), ("O2", 4)])
def test_each_gas_is_enough_when_faradays_law_says_so(gas: str, electrons: int) -> None:
    [found] = [each for each in gases_to_test(simulate(SHOWCASE)) if each.test.gas == Formula.parse(gas)]
    assert found.test.volume is not None
    assert found.enough_at == pytest.approx(by_hand(found.test.volume, electrons, 0.1), abs=2)


def test_a_short_run_is_drawn_out_to_whole_minutes_until_both_suffice() -> None:
    found = long_enough(replace(SHOWCASE, time=300.0))
    needed = max(by_hand(6e-6, 2, 0.1), by_hand(5e-6, 4, 0.1))
    assert found.time % 60 == 0
    assert needed <= found.time < needed + 60
    assert all(each.enough_at is not None for each in gases_to_test(simulate(found)))


def test_in_a_short_run_a_gas_does_not_suffice() -> None:
    assert [each.enough_at for each in gases_to_test(simulate(replace(SHOWCASE, time=120.0)))] == [None, None]


def test_a_long_run_stays_as_it_is() -> None:
    assert long_enough(SHOWCASE) == SHOWCASE


def test_without_gas_there_is_nothing_to_wait_for() -> None:
    zinc = OFFERED["zinc sulfate, zinc"]
    assert gases_to_test(simulate(zinc)) == ()
    assert long_enough(replace(zinc, time=60.0)).time == 60.0


def test_chlorine_is_tested_but_never_collected() -> None:
    hydrogen, chlorine = gases_to_test(simulate(OFFERED["sodium chloride brine, bromothymol blue, graphite"]))
    assert hydrogen.enough_at is not None
    assert (chlorine.test.gas, chlorine.enough_at) == (Formula.parse("Cl2"), None)
    assert "fume hood only" in chlorine.test.how


def test_a_run_is_not_drawn_out_beyond_what_a_class_may_see() -> None:
    """A weak current would make more chlorine than a demonstration may, or take longer than an hour."""
    brine = replace(OFFERED["sodium chloride brine, bromothymol blue, graphite"], current=0.04, time=300.0)
    slow = replace(SHOWCASE, current=0.01, time=600.0)
    for setup in (brine, slow):
        assert long_enough(setup).time <= LONGEST
        assert evidence(long_enough(setup)).allowed_in_class
    assert long_enough(slow) == slow


@pytest.mark.parametrize("setup", OFFERED.values(), ids=OFFERED)
def test_in_every_offered_cell_the_collected_gases_suffice(setup: Setup) -> None:
    run = simulate(long_enough(setup))
    collected = [each for each in gases_to_test(run) if each.test.volume is not None]
    assert all(each.enough_at is not None and each.enough_at <= run.end.time for each in collected)


def test_tests_are_kept_small() -> None:
    """Hydrogen is popped in small tubes only: a few millilitres (common practice)."""
    assert all(test.volume is None or test.volume <= 10e-6 for test in gas_tests().values())
    assert "away from the cell" in gas_tests()[Formula.parse("H2")].how
