"""The steps before species are compared, and the table of strong electrolytes."""

from fractions import Fraction

import pytest

from problems.chemistry.formula import HYDROGEN_ION, HYDROXIDE, Formula
from problems.chemistry.reading import read_equation
from problems.grading.equations.electrolytes import electrolytes, ions_of
from problems.grading.equations.sides import Sides, factor, is_balanced, is_smallest, net, split, water_added
from problems.grading.equations.steps import Frame, Work, frame_of, typed_sides, worked


def sides(text: str) -> Sides:
    return typed_sides(read_equation(text))


def after(text: str, key: str, role: str = "net_ionic") -> Work:
    frame, _work = frame_of(sides(key), role)
    return worked(sides(text), frame)


# Typed, key, and what is left of it after the steps.
LEFT_OVER = [
    ("2H3O+ + 2e- -> H2 + 2H2O", "2H+ + 2e- -> H2", "2H+ + 2e- -> H2"),
    ("H3O+ + OH- -> 2H2O", "H+ + OH- -> H2O", "H+ + OH- -> H2O"),
    ("AgNO3 + NaCl -> AgCl + NaNO3", "Ag+ + Cl- -> AgCl", "Ag+ + Cl- -> AgCl"),
    ("Zn + H2SO4 -> ZnSO4 + H2", "Zn + 2H+ -> Zn2+ + H2", "Zn + 2H+ -> Zn2+ + H2"),
    ("3Cl- + K+ -> Cl2 + Cl- + 5K+", "2Cl- -> Cl2 + 2e-", "2Cl- -> Cl2"),
    ("Ag + e- -> Ag", "Ag+ + e- -> Ag", "Ag + e- -> Ag"),
    ("6H2O -> 2H2 + O2 + 4H+ + 4OH-", "2H2O -> 2H2 + O2", "2H2O -> 2H2 + O2"),
]


@pytest.mark.parametrize(("typed", "key", "left_over"), LEFT_OVER)
def test_what_is_left_after_the_steps(typed: str, key: str, left_over: str) -> None:
    role = "half_reaction" if "e-" in key else "net_ionic"
    assert after(typed, key, role).sides == sides(left_over)


def test_sulfuric_acid_gives_one_hydrogen_ion_where_the_key_has_hydrogensulfate() -> None:
    acid, step = Formula.parse("H2SO4"), Formula.parse("HSO4^-")
    assert ions_of(acid, frozenset((step,))) == {HYDROGEN_ION: 1, step: 1}
    assert ions_of(acid, frozenset()) == {HYDROGEN_ION: 2, Formula.parse("SO4^2-"): 1}


def test_a_species_of_the_key_is_never_put_into_ions() -> None:
    work = after("HCl + H2O -> H3O+ + Cl-", "HCl + H2O -> H3O+ + Cl-")
    assert Formula.parse("HCl") in work.sides[0]


def test_each_step_leaves_its_trace() -> None:
    work = after("K+ + 2H2O + 2e- + Pt -> H2 + 2OH- + K+ + Pt", "2H2O + 2e- -> H2 + 2OH-", "half_reaction")
    assert work.spectators == [Formula.parse("K^+")]
    assert work.not_cancelled == [Formula.parse("Pt")]
    assert not work.has_hydronium


def test_a_key_keeps_its_own_ions_of_water() -> None:
    frame, work = frame_of(sides("H+ + OH- -> H2O"), "net_ionic")
    assert isinstance(frame, Frame)
    assert frame.keeps_water_ions
    assert set(work.sides[0]) == {HYDROGEN_ION, HYDROXIDE}


# Solubility: Chemistry 2e (OpenStax), table 4.1 and section 14.3; acetates and nitrates are soluble.
WHOLE = [
    ("NaCl", "Na^+ Cl^-"),
    ("(NH4)2CO3", "NH4^+ NH4^+ CO3^2-"),
    ("Al2(SO4)3", "Al^3+ Al^3+ SO4^2- SO4^2- SO4^2-"),
    ("Pb(NO3)2", "Pb^2+ NO3^- NO3^-"),
    ("CuSO4", "Cu^2+ SO4^2-"),
    ("CH3COONa", "Na^+ CH3COO^-"),
    ("Mg(CH3COO)2", "Mg^2+ CH3COO^- CH3COO^-"),
    ("FeCl3", "Fe^3+ Cl^- Cl^- Cl^-"),
    ("SnCl2", "Sn^2+ Cl^- Cl^-"),
    ("Na2S4O6", "Na^+ Na^+ S4O6^2-"),
    ("Ba(OH)2", "Ba^2+ OH^- OH^-"),
    ("HClO4", "H^+ ClO4^-"),
    ("AgClO4", "Ag^+ ClO4^-"),
]
STAYS = [
    "AgCl", "AgBr", "AgI", "PbCl2", "PbI2", "PbSO4", "BaSO4", "CaSO4", "BaCO3", "CaCO3", "MgCO3",
    "CuCO3", "ZnCO3", "Ag2CO3", "Ca(OH)2", "Mg(OH)2", "Cu(OH)2", "Al(OH)3", "HF", "CH3COOH", "H2CO3",
    "NH3", "H2O", "KMnO4", "CuI2", "MnSO4", "LiCl", "Cl2", "CuSO4.5H2O",
]  # fmt: skip


@pytest.mark.parametrize(("formula", "ions"), WHOLE)
def test_what_goes_into_ions(formula: str, ions: str) -> None:
    found = electrolytes()[Formula.parse(formula)]
    assert sorted(str(ion) for ion, count in found.items() for _one in range(count)) == sorted(ions.split())


@pytest.mark.parametrize("formula", STAYS)
def test_what_stays_whole(formula: str) -> None:
    assert Formula.parse(formula) not in electrolytes()


def test_every_row_keeps_atoms_and_charge() -> None:
    assert len(electrolytes()) > 100
    for formula, ions in electrolytes().items():
        one, many = {formula: Fraction(1)}, {ion: Fraction(count) for ion, count in ions.items()}
        assert is_balanced((one, many)), formula


def test_arithmetic_on_sides() -> None:
    water = net(sides("2H2O + 2e- -> H2 + 2OH-"))
    assert split(water) == sides("2H2O + 2e- -> H2 + 2OH-")
    assert split(water_added(water, HYDROXIDE)) == sides("2H+ + 2e- -> H2")
    assert factor({key: 3 * value for key, value in water.items()}, water) == 3
    assert factor({key: -value for key, value in water.items()}, water) is None
    assert factor(water, net(sides("2H+ + 2e- -> H2"))) is None
    assert is_smallest(sides("2H2O -> 2H2 + O2"))
    assert not is_smallest(sides("4H2O -> 4H2 + 2O2"))
    assert not is_smallest(sides("H2O -> H2 + 1/2O2"))
