"""What must hold for every setup: conservation, consistency, order."""

from fractions import Fraction
from itertools import pairwise, product

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from problems import words
from problems.cell import tables
from problems.cell.arm import acid_made
from problems.cell.discharge import OH, WATER, H, choose
from problems.cell.evidence import _evidence, evidence
from problems.cell.run import ROLES, _simulated, simulate, start_ph
from problems.cell.setup import Setup
from problems.cell.solution import concentrations, dissolve
from problems.cell.units import FARADAY
from problems.chemistry.equation import overall
from problems.chemistry.formula import ELECTRON
from problems.conventions import Conventions, written

from .helpers import cell


@st.composite
def setups(draw: st.DrawFn) -> Setup:
    salt = draw(st.sampled_from(sorted(tables.electrolytes())))
    share = draw(st.floats(0.01, 1.0))
    inert = st.sampled_from(["graphite", "platinum", "copper", "silver", "zinc", "nickel"])
    return cell(
        salt,
        max(share * tables.electrolytes()[salt].solubility, 1e-4),
        f"{draw(inert)}:{draw(inert)}",
        draw(st.sampled_from([None, *sorted(tables.indicators())])),
        draw(st.floats(1e-3, 1.0)),
        draw(st.floats(1.0, 7200.0)),
    )


@settings(deadline=None, max_examples=150)
@given(setups())
def test_atoms_and_charge_are_conserved(setup: Setup) -> None:
    shown = evidence(setup)
    for electrode in shown.electrodes:
        for half in (*electrode.accepted, *(entry.half_reaction for entry in electrode.candidates)):
            assert half.is_balanced
            assert (half.electrons > 0) == (electrode.role == "cathode")
    if shown.overall:
        assert shown.overall.is_balanced
        assert ELECTRON not in shown.overall.species


@settings(deadline=None, max_examples=100)
@given(setups())
def test_overall_is_the_sum_of_the_halves(setup: Setup) -> None:
    shown = evidence(setup)
    assume(shown.overall is not None)
    cathode, anode = shown.cathode.half_reaction, shown.anode.half_reaction
    assert shown.overall == overall(cathode, anode)
    total = (cathode.scaled(1 / cathode.electrons) + anode.scaled(1 / -anode.electrons)).net
    neutralised = min(max(total.get(H, 0), 0), max(total.get(OH, 0), 0))
    for species, change in ((H, -neutralised), (OH, -neutralised), (WATER, neutralised)):
        total[species] = total.get(species, Fraction()) + change
    total = {species: count for species, count in total.items() if count}
    some = next(iter(shown.overall.net))
    scale = shown.overall.net[some] / total[some]
    assert {species: count * scale for species, count in total.items()} == shown.overall.net


@settings(deadline=None, max_examples=150)
@given(setups())
def test_amounts_follow_from_electrons(setup: Setup) -> None:
    shown = evidence(setup)
    for electrode in shown.electrodes:
        if electrode.half_reaction is None:
            assert (electrode.gas_mol, electrode.deposit, electrode.mass_change) == (None, None, None)
            continue
        first = electrode.stages[0]
        electrons = (first.until_time - first.from_time) * setup.current / FARADAY
        per_electron = dict(electrode.half_reaction.right)
        if electrode.gas:
            expected = electrons * per_electron[electrode.gas] / abs(electrode.half_reaction.electrons)
            assert electrode.gas_mol == pytest.approx(float(expected))
        if electrode.deposit:
            metal = electrode.products[0]
            expected = electrons * float(per_electron[metal] / abs(electrode.half_reaction.electrons))
            assert electrode.deposit * 1000 == pytest.approx(expected * metal.molar_mass)


@settings(deadline=None, max_examples=100)
@given(setups())
def test_gas_ratio_follows_from_electrons(setup: Setup) -> None:
    shown = evidence(setup)
    assume(shown.ratio is not None)
    made = [
        Fraction(dict(electrode.half_reaction.right)[electrode.gas]) / abs(electrode.half_reaction.electrons)
        for electrode in shown.electrodes
    ]
    assert Fraction(*shown.ratio) == made[0] / made[1]
    if len(shown.cathode.stages) == len(shown.anode.stages) == 1:
        assert shown.cathode.gas_mol / shown.anode.gas_mol == pytest.approx(shown.ratio[0] / shown.ratio[1])


@settings(deadline=None, max_examples=80)
@given(setups())
def test_ph_never_turns_back_within_a_stage(setup: Setup) -> None:
    """Where an electrode makes or takes acid or base; elsewhere the pH only drifts with the salt."""
    assume(evidence(setup).use != "refused")
    run = simulate(setup)
    edges = sorted({period.start for role in ROLES for period in run.periods[role]} | {run.end.time})
    for role, (first, last) in product(ROLES, pairwise(edges)):
        period = next(period for period in run.periods[role] if period.until >= last)
        if acid_made(period, 1.0) == 0:
            continue
        course = [moment.ph[role] for moment in run.moments if first <= moment.time <= last]
        steps = [after - before for before, after in pairwise(course)]
        assert all(step <= 2e-3 for step in steps) or all(step >= -2e-3 for step in steps), (role, course)


@settings(deadline=None, max_examples=60)
@given(setups())
def test_nothing_is_lost_in_the_arms(setup: Setup) -> None:
    """A part that is neither discharged nor given is as much at the end as at the start."""
    assume(evidence(setup).use != "refused")
    run = simulate(setup)
    used = {
        ion.plain
        for role in ROLES
        for period in run.periods[role]
        for ion in (period.choice.taken, period.choice.given)
        if ion is not None
    }
    for part in run.moments[0].contents["cathode"]:
        if part not in used:
            before = sum(run.moments[0].contents[role][part] for role in ROLES)
            assert sum(run.end.contents[role][part] for role in ROLES) == pytest.approx(before)
        assert all(moment.contents[role][part] >= 0 for moment in run.moments for role in ROLES)


@settings(deadline=None, max_examples=60)
@given(salt=st.sampled_from(sorted(tables.electrolytes())), data=st.data())
def test_nothing_depends_on_the_order_of_inputs(salt: str, data: st.DataObject) -> None:
    row = tables.electrolytes()[salt]
    molarity = min(0.5, row.solubility)
    ions = concentrations(dissolve(row, molarity), start_ph(row, molarity))
    turned = dict(data.draw(st.permutations(list(ions.items()))))
    for role in ROLES:
        for material in ("graphite", "platinum", "copper"):
            first = choose(role, row, tables.electrodes()[material], ions, 7.0)
            second = choose(role, row, tables.electrodes()[material], turned, 7.0)
            assert first == second


def test_the_same_setup_gives_the_same_evidence() -> None:
    setup = cell("CuSO4", 0.1, "graphite", "litmus")
    texts = setup.as_json()
    first = evidence(setup)
    for again in (setup, Setup.from_json(dict(reversed(texts.items())))):
        _evidence.cache_clear()
        _simulated.cache_clear()
        found = evidence(again)
        assert found is not first
        assert found == first


def test_what_is_kept_of_a_setup_is_told_in_the_language_and_the_way_of_whoever_asks() -> None:
    setup = cell("CuSO4", 0.1, "graphite", "litmus", time=300.0)
    english, run = evidence(setup), simulate(setup)
    with words.language("de"):
        assert evidence(setup).anode.why != english.anode.why
        assert simulate(setup).periods["anode"][0].choice.why != run.periods["anode"][0].choice.why
    with written(Conventions(decimal=",")):
        assert evidence(setup).anode.why == english.anode.why.replace(".", ",").rstrip(",") + "."
    assert evidence(setup) == english


@settings(deadline=None, max_examples=40)
@given(time=st.floats(10.0, 600.0), factor=st.floats(1.1, 3.0))
def test_twice_the_time_never_gives_less(time: float, factor: float) -> None:
    first, second = (evidence(cell("K2SO4", 0.2, time=value)) for value in (time, time * factor))
    assert second.cathode.gas_mol / first.cathode.gas_mol == pytest.approx(factor)
    assert second.cathode.ph >= first.cathode.ph
    assert second.anode.ph <= first.anode.ph


def test_traces_of_a_foreign_anode_do_not_plate() -> None:
    # Copper that comes over from its anode into potassium sulfate is a run that is not asked about.
    shown = evidence(cell("K2SO4", 0.1, "graphite:copper", time=7200.0))
    assert [str(stage.half_reaction) for stage in shown.cathode.stages] == ["2 H2O + 2 e^- -> H2 + 2 OH^-"]
    assert "half_reaction" not in shown.anode.fair
    assert shown.use == "paper"
