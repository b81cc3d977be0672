"""Equations: reading, counting, adding, cancelling; what is conserved."""

from fractions import Fraction
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from problems.chemistry.equation import Equation, EquationError, atoms_on, charge_on, overall
from problems.chemistry.formula import ELECTRON, Formula, FormulaError
from problems.errors import ProblemError
from tests.problems.chemistry.strategies import BALANCED, HALVES, equations, halves
from tests.problems.chemistry.tables import rows

REDUCTIONS = [half for half in HALVES if half.electrons > 0]
OXIDATIONS = [half for half in HALVES if half.electrons < 0]
factors = st.fractions(min_value="1/7", max_value=50, max_denominator=7)


def test_reads_both_sides_with_their_coefficients() -> None:
    cathode = Equation.parse("2 H2O + 2 e^- -> H2 + 2 OH^-")
    assert [(str(species), count) for species, count in cathode.left] == [("H2O", 2), ("e^-", 2)]
    assert [(str(species), count) for species, count in cathode.right] == [("H2", 1), ("OH^-", 2)]


def test_a_species_written_twice_is_added_up() -> None:
    assert str(Equation.parse("H2O + 1/2 H2O -> HOH")) == "3/2 H2O -> HOH"


@pytest.mark.parametrize(
    "text",
    [
        "",
        "H2O",
        "H2O -> ",
        "H2O->H2",
        "H2 -> H2 -> H2",
        "0 H2 -> H2",
        "-1 H2 -> H2",
        "x H2 -> H2",
        "1 2 H2 -> H2",
    ],
)
def test_refuses_what_is_no_equation(text: str) -> None:
    with pytest.raises((EquationError, FormulaError)) as fault:
        Equation.parse(text)
    assert str(fault.value).endswith(".")


@pytest.mark.parametrize("text", ["1e5 H2 -> H2", "1/0 H2 -> H2", "0.5 H2 -> H2", "99999999999 H2 -> H2"])
def test_coefficients_are_plain_whole_numbers_or_fractions(text: str) -> None:
    with pytest.raises(EquationError, match="is not an equation"):
        Equation.parse(text)


def test_the_order_on_a_side_does_not_count() -> None:
    one, other = Equation.parse("H2 + 2 Ag^+ -> 2 H^+ + 2 Ag"), Equation.parse("2 Ag^+ + H2 -> 2 Ag + 2 H^+")
    assert one == other
    assert hash(one) == hash(other)


@pytest.mark.parametrize("other", ["2 Ag -> 2 Ag^+ + 2 e^-", "Ag -> Ag^+", "Ag^+ + e^- -> Ag"])
def test_other_equations_are_not_equal(other: str) -> None:
    assert Equation.parse("Ag -> Ag^+ + e^-") != Equation.parse(other)


def test_an_equation_is_not_its_text() -> None:
    assert Equation.parse("H2 -> H2") != "H2 -> H2"


@pytest.mark.parametrize("count", [0, -1])
def test_coefficients_must_be_positive(count: int) -> None:
    with pytest.raises(ProblemError, match="positive"):
        Equation(((ELECTRON, Fraction(count)),), ())


def test_a_species_stands_once_on_a_side() -> None:
    with pytest.raises(ProblemError, match="once"):
        Equation(((ELECTRON, Fraction(1)), (ELECTRON, Fraction(2))), ())


def test_building_drops_what_is_zero() -> None:
    assert str(Equation.of({ELECTRON: 2, Formula.parse("Cu"): 0}, {})) == "2 e^- -> "


@pytest.mark.parametrize("equation", BALANCED, ids=str)
def test_balanced_reactions_balance(equation: Equation) -> None:
    assert equation.is_balanced
    assert atoms_on(equation.left) == atoms_on(equation.right)
    assert charge_on(equation.left) == charge_on(equation.right)


@pytest.mark.parametrize("row", [row for row in rows("balancing.csv") if row["skeleton"] != row["balanced"]])
def test_skeletons_do_not_balance(row: dict[str, str]) -> None:
    assert not Equation.parse(row["skeleton"]).is_balanced


@pytest.mark.parametrize(
    ("text", "balanced"),
    [("Cu^2+ + e^- -> Cu", False), ("Zn + Ag^+ -> Zn^2+ + Ag", False), ("Fe^3+ + e^- -> Fe^2+", True)],
)
def test_charge_counts_as_well_as_atoms(text: str, balanced: bool) -> None:
    assert Equation.parse(text).is_balanced is balanced


@pytest.mark.parametrize(
    ("text", "electrons"),
    [("Cu^2+ + 2 e^- -> Cu", 2), ("Ag -> Ag^+ + e^-", -1), ("2 e^- + H2 -> H2 + 2 e^-", 0)],
)
def test_electrons_are_positive_in_a_reduction(text: str, electrons: int) -> None:
    assert Equation.parse(text).electrons == electrons


@pytest.mark.parametrize(
    ("cathode", "anode", "expected"),
    [
        # Potassium nitrate on graphite: Chemistry 2e (OpenStax), section 17.7, water is split.
        ("2 H2O + 2 e^- -> H2 + 2 OH^-", "2 H2O -> O2 + 4 H^+ + 4 e^-", "2 H2O -> 2 H2 + O2"),
        ("4 H^+ + 4 e^- -> 2 H2", "2 H2O -> O2 + 4 H^+ + 4 e^-", "2 H2O -> 2 H2 + O2"),
        ("2 H2O + 2 e^- -> H2 + 2 OH^-", "4 OH^- -> O2 + 2 H2O + 4 e^-", "2 H2O -> 2 H2 + O2"),
        ("2 H2O + 2 e^- -> H2 + 2 OH^-", "6 H2O -> O2 + 4 H3O^+ + 4 e^-", "2 H2O -> 2 H2 + O2"),
        # Brine, the same section.
        ("2 H2O + 2 e^- -> H2 + 2 OH^-", "2 Cl^- -> Cl2 + 2 e^-", "2 Cl^- + 2 H2O -> H2 + Cl2 + 2 OH^-"),
        # Copper sulfate and silver nitrate at inert electrodes (common practice).
        ("Cu^2+ + 2 e^- -> Cu", "2 H2O -> O2 + 4 H^+ + 4 e^-", "2 Cu^2+ + 2 H2O -> 2 Cu + O2 + 4 H^+"),
        ("Ag^+ + e^- -> Ag", "2 H2O -> O2 + 4 H^+ + 4 e^-", "4 Ag^+ + 2 H2O -> 4 Ag + O2 + 4 H^+"),
        # Daniell cell, Chemistry 2e, section 17.2.
        ("Cu^2+ + 2 e^- -> Cu", "Zn -> Zn^2+ + 2 e^-", "Cu^2+ + Zn -> Cu + Zn^2+"),
    ],
)
def test_two_halves_make_the_overall_equation(cathode: str, anode: str, expected: str) -> None:
    assert overall(Equation.parse(cathode), Equation.parse(anode)) == Equation.parse(expected)


def test_copper_plated_from_copper_leaves_nothing() -> None:
    plated = Equation.parse("Cu^2+ + 2 e^- -> Cu")
    assert overall(plated, plated.reversed()) == Equation((), ())


@pytest.mark.parametrize(
    ("cathode", "anode"),
    [
        ("Cu -> Cu^2+ + 2 e^-", "Zn -> Zn^2+ + 2 e^-"),
        ("Cu^2+ + 2 e^- -> Cu", "Ag^+ + e^- -> Ag"),
        ("H2 -> H2", "H2 -> H2"),
    ],
)
def test_halves_in_the_wrong_place_are_refused(cathode: str, anode: str) -> None:
    with pytest.raises(ProblemError, match="takes electrons"):
        overall(Equation.parse(cathode), Equation.parse(anode))


@pytest.mark.parametrize(
    ("text", "joined"),
    [
        ("2 H^+ + 2 OH^- -> O2", "2 H2O -> O2"),
        ("3 H^+ + OH^- -> O2", "2 H^+ + H2O -> O2"),
        ("H^+ + 3 OH^- + H2O -> O2", "2 OH^- + 2 H2O -> O2"),
        ("O2 -> H3O^+ + OH^-", "O2 -> 2 H2O"),
        ("H^+ -> OH^-", "H^+ -> OH^-"),
    ],
)
def test_acid_and_base_on_one_side_become_water(text: str, joined: str) -> None:
    assert Equation.parse(text).joined() == Equation.parse(joined)


def test_cancelling_takes_off_both_sides_what_both_hold() -> None:
    busy = Equation.parse("3 H2O + H^+ + 2 e^- -> 2 H2O + H^+ + H2")
    assert str(busy.cancelled()) == "H2O + 2 e^- -> H2"


@given(st.sampled_from(REDUCTIONS), st.sampled_from(OXIDATIONS))
def test_the_overall_equation_is_the_sum_of_its_halves(cathode: Equation, anode: Equation) -> None:
    whole = overall(cathode, anode)
    assert whole.is_balanced
    assert whole.electrons == 0
    both = (cathode.scaled(-anode.electrons) + anode.scaled(cathode.electrons)).joined().cancelled()
    factor = Fraction(both.left[0][1], whole.left[0][1]) if whole.left else Fraction(1)
    assert whole.scaled(factor) == both


@given(equations)
def test_plain_notation_is_read_back(equation: Equation) -> None:
    assert Equation.parse(str(equation)) == equation


@given(halves, factors)
def test_scaling_keeps_the_balance_and_scales_the_electrons(half: Equation, factor: Fraction) -> None:
    assert half.scaled(factor).is_balanced
    assert half.scaled(factor).electrons == half.electrons * factor


@given(equations, factors)
def test_smallest_whole_numbers_do_not_depend_on_the_scale(equation: Equation, factor: Fraction) -> None:
    smallest = equation.smallest_whole()
    assert equation.scaled(factor).smallest_whole() == smallest
    assert all(count.denominator == 1 for _species, count in (*smallest.left, *smallest.right))


@given(equations, st.randoms(use_true_random=False))
def test_the_order_of_terms_changes_nothing(equation: Equation, random: Random) -> None:
    shuffled = Equation(*(tuple(random.sample(side, len(side))) for side in (equation.left, equation.right)))
    assert shuffled == equation
    assert shuffled.net == equation.net
    assert shuffled.cancelled() == equation.cancelled()
    assert shuffled.joined() == equation.joined()


@given(equations, equations)
def test_the_net_change_of_a_sum_is_the_sum_of_net_changes(one: Equation, other: Equation) -> None:
    total = (one + other).net
    for species in {*one.species, *other.species}:
        assert total.get(species, 0) == one.net.get(species, 0) + other.net.get(species, 0)


@given(equations)
def test_cancelling_and_reversing_follow_the_net_change(equation: Equation) -> None:
    assert Equation.from_net(equation.net) == equation.cancelled()
    assert equation.cancelled().cancelled() == equation.cancelled()
    assert equation.reversed().net == {species: -count for species, count in equation.net.items()}


@given(equations)
def test_joining_keeps_atoms_and_charge_of_each_side(equation: Equation) -> None:
    joined = equation.joined()
    assert atoms_on(joined.left) == atoms_on(equation.left)
    assert charge_on(joined.right) == charge_on(equation.right)
