"""Everything that can be set up is run: nothing crashes, every answer makes sense."""

from itertools import product
from math import isfinite

import pytest

from problems.cell.evidence import evidence
from problems.cell.series import series
from problems.cell.setup import Setup
from problems.cell.shown import Electrode, Evidence
from problems.cell.tables import electrodes, electrolytes

from .helpers import cell, strongest

INERT = ("graphite", "platinum")
OWN_METAL = (("CuSO4", "copper"), ("CuCl2", "copper"), ("Cu(NO3)2", "copper"), ("AgNO3", "silver"),
             ("ZnSO4", "zinc"), ("NiSO4", "nickel"))  # fmt: skip
PAIRS = [(salt, material) for salt in electrolytes() for material in INERT] + list(OWN_METAL)
CURRENTS, TIMES = (1e-3, 0.1, 5.0), (1.0, 600.0, 86_400.0)


def check(shown: Evidence) -> None:
    """What must hold whatever the setup."""
    if shown.use == "refused":
        assert shown.refused_reason
        assert not shown.electrodes
        return
    assert 0 < shown.charge <= shown.setup.current * shown.setup.time * (1 + 1e-9)
    assert (shown.ends_at is None) == (shown.end_reason is None)
    if shown.ends_at is None:
        assert shown.charge == pytest.approx(shown.setup.current * shown.setup.time)
    else:
        assert 0 < shown.ends_at <= shown.setup.time
    for electrode in shown.electrodes:
        check_electrode(electrode, shown)


def check_electrode(electrode: Electrode, shown: Evidence) -> None:
    end = shown.setup.time if shown.ends_at is None else shown.ends_at
    assert electrode.stages[0].from_time == 0
    assert electrode.stages[-1].until_time == pytest.approx(end)
    for before, after in zip(electrode.stages, electrode.stages[1:], strict=False):
        assert before.until_time == after.from_time
        assert before.until_time > before.from_time
    for value in (electrode.ph, electrode.ph_alone):
        assert value is None or -2 < value < 16
    amounts = (electrode.gas_mol, electrode.gas_volume, electrode.gas_volume_dry, electrode.deposit)
    assert all(value is None or (value > 0 and isfinite(value)) for value in amounts)
    assert electrode.mass_change is None or electrode.mass_change < 0
    if electrode.gas_volume is not None:
        assert electrode.gas_volume <= shown.setup.tube_volume * (1 + 1e-6)
    assert electrode.candidates
    assert all(entry.why for entry in electrode.candidates)
    assert all(electrode.unfair.values())
    assert electrode.why
    assert electrode.products


@pytest.mark.parametrize(("salt", "material"), PAIRS)
def test_every_served_pair_over_all_sizes(salt: str, material: str) -> None:
    top = electrolytes()[salt].solubility
    for molarity, current, time in product((1e-4, 1e-2, strongest(salt, 0.5), top), CURRENTS, TIMES):
        check(evidence(cell(salt, molarity, material, "litmus", current, time)))


@pytest.mark.parametrize("salt", sorted(electrolytes()))
def test_every_combination_of_electrodes(salt: str) -> None:
    for cathode, anode in product(electrodes(), repeat=2):
        check(evidence(cell(salt, strongest(salt, 0.1), f"{cathode}:{anode}", "universal indicator")))


@pytest.mark.parametrize("salt", sorted(electrolytes()))
def test_series_of_every_salt(salt: str) -> None:
    for material, time in product(INERT, (60.0, 40_000.0)):
        setup = cell(salt, strongest(salt, 0.2), material, "litmus", 0.2, time)
        if evidence(setup).use == "refused":
            continue
        course = series(setup)
        assert len(course.minutes) >= 25
        assert course.minutes[0] == 0
        assert list(course.minutes) == sorted(course.minutes)


def test_every_salt_gives_evidence_on_inert_electrodes_and_its_metal() -> None:
    never = {(salt, material) for salt, material in PAIRS if not shown_for(salt, material).electrodes}
    assert never == {("NH4Cl", "graphite"), ("NH4Cl", "platinum"), ("CuCl2", "copper")}


def test_at_most_a_fifth_of_the_served_pairs_is_refused_or_not_asked() -> None:
    left_out = {}
    for pair in PAIRS:
        shown = shown_for(*pair)
        asked = [electrode for electrode in shown.electrodes if "half_reaction" in electrode.fair]
        if not asked:
            left_out[pair] = shown.refused_reason or [
                electrode.unfair["half_reaction"] for electrode in shown.electrodes
            ]
    assert all(left_out.values())
    assert len(left_out) <= len(PAIRS) / 5, left_out


def shown_for(salt: str, material: str) -> Evidence:
    """The pair at a usual strength: 1 mol/L of chloride, else 0.1 mol/L."""
    molarity = 1.0 if "Cl" in salt and "ClO4" not in salt else strongest(salt, 0.1)
    return evidence(cell(salt, molarity, material))


def test_every_refusal_of_any_pair_has_a_reason() -> None:
    for salt, material in product(electrolytes(), electrodes()):
        shown = evidence(cell(salt, strongest(salt, 0.1), material))
        if shown.use == "refused":
            assert len(shown.refused_reason) > 30
            assert shown.allowed_in_class is False
            assert set(shown.unfair.values()) == {shown.refused_reason}


def test_the_extremes_of_every_quantity() -> None:
    for temperature, pressure, arm, tube in product(
        (278.15, 318.15), (50e3, 110e3), (5e-6, 1e-3), (1e-6, 1e-3)
    ):
        check(
            evidence(
                Setup(
                    "KNO3",
                    100.0,
                    "graphite",
                    "platinum",
                    "litmus",
                    0.1,
                    600.0,
                    temperature,
                    pressure,
                    arm,
                    tube,
                )
            )
        )
