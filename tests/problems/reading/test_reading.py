"""What a text is read as, by a reader who knows no key and by one who does."""

from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from problems.chemistry.formula import ELECTRON, Formula
from problems.chemistry.reading import (
    Familiar,
    ReadingError,
    live_readings,
    live_species,
    read_equation,
    read_species,
)
from problems.chemistry.reading.body import atoms_in
from problems.chemistry.reading.familiar import known_species
from tests.problems.chemistry.strategies import SPECIES, formulas

# Without a key: known ions, else the usual division. Names of the ions: common practice.
SPELLINGS = [
    ("SO42-", "SO4^2-"),
    ("NO3-", "NO3^-"),
    ("NH4+", "NH4^+"),
    ("Fe3+", "Fe^3+"),
    ("Hg22+", "Hg2^2+"),
    ("O2-", "O^2-"),
    ("O22-", "O2^2-"),
    ("S2-", "S^2-"),
    ("N3-", "N^3-"),
    ("I3-", "I3^-"),
    ("CN-", "CN^-"),
    ("C2O42-", "C2O4^2-"),
    ("Cr2O72-", "Cr2O7^2-"),
    ("Al(OH)4-", "Al(OH)4^-"),
    ("Fe(CN)63-", "Fe(CN)6^3-"),
    ("Fe(CN)64-", "Fe(CN)6^4-"),
    ("[Cu(NH3)4]2+", "Cu(NH3)4^2+"),
    ("(NH4)+", "NH4^+"),
    ("Ru3+", "Ru^3+"),
    ("RuO4-", "RuO4^-"),
    ("RuO42-", "RuO4^2-"),
    ("Ru-2", "Ru^2-"),
    ("Ru--", "Ru^2-"),
    ("Ru2^+", "Ru2^+"),
    ("Cu2^+", "Cu^2+"),
    ("CuSO4*5H2O", "CuSO4.5H2O"),
    ("Na2CO3.10H2O", "Na2CO3.10H2O"),
    ("FeCl3.6H2O", "FeCl3.6H2O"),
    ("K4[Fe(CN)6]", "K4Fe(CN)6"),
    ("Ca3(PO4)2", "Ca3(PO4)2"),
    ("CH3COO-", "CH3COO^-"),
    ("C12H22O11", "C12H22O11"),
    ("OH - (aq)", "OH^-"),
    ("electron", "e^-"),
]


@pytest.mark.parametrize(("typed", "plain"), SPELLINGS)
def test_species_without_a_key(typed: str, plain: str) -> None:
    assert read_species(typed).species == Formula.parse(plain)


# Key, typed, read as: the rules in their order, each beaten by the one before.
BY_KEY = [
    ("O2", "O2-", "O2^-"),
    ("O^2-", "O2-", "O^2-"),
    ("O2^-", "O2-", "O2^-"),
    ("NO", "NO2-", "NO^2-"),
    ("NO2", "NO2-", "NO2^-"),
    ("Hg2^2+", "Hg2+", "Hg2^+"),
    ("Hg", "Hg2+", "Hg^2+"),
    ("Cl2", "Cl2-", "Cl2^-"),
    ("Cl^-", "Cl2-", "Cl^2-"),
]


@pytest.mark.parametrize(("key", "typed", "plain"), BY_KEY)
def test_the_key_decides_before_known_ions(key: str, typed: str, plain: str) -> None:
    assert read_species(typed, Familiar(frozenset((Formula.parse(key),)))).species == Formula.parse(plain)


def test_the_own_side_of_the_key_decides_before_the_other() -> None:
    chlorine, chloride = Formula.parse("Cl2"), Formula.parse("Cl^-")
    familiar = Familiar(frozenset((chloride,)), frozenset((chlorine,)))
    read = read_equation("Cl2- -> Cl2-", familiar)
    assert [term.species for side in read.sides for term in side] == [
        Formula.parse("Cl^2-"),
        Formula.parse("Cl2^-"),
    ]


# Signs before an arrow: known species win, among those the longest arrow.
ARROWS = [
    ("2H2O+2e-->H2+2OH-", "2 H₂O + 2 e⁻ → H₂ + 2 OH⁻"),
    ("Cu-->Cu2++2e-", "Cu → Cu²⁺ + 2 e⁻"),
    ("2Br--->Br2+2e-", "2 Br⁻ → Br₂ + 2 e⁻"),
    ("H2+O2-->H2O", "H₂ + O₂ → H₂O"),
    ("H2+O2->H2O", "H₂ + O₂ → H₂O"),
    ("N2+O2--->NO2", "N₂ + O₂ → NO₂"),
    ("Pb2++SO42--->PbSO4", "Pb²⁺ + SO₄²⁻ → PbSO₄"),
    ("Zn-→Zn2++2e-", "Zn → Zn²⁺ + 2 e⁻"),
    ("2Cl-→Cl2+2e-", "2 Cl⁻ → Cl₂ + 2 e⁻"),
    ("2Cl---→Cl2+2e-", "2 Cl⁻ → Cl₂ + 2 e⁻"),
    ("Zn+2H+->Zn2++H2", "Zn + 2 H⁺ → Zn²⁺ + H₂"),
    ("Cu <- Cu2+ + 2e-", "Cu²⁺ + 2 e⁻ → Cu"),
    ("Cu - 2e- = Cu2+", "Cu → Cu²⁺ + 2 e⁻"),
    ("Cu2+ = Cu - 2e-", "Cu²⁺ + 2 e⁻ → Cu"),
    ("H2 + ½O2 = H2O(l)", "H₂ + 1/2 O₂ → H₂O(l)"),
]


@pytest.mark.parametrize(("typed", "shown"), ARROWS)
def test_equations_without_a_key(typed: str, shown: str) -> None:
    assert read_equation(typed).shown == shown
    assert live_readings(typed) == (shown,)


def test_live_reading_shows_two_where_two_stay_possible() -> None:
    assert live_species("Br2-") == ("Br²⁻", "Br₂⁻")
    assert live_readings("Br2- -> Br2") == ("Br²⁻ → Br₂", "Br₂⁻ → Br₂")
    assert live_species("SO42-") == ("SO₄²⁻",)


def test_live_reading_knows_the_ions_of_the_setup() -> None:
    assert live_species("Br2-", [Formula.parse("Br2^-")]) == ("Br₂⁻",)
    assert live_species("RuO42-") == ("RuO₄²⁻", "RuO₄₂⁻")


def test_places_are_those_of_the_text_as_typed() -> None:
    typed = r"\mathrm{2H_2O} + 2e⁻ → H₂ + 2OH⁻"
    read = read_equation(typed)
    spans = [typed[term.position : term.position + term.length] for side in read.sides for term in side]
    assert spans == ["2H_2O", "2e⁻", "H₂", "2OH⁻"]


# What cannot be read: text, code, what the place covers.
FAULTS = [
    ("2H2O", "unreadable", ""),
    ("2H2O 2e- -> H2", "unreadable", "2"),
    ("2H2O + -> H2", "unreadable", "+"),
    ("H2 -> H2 -> H2", "unreadable", "->"),
    ("Cu(OH -> Cu", "unreadable", "("),
    ("H2O - O2 -> H2", "unreadable", "O"),
    ("H2 + Xx2 -> H2", "unknown_element", "Xx"),
    ("h2 + O2 -> H2O", "letter_case", "h2"),
    ("H2 + CL2 -> HCl", "letter_case", "CL2"),
    ("E- -> H2", "letter_case", "E"),
    ("H02 -> H2", "unreadable", "H02"),
    ("water -> H2", "unreadable", "water"),
    ("H123456 -> H2", "unreadable", "H123456"),
    ("H2  +  -> H2", "unreadable", "+"),
    ("h2 + Xx -> H2", "unknown_element", "Xx"),
    ("CuXxO -> Cu", "unknown_element", "Xx"),
    ("Clx -> Cl2", "unknown_element", "x"),
    ("Cu(2++) -> Cu", "unreadable", "("),
    ("Cu^{0+} -> Cu", "unreadable", "^"),
    ("Cu+++++++++ -> Cu", "unreadable", "+"),
    ("[[[[[[[H]]]]]]] -> H2", "unreadable", "["),
    ("H2 = O2 -> H2", "unreadable", "="),
]


@pytest.mark.parametrize(("typed", "code", "covered"), FAULTS)
def test_faults_have_code_and_place(typed: str, code: str, covered: str) -> None:
    with pytest.raises(ReadingError) as caught:
        read_equation(typed)
    fault = caught.value
    assert fault.code == code
    assert fault.position is not None
    assert fault.length is not None
    assert typed[fault.position : fault.position + fault.length] == covered
    assert str(fault) == fault.sentence


def test_of_several_species_the_second_is_pointed_at() -> None:
    for typed, covered in (("H2 + O2", "O2"), ("H2 + 3 O2 + N2", "3 O2"), ("H2 - 2e-", "2e-")):
        with pytest.raises(ReadingError) as caught:
            read_species(typed)
        fault = caught.value
        assert fault.position is not None
        assert fault.length is not None
        assert typed[fault.position : fault.position + fault.length] == covered


@pytest.mark.parametrize(
    "state", ["(aq)", " (aq)", "_aq", "_{aq}", "_{(aq)}", "_(aq)", "[aq]", "( aq )", "(AQ)"]
)
def test_a_state_in_every_spelling(state: str) -> None:
    for typed in (f"Cu2+{state}", f"Cu^2+{state}", f"Cu{state}2+", f"Cu{state}^2+"):
        read = read_species(typed)
        assert (read.species, read.states) == (Formula.parse("Cu^2+"), ("aq",))


# With the key at hand: text, key, code, what the place covers, what was meant.
MEANT = [
    ("H20", "H2O", "look_alike", "0", "H2O"),
    ("20H-", "OH^-", "look_alike", "0", "2OH-"),
    ("02", "O2", "look_alike", "0", "O2"),
    ("CI2", "Cl2", "look_alike", "I", "Cl2"),
    ("A1(0H)3", "Al(OH)3", "look_alike", "1(0", "Al(OH)3"),
    ("CU", "Cu", "letter_case", "CU", "Cu"),
    ("pbi2", "PbI2", "letter_case", "pbi2", "PbI2"),
    ("baso4", "BaSO4", "letter_case", "baso4", "BaSO4"),
    ("h20", "H2O", "letter_case", "h20", "H2O"),
    ("NO3", "No3", "letter_case", "NO3", "No3"),
]


@pytest.mark.parametrize(("typed", "key", "code", "covered", "meant"), MEANT)
def test_what_was_meant_is_said(typed: str, key: str, code: str, covered: str, meant: str) -> None:
    with pytest.raises(ReadingError) as caught:
        read_species(typed, Familiar(frozenset((Formula.parse(key),))))
    fault = caught.value
    assert (fault.code, fault.suggestion) == (code, meant)
    assert fault.position is not None
    assert fault.length is not None
    assert typed[fault.position : fault.position + fault.length] == covered
    assert meant in fault.sentence


@given(formulas)
def test_plain_notation_reads_as_itself(formula: Formula) -> None:
    if formula.state is None and "^" in formula.plain:
        assert read_species(formula.plain, Familiar(frozenset((formula,)))).species == formula


@given(formulas)
def test_the_grammar_counts_atoms_as_the_tables_do(formula: Formula) -> None:
    if not formula.is_electron and not any(len(part) > 4 for part in formula.body.split(".")[1:]):
        assert atoms_in(formula.body) == formula.atoms


@given(st.text(max_size=60), st.sampled_from([read_equation, read_species, live_readings, live_species]))
def test_any_text_reads_or_says_why_not(typed: str, read: Callable[[str], object]) -> None:
    try:
        found, fault = read(typed), None
    except ReadingError as error:
        found, fault = None, error
    assert (found is None) == (fault is not None)
    if fault and fault.position is not None:
        assert fault.length is not None
        assert fault.sentence
        assert fault.position + fault.length <= max(len(typed), 1)


def test_known_ions_carry_charge_and_are_read_as_themselves() -> None:
    for species in known_species():
        assert species == ELECTRON or species.atoms
        assert read_species(species.plain).species == species


@pytest.mark.peer
def test_atoms_are_those_that_another_library_counts() -> None:
    from molmass import Formula as TheirFormula

    for species in SPECIES:
        if species.is_electron or "." in species.body:
            continue
        theirs = TheirFormula(species.body).composition()
        assert atoms_in(species.body) == tuple(sorted((symbol, theirs[symbol].count) for symbol in theirs))
