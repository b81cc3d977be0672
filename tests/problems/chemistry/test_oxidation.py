"""Oxidation numbers against textbooks; what is left open; that they always add up."""

from fractions import Fraction

import pytest

from problems.chemistry.formula import Formula
from problems.chemistry.oxidation import OpenOxidationNumber, oxidation_number, oxidation_numbers, signed
from tests.problems.chemistry.strategies import SPECIES
from tests.problems.chemistry.tables import rows

WORKED = rows("worked_oxidation.csv")
CASES = rows("oxidation.csv")
SETTLED = sorted({row["formula"] for row in (*WORKED, *CASES)})
# Of the species of the balancing table the rules settle all but these.
OPEN_SPECIES = {"e^-"}


def identity(row: dict[str, str]) -> str:
    return f"{row['element']} in {row['formula']}"


@pytest.mark.parametrize("row", WORKED, ids=identity)
def test_agrees_with_worked_examples_of_textbooks(row: dict[str, str]) -> None:
    """Source: the first two columns of worked_oxidation.csv."""
    assert oxidation_number(Formula.parse(row["formula"]), row["element"]).average == int(row["number"])


@pytest.mark.parametrize("row", CASES, ids=identity)
def test_gives_number_atoms_and_rule(row: dict[str, str]) -> None:
    """Source: the last column of oxidation.csv."""
    found = oxidation_number(Formula.parse(row["formula"]), row["element"])
    assert found.average == Fraction(row["average"])
    assert found.atoms == tuple(map(Fraction, row["atoms"].split()))
    assert found.rule == row["rule"]


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("CuZn", "an alloy has none"),
        ("CuFeS2", "Cu and Fe cannot be told apart"),
        ("Fe3C", "C and Fe cannot be told apart"),
        ("CH3NO2", "C and N cannot be told apart"),
        ("NCl3", "texts differ on N beside Cl"),
        ("NI3", "texts differ on N beside I"),
        ("SiH4", "texts differ on H beside Si"),
        ("AgO", "the usual numbers do not add up to the charge"),
        ("NaH2", "the usual numbers do not add up to the charge"),
        ("NaF2", "the usual numbers do not add up to the charge"),
        ("Na2O7", "O would have a number that it does not take"),
        ("NaSO4", "S would have a number that it does not take"),
        ("FeO9", "Fe would have a number that it does not take"),
        ("CF5", "C would have a number that it does not take"),
        ("e^-", "an electron has none"),
    ],
)
def test_what_the_rules_leave_open_is_refused_with_the_reason(text: str, reason: str) -> None:
    with pytest.raises(OpenOxidationNumber) as fault:
        oxidation_numbers(Formula.parse(text))
    assert fault.value.reason == reason
    assert reason in str(fault.value)


def test_an_element_that_is_not_there_has_no_number() -> None:
    with pytest.raises(OpenOxidationNumber, match="holds no Cu"):
        oxidation_number(Formula.parse("KNO3"), "Cu")


def test_what_other_texts_give_comes_along() -> None:
    """Thiosulfate: older texts take the outer sulfur for a sulfide in place of an oxide (common practice)."""
    sulfur = oxidation_number(Formula.parse("Na2S2O3"), "S")
    assert sulfur.also == ((6, -2),)
    assert "+5, −1" in sulfur.sentence
    assert "Other texts give +6, −2." in sulfur.sentence


def test_the_spelling_tells_atoms_apart() -> None:
    """Ethanol has two unlike carbon atoms, dimethyl ether two alike, and the formulas are equal."""
    ethanol, ether = Formula.parse("C2H5OH"), Formula.parse("CH3OCH3")
    assert ethanol == ether
    assert oxidation_number(ethanol, "C").atoms == (-1, -3)
    assert oxidation_number(ether, "C").atoms == ()


@pytest.mark.parametrize(
    ("text", "element", "sentence"),
    [
        ("KNO3", "N", "The oxidation numbers in KNO₃ add up to its charge, 0; so N is +5."),
        ("SO4^2-", "S", "The oxidation numbers in SO₄²⁻ add up to its charge, −2; so S is +6."),
        ("CuSO4", "S", "The oxidation numbers in SO₄²⁻ add up to its charge, −2; so S is +6."),
        ("CuSO4", "Cu", "The oxidation numbers in CuSO₄ add up to its charge, 0; so Cu is +2."),
        ("AgCl", "Ag", "Ag counts +1 in nearly all its compounds."),
        ("KO2", "O", "Oxygen counts −1/2 in a superoxide."),
        ("Cu^2+", "Cu", "An ion of one atom counts its charge, +2."),
        ("Hg2^2+", "Hg", "The atoms of Hg₂²⁺ share its charge: +1 each."),
        ("OF2", "O", "Fluorine takes −1, so oxygen counts +2 here."),
    ],
)
def test_the_rule_is_a_sentence(text: str, element: str, sentence: str) -> None:
    assert oxidation_number(Formula.parse(text), element).sentence == sentence


@pytest.mark.parametrize("text", SETTLED)
def test_every_rule_has_its_sentence(text: str) -> None:
    for number in oxidation_numbers(Formula.parse(text)).values():
        assert number.sentence.endswith(".")
        assert "{" not in number.sentence


def test_the_rules_come_in_their_order() -> None:
    assert list(oxidation_numbers(Formula.parse("KHSO4"))) == ["K", "H", "O", "S"]


@pytest.mark.parametrize(
    "text", [*SETTLED, *(str(each) for each in SPECIES if str(each) not in OPEN_SPECIES)]
)
def test_the_numbers_add_up_to_the_charge(text: str) -> None:
    formula = Formula.parse(text)
    numbers = oxidation_numbers(formula)
    assert numbers.keys() == formula.elements
    assert sum(each.average * formula.count(each.element) for each in numbers.values()) == formula.charge


@pytest.mark.parametrize("text", SETTLED)
def test_single_atoms_are_as_many_as_there_are_and_average_right(text: str) -> None:
    formula = Formula.parse(text)
    for number in oxidation_numbers(formula).values():
        if number.atoms:
            assert len(number.atoms) == formula.count(number.element)
            assert sum(number.atoms) / len(number.atoms) == number.average
            assert all(len(other) == len(number.atoms) for other in number.also)
            assert all(sum(other) == sum(number.atoms) for other in number.also)


@pytest.mark.parametrize(
    ("number", "text"),
    [(Fraction(6), "+6"), (Fraction(-1, 2), "−1/2"), (Fraction(0), "0"), (Fraction(5, 2), "+5/2")],
)
def test_numbers_are_written_with_their_sign(number: Fraction, text: str) -> None:
    assert signed(number) == text
