"""Balancing: published answers, another library, and the difference between none, one and many."""

from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from problems.chemistry.balancing import Balanced, Unbalanceable, Undetermined, balance, complete
from problems.chemistry.equation import Equation
from problems.chemistry.formula import HYDROGEN_ION, Formula
from tests.problems.chemistry.tables import rows

CASES = rows("balancing.csv")
WORKED = rows("worked_balancing.csv")
UNIQUE = [row for row in CASES if row["dimension"] == "1"]
WIDE = [
    equation for equation in (Equation.parse(row["balanced"]) for row in UNIQUE) if len(equation.species) > 2
]
# Half-reactions whose skeleton leaves the medium and the electrons to be found.
OPEN_HALVES = [row for row in UNIQUE if row["kind"] == "half-reaction" and row["medium"]]
IN_MEDIUM = [row for row in UNIQUE if row["kind"] == "net ionic" and row["medium"]]


def identity(row: dict[str, str]) -> str:
    return row.get("id") or row["place"]


def test_the_table_holds_all_its_reactions() -> None:
    assert len(CASES) == 69
    assert {row["id"] for row in CASES} - {row["id"] for row in UNIQUE} == {"B44"}


@pytest.mark.parametrize("row", UNIQUE, ids=identity)
def test_finds_the_smallest_whole_numbers(row: dict[str, str]) -> None:
    """Source: the head of balancing.csv."""
    expected = Equation.parse(row["balanced"])
    assert balance(expected.scaled(3)) == Balanced(expected)


@pytest.mark.parametrize("row", [row for row in UNIQUE if row not in OPEN_HALVES], ids=identity)
def test_a_skeleton_has_the_same_answer(row: dict[str, str]) -> None:
    assert balance(Equation.parse(row["skeleton"])) == Balanced(Equation.parse(row["balanced"]))


@pytest.mark.parametrize("row", OPEN_HALVES, ids=identity)
def test_half_reactions_get_water_ions_and_electrons(row: dict[str, str]) -> None:
    found = complete(Equation.parse(row["skeleton"]), row["medium"], half=True)
    assert found == Balanced(Equation.parse(row["balanced"]))


@pytest.mark.parametrize("row", IN_MEDIUM, ids=identity)
def test_water_and_its_ions_are_found_where_they_are_written_too(row: dict[str, str]) -> None:
    found = complete(Equation.parse(row["skeleton"]), row["medium"], half=False)
    assert found == Balanced(Equation.parse(row["balanced"]))


@pytest.mark.parametrize("row", WORKED, ids=identity)
def test_agrees_with_worked_examples_of_textbooks(row: dict[str, str]) -> None:
    """Source: the first two columns of worked_balancing.csv."""
    skeleton, expected = Equation.parse(row["skeleton"]), Equation.parse(row["balanced"])
    found = complete(skeleton, row["medium"], half=bool(row["half"])) if row["medium"] else balance(skeleton)
    assert found == Balanced(expected)


@pytest.mark.peer
@pytest.mark.parametrize("row", UNIQUE, ids=identity)
def test_agrees_with_chempy(row: dict[str, str]) -> None:
    """Peer: chempy (B. Dahlgren), an independent solver by mixed-integer programming."""
    from chempy import Substance, balance_stoichiometry

    expected = Equation.parse(row["balanced"])
    left, right = (
        {species: Substance(species.plain, composition=_composition(species)) for species, _count in side}
        for side in (expected.left, expected.right)
    )
    names = [{species.plain for species in side} for side in (left, right)]
    substances = {each.name: each for each in (*left.values(), *right.values())}
    found = balance_stoichiometry(*names, substances=substances)
    ours = [
        {species.plain: int(count) for species, count in side} for side in (expected.left, expected.right)
    ]
    assert [{name: int(count) for name, count in side.items()} for side in found] == ours


def _composition(species: Formula) -> dict[int, int]:
    """As chempy counts: atomic numbers, and 0 for the charge."""
    from chempy.util.periodic import symbols

    atoms = {symbols.index(symbol) + 1: count for symbol, count in species.atoms}
    return {0: species.charge, **atoms} if species.charge else atoms


def test_many_answers_are_not_one() -> None:
    """Permanganate and peroxide: peroxide also decomposes by itself, so atoms and charge fix no ratio."""
    row = next(row for row in CASES if row["id"] == "B44")
    for found in (
        balance(Equation.parse(row["skeleton"])),
        complete(Equation.parse(row["skeleton"]), "acid", half=False),
    ):
        assert isinstance(found, Undetermined)
        assert found.example.is_balanced
        assert len(found.reactions) == int(row["dimension"])
        assert Equation.parse("2 H2O2 -> O2 + 2 H2O") in found.reactions
        assert all(reaction.is_balanced for reaction in found.reactions)


@pytest.mark.parametrize(
    "text", ["C + O2 -> CO + CO2", "H2O2 -> H2O + O2 + H2 + O3", "KClO3 -> KCl + O2 + O3"]
)
def test_an_example_of_many_answers_uses_every_species_on_its_side(text: str) -> None:
    skeleton = Equation.parse(text)
    found = balance(skeleton)
    assert isinstance(found, Undetermined)
    assert found.example.is_balanced
    assert {each for each, _count in found.example.left} == {each for each, _count in skeleton.left}
    assert {each for each, _count in found.example.right} == {each for each, _count in skeleton.right}
    assert found.example == sum(found.reactions, Equation((), ())).smallest_whole()


@pytest.mark.parametrize(
    ("text", "wrong_side", "idle", "one_sided", "reason"),
    [
        ("H2 + H2O -> O2", ["H2"], [], ["H"], "On the wrong side: H2."),
        ("Cu^2+ -> Cu + 2 e^-", ["e^-"], [], [], "On the wrong side: e^-."),
        ("CO2 + H2O + O2 -> C6H12O6", ["O2"], [], [], "On the wrong side: O2."),
        ("H2 + Cl2 + NaCl -> HCl", [], ["NaCl"], ["Na"], "Only one side holds Na."),
        ("H2 + Cl2 -> HCl + He", [], ["He"], ["He"], "Only one side holds He."),
        ("H2 + O2 -> H2O + H2^+", [], ["H2^+"], [], "Can take no part: H2^+."),
        ("Cu -> Cu^2+", [], [], [], "No coefficients balance both the atoms and the charge."),
        ("Cu -> Ag", [], [], ["Ag", "Cu"], "Only one side holds Ag, Cu."),
    ],
)
def test_no_answer_comes_with_what_is_in_the_way(
    text: str, wrong_side: list[str], idle: list[str], one_sided: list[str], reason: str
) -> None:
    found = balance(Equation.parse(text))
    assert isinstance(found, Unbalanceable)
    assert [list(map(str, each)) for each in (found.wrong_side, found.idle, found.one_sided)] == [
        wrong_side,
        idle,
        one_sided,
    ]
    assert found.reason == reason


def test_several_dimensions_without_a_positive_answer_are_none() -> None:
    found = balance(Equation.parse("H2O2 + H2O + O2 + O3 + NaCl -> H2O2^+ + HO2^+"))
    assert isinstance(found, Unbalanceable)


@pytest.mark.parametrize("half", [True, False])
def test_an_element_that_the_medium_cannot_supply_is_named(half: bool) -> None:
    found = complete(Equation.parse("MnO4^- -> Cr^3+"), "acid", half=half)
    assert isinstance(found, Unbalanceable)
    assert found.one_sided == ("Cr", "Mn")


def test_electrons_enter_half_reactions_only() -> None:
    assert isinstance(complete(Equation.parse("MnO4^- -> Mn^2+"), "acid", half=False), Unbalanceable)


def test_no_water_enters_that_is_not_needed() -> None:
    """Peroxide to oxygen: hydrogen ions and electrons do, by the usual method of half-reactions."""
    found = complete(Equation.parse("H2O2 -> O2"), "base", half=True)
    assert found == Balanced(Equation.parse("H2O2 + 2 OH^- -> O2 + 2 H2O + 2 e^-"))


def test_many_answers_are_written_for_base_too() -> None:
    found = complete(Equation.parse("MnO4^- + H2O2 -> MnO2 + O2"), "base", half=False)
    assert isinstance(found, Undetermined)
    for reaction in (found.example, *found.reactions):
        assert reaction.is_balanced
        assert HYDROGEN_ION not in reaction.species


@pytest.mark.parametrize(
    ("left", "wrong_side"), [("O2 O3", "O3"), ("O3 O2", "O2"), ("CO2 CO H2O H2", "CO H2O")]
)
def test_where_as_many_could_be_wrong_the_first_is_taken_for_right(left: str, wrong_side: str) -> None:
    found = balance(Equation.of({Formula.parse(each): 1 for each in left.split()}, {}))
    assert isinstance(found, Unbalanceable)
    assert found.wrong_side == tuple(map(Formula.parse, wrong_side.split()))


def test_an_empty_skeleton_has_no_answer() -> None:
    assert balance(Equation((), ())) == Unbalanceable()


@given(st.sampled_from(WIDE), st.randoms(use_true_random=False))
def test_the_order_of_species_changes_nothing(equation: Equation, random: Random) -> None:
    shuffled = Equation(*(tuple(random.sample(side, len(side))) for side in (equation.left, equation.right)))
    assert balance(shuffled) == Balanced(equation)


@given(st.sampled_from(WIDE))
def test_a_reaction_read_backwards_has_the_same_numbers(equation: Equation) -> None:
    assert balance(equation.reversed()) == Balanced(equation.reversed())


@given(st.sampled_from(WIDE), st.integers(0, 20))
def test_a_species_moved_to_the_other_side_is_found_out(equation: Equation, place: int) -> None:
    terms = [
        (species, count, side) for side in (0, 1) for species, count in (equation.left, equation.right)[side]
    ]
    moved = terms[place % len(terms)][0]
    sides = [
        {species: count for species, count, side in terms if (side if species != moved else 1 - side) == this}
        for this in (0, 1)
    ]
    found = balance(Equation.of(*sides))
    assert isinstance(found, Unbalanceable)
    assert moved in found.wrong_side or len(terms) - len(found.wrong_side) == 1


@given(st.sampled_from(WIDE), st.sampled_from(WIDE))
def test_whatever_is_found_is_balanced(one: Equation, other: Equation) -> None:
    left, right = dict((*one.left, *other.left)), dict((*one.right, *other.right))
    found = balance(Equation.of(left, right))
    if isinstance(found, Balanced):
        assert found.equation.is_balanced
        assert found.equation == found.equation.smallest_whole()
        assert found.equation.species == {*left, *right}
    if isinstance(found, Undetermined):
        assert found.example.is_balanced
        assert all(reaction.is_balanced for reaction in found.reactions)
