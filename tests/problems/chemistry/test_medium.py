"""Half-reactions turned from acid into base and back, and H⁺ into H₃O⁺ and back."""

import pytest
from hypothesis import given

from problems.chemistry.equation import Equation
from problems.chemistry.formula import HYDROGEN_ION, HYDRONIUM, HYDROXIDE
from problems.chemistry.medium import in_acid, in_base, with_hydrogen_ion, with_hydronium
from tests.problems.chemistry.strategies import balanced

# Pairs that stand side by side in Chemistry 2e (OpenStax), Appendix L.
PAIRS = [
    ("2 H^+ + 2 e^- -> H2", "2 H2O + 2 e^- -> H2 + 2 OH^-"),
    ("O2 + 4 H^+ + 4 e^- -> 2 H2O", "O2 + 2 H2O + 4 e^- -> 4 OH^-"),
    ("MnO2 + 4 H^+ + 2 e^- -> Mn^2+ + 2 H2O", "MnO2 + 2 H2O + 2 e^- -> Mn^2+ + 4 OH^-"),
    ("MnO4^- + 4 H^+ + 3 e^- -> MnO2 + 2 H2O", "MnO4^- + 2 H2O + 3 e^- -> MnO2 + 4 OH^-"),
    ("NO3^- + 2 H^+ + 2 e^- -> NO2^- + H2O", "NO3^- + H2O + 2 e^- -> NO2^- + 2 OH^-"),
]


@pytest.mark.parametrize(("acid", "base"), PAIRS)
def test_acid_becomes_base_and_base_acid(acid: str, base: str) -> None:
    assert in_base(Equation.parse(acid)) == Equation.parse(base)
    assert in_acid(Equation.parse(base)) == Equation.parse(acid)


@pytest.mark.parametrize(
    ("plain", "hydronium"),
    [
        ("2 H^+ + 2 e^- -> H2", "2 H3O^+ + 2 e^- -> H2 + 2 H2O"),
        ("2 H2O -> O2 + 4 H^+ + 4 e^-", "6 H2O -> O2 + 4 H3O^+ + 4 e^-"),
        ("HSO4^- -> SO4^2- + H^+", "HSO4^- + H2O -> SO4^2- + H3O^+"),
    ],
)
def test_the_hydrogen_ion_is_written_both_ways(plain: str, hydronium: str) -> None:
    assert with_hydronium(Equation.parse(plain)) == Equation.parse(hydronium)
    assert with_hydrogen_ion(Equation.parse(hydronium)) == Equation.parse(plain)


def test_hydronium_too_is_turned_into_base() -> None:
    assert str(in_base(Equation.parse("6 H2O -> O2 + 4 H3O^+ + 4 e^-"))) == "4 OH^- -> O2 + 2 H2O + 4 e^-"


def test_electrons_are_written_last() -> None:
    assert str(in_base(Equation.parse("2 H2O -> 4 e^- + 4 H^+ + O2"))) == "4 OH^- -> O2 + 2 H2O + 4 e^-"


@given(balanced)
def test_every_form_is_balanced_with_the_same_electrons(equation: Equation) -> None:
    for change in (in_acid, in_base, with_hydronium, with_hydrogen_ion):
        changed = change(equation)
        assert changed.is_balanced
        assert changed.electrons == equation.electrons


@given(balanced)
def test_no_form_holds_what_it_is_to_avoid(equation: Equation) -> None:
    assert not in_base(equation).species & {HYDROGEN_ION, HYDRONIUM}
    assert HYDROXIDE not in in_acid(equation).species
    assert HYDROGEN_ION not in with_hydronium(equation).species
    assert HYDRONIUM not in with_hydrogen_ion(with_hydronium(equation)).species


@given(balanced)
def test_there_and_back_changes_nothing(equation: Equation) -> None:
    acid = in_acid(equation)
    assert in_acid(in_base(acid)) == acid
    assert with_hydrogen_ion(with_hydronium(acid)) == acid
