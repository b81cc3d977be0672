"""The run in stages: what is used up, what is full, what is saturated, and when."""

import pytest

from problems.cell import water
from problems.cell.evidence import evidence
from problems.cell.run import simulate
from problems.cell.units import FARADAY
from problems.chemistry.formula import Formula

from .helpers import cell


def halves(role: str, shown) -> list[str]:  # type: ignore[no-untyped-def]
    return [str(stage.half_reaction) for stage in getattr(shown, role).stages]


def test_one_stage_is_the_rule() -> None:
    shown = evidence(cell("KNO3", 0.1))
    for electrode in shown.electrodes:
        assert len(electrode.stages) == 1
        assert (electrode.stages[0].from_time, electrode.stages[0].until_time) == (0.0, pytest.approx(600.0))
    assert shown.charge == pytest.approx(60.0)
    assert shown.electrons == pytest.approx(60 / FARADAY)
    assert shown.ends_at is None


def test_copper_is_used_up_and_hydrogen_takes_over() -> None:
    shown = evidence(cell("CuSO4", 0.01, time=3600.0))
    assert halves("cathode", shown) == ["Cu^2+ + 2 e^- -> Cu", "2 H2O + 2 e^- -> H2 + 2 OH^-"]
    change = shown.cathode.stages[0].until_time
    # 0.5 mmol in the arm, less a hundredth, need 95.5 C; the current brings two fifths of what it takes.
    alone = 0.99 * 0.5e-3 * 2 * FARADAY / 0.1
    assert alone < change < 1.8 * alone
    assert shown.cathode.deposit * 1000 == pytest.approx(change * 0.1 / FARADAY / 2 * 63.546, rel=1e-4)
    assert "deposit" not in shown.cathode.fair
    assert shown.cathode.gas is None


def test_silver_lasts_longer_than_its_own_charge() -> None:
    # Ag^+ carries 0.464 of the current: 0.5 mmol last for at most 1/(1 - 0.464) of their charge.
    first = simulate(cell("AgNO3", 0.01, time=3600.0)).periods["cathode"][0]
    assert 0.99 * 0.5e-3 < first.electrons(0.1) < 0.5e-3 / (1 - 0.464)


def test_iodide_is_used_up_and_oxygen_follows() -> None:
    shown = evidence(cell("KI", 0.02, current=0.2, time=1500.0, tube_volume=1e-3))
    assert halves("anode", shown) == ["2 I^- -> I2 + 2 e^-", "2 H2O -> O2 + 4 H^+ + 4 e^-"]
    assert shown.anode.ph is None


def test_strong_brine_falls_into_the_mixed_zone_then_gives_oxygen() -> None:
    shown = evidence(cell("HCl", 1.2, current=1.0, time=86_400.0, tube_volume=1e-3, arm_volume=10e-6))
    stages = shown.anode.stages
    assert [stage.mixed for stage in stages] == [False, True, False][: len(stages)]
    assert len(stages) >= 2
    assert stages[1].products == (Formula.parse("Cl2"), Formula.parse("O2"))
    assert stages[1].half_reaction is None
    assert not shown.anode.fair & {"gas_amount", "ph", "colour"}


def test_a_full_tube_ends_the_run_and_says_when() -> None:
    shown = evidence(cell("KNO3", 0.25, current=0.4, time=3600.0))
    amount = water.gas_amount(50e-6, 294.15, 101_325.0)
    assert shown.ends_at == pytest.approx(2 * amount * FARADAY / 0.4)
    assert shown.cathode.gas_volume == pytest.approx(50e-6)
    assert shown.anode.gas_volume == pytest.approx(25e-6)
    assert "tube over the cathode is full after 16." in shown.end_reason
    assert shown.charge == pytest.approx(0.4 * shown.ends_at)


def test_the_anode_tube_may_be_the_first() -> None:
    shown = evidence(cell("CuSO4", 1.0, current=1.0, time=3600.0))
    assert "tube over the anode" in shown.end_reason


def test_an_active_anode_may_saturate_its_arm() -> None:
    shown = evidence(cell("CuSO4", 1.3, "copper", current=1.0, time=40_000.0, arm_volume=10e-6))
    assert "saturated" in shown.end_reason
    assert shown.ends_at < 40_000
    assert len(shown.anode.stages) == 1


def test_chlorine_never_fills_a_tube() -> None:
    run = simulate(cell("NaCl", 5.0, current=0.2, time=60.0, tube_volume=1e-6))
    assert run.ending == "cathode_tube"
    assert run.end.gas["anode"] == 0


def test_acid_arms_do_not_turn_basic_on_paper_only() -> None:
    # Hydrogen ions carry most of the current of an acid, so that the cathode arm loses only a little.
    shown = evidence(cell("H2SO4", 0.4, current=0.1, time=1200.0))
    assert shown.cathode.ph < 0.5
    assert abs(shown.cathode.ph - shown.start_ph) < 0.02
    alone = evidence(cell("HCl", 0.02, current=0.2, time=600.0, arm_volume=20e-6))
    assert alone.cathode.ph_alone > 7
    assert alone.cathode.ph < alone.cathode.ph_alone


def test_arms_mirror_each_other_in_a_neutral_salt() -> None:
    end = simulate(cell("KNO3", 0.1)).end
    assert end.ph["cathode"] + end.ph["anode"] == pytest.approx(14.0, abs=0.01)


def test_moments_between_the_steps() -> None:
    run = simulate(cell("CuSO4", 0.1))
    assert run.at(0.0) is run.moments[0]
    assert run.at(1e9) is run.end
    half = run.at(run.end.time / 2 + 1)
    assert half.time == pytest.approx(run.end.time / 2 + 1)
    first, last = run.moments[0], run.end
    for role in ("cathode", "anode"):
        low, high = sorted((first.contents[role]["Cu^2+"], last.contents[role]["Cu^2+"]))
        assert low <= half.contents[role]["Cu^2+"] <= high
    assert half.gas["anode"] == pytest.approx(last.gas["anode"] * half.time / last.time)


@pytest.mark.parametrize("steps", [16, 64])
def test_finer_steps_change_nothing_that_is_seen(steps: int) -> None:
    setups = [cell("KNO3", 0.1), cell("K2SO4", 0.2, time=900.0), cell("CuSO4", 0.01, time=3600.0)]
    for setup in setups:
        before, after = simulate(setup), simulate(setup, steps)
        for role in ("cathode", "anode"):
            assert after.end.ph[role] == pytest.approx(before.end.ph[role], abs=0.05)
            times = [[period.until for period in run.periods[role]] for run in (before, after)]
            assert times[1] == pytest.approx(times[0], rel=0.03)


@pytest.mark.parametrize(
    ("salt", "metal"), [("AgNO3", "silver"), ("CuSO4", "copper"), ("Cu(NO3)2", "copper")]
)
def test_electrodes_that_exchange_their_metal_make_no_acid(salt: str, metal: str) -> None:
    # Half of the ion of an arm is moved, and neither arm turns acid or basic.
    run = simulate(cell(salt, 0.2, metal, current=0.4, time=600.0))
    for role in ("cathode", "anode"):
        assert run.end.ph[role] == pytest.approx(run.start_ph, abs=0.25)
    total = sum(
        run.end.contents[role][run.periods["anode"][0].choice.given.plain] for role in ("cathode", "anode")
    )
    assert total == pytest.approx(2 * 0.2 * 0.05)


def at_change(run, role: str):  # type: ignore[no-untyped-def]
    """The moment at which the first stage of an electrode ends."""
    return next(moment for moment in run.moments if moment.time == run.periods[role][0].until)


def test_an_ion_counts_as_used_up_at_a_hundredth() -> None:
    run = simulate(cell("CuSO4", 0.01, time=3600.0))
    left = at_change(run, "cathode").contents["cathode"]["Cu^2+"] / (0.01 * 0.05)
    assert left == pytest.approx(0.01, abs=0.002)
    assert all(moment.contents["cathode"]["Cu^2+"] <= 0.0102 * 0.01 * 0.05 for moment in run.moments[-3:])


@pytest.mark.parametrize(("molarity", "left"), [(1.2, 0.6), (4.0, 1.0), (0.5, 0.01), (0.016, 0.008)])
def test_chloride_falls_out_of_its_zone(molarity: float, left: float) -> None:
    # Strong chloride until 1 mol/L or until half is gone, a mixture until 0.01 mol/L or until half is gone.
    run = simulate(cell("HCl", molarity, current=1.0, time=86_400.0, tube_volume=1e-3, arm_volume=5e-6))
    assert len(run.periods["anode"]) > 1
    moment = at_change(run, "anode")
    assert moment.contents["anode"]["Cl^-"] / 0.005 == pytest.approx(left, rel=0.03)


def test_a_mixed_zone_gives_each_product_half_of_the_current() -> None:
    run = simulate(cell("NiSO4", 0.5, current=0.1, time=600.0))
    electrons = 60 / FARADAY
    assert run.end.gas["cathode"] == pytest.approx(electrons / 2 / 2)
    taken = 2 * 0.5 * 0.05 - sum(run.end.contents[role]["Ni^2+"] for role in ("cathode", "anode"))
    assert taken == pytest.approx(electrons / 2 / 2)
    zone = simulate(cell("NaCl", 0.5, current=0.1, time=600.0))
    assert zone.end.gas["anode"] == pytest.approx(electrons / 2 / 4)
