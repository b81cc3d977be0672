"""Formulas: what they hold, what is refused, and where the fault is."""

import pytest
from hypothesis import given

from problems.chemistry.formula import ELECTRON, SYMBOLS, Formula, FormulaError, UnknownElement, atoms_of
from problems.errors import ProblemError
from tests.problems.chemistry.strategies import formula_texts, runs, subscripts


@pytest.mark.parametrize(
    ("text", "atoms", "charge"),
    [
        ("H2O", {"H": 2, "O": 1}, 0),
        ("SO4^2-", {"S": 1, "O": 4}, -2),
        ("Al2(SO4)3", {"Al": 2, "S": 3, "O": 12}, 0),
        ("CuSO4.5H2O", {"Cu": 1, "S": 1, "O": 9, "H": 10}, 0),
        ("CuSO4·5H2O", {"Cu": 1, "S": 1, "O": 9, "H": 10}, 0),
        ("K4[Fe(CN)6]", {"K": 4, "Fe": 1, "C": 6, "N": 6}, 0),
        ("[Co(NH3)6]2(SO4)3", {"Co": 2, "N": 12, "H": 36, "S": 3, "O": 12}, 0),
        ("[Cu(NH3)4]^2+", {"Cu": 1, "N": 4, "H": 12}, 2),
        ("Co", {"Co": 1}, 0),
        ("CO", {"C": 1, "O": 1}, 0),
        ("Na^1+", {"Na": 1}, 1),
        ("KAl(SO4)2.12H2O", {"K": 1, "Al": 1, "S": 2, "O": 20, "H": 24}, 0),
        ("e^-", {}, -1),
    ],
)
def test_reads_the_plain_notation(text: str, atoms: dict[str, int], charge: int) -> None:
    formula = Formula.parse(text)
    assert (dict(formula.atoms), formula.charge) == (atoms, charge)


@pytest.mark.parametrize(
    ("text", "start"),
    [
        ("", 0),
        ("H2o", 2),
        ("Cu(OH", 2),
        ("Cu)2", 2),
        ("Cu()2", 2),
        ("(OH]", 3),
        ("H02", 1),
        ("2H2O", 0),
        ("CuSO4.", 6),
        ("CuSO4.5", 7),
        (".5H2O", 0),
        ("Fe^+3", 0),
        ("Fe^0+", 0),
        ("H₂O", 0),
        ("e^2-", 0),
        ("e", 0),
        ("Na(x)", 3),
        ("Na<b>", 0),
        ("H\n", 0),
    ],
)
def test_refuses_anything_else_and_says_where(text: str, start: int) -> None:
    with pytest.raises(FormulaError) as fault:
        Formula.parse(text)
    assert fault.value.start == start
    assert text.startswith(fault.value.text)
    assert fault.value.text in str(fault.value)


def test_names_the_symbol_that_no_element_has() -> None:
    with pytest.raises(UnknownElement, match="Xx is not an element") as fault:
        Formula.parse("NaXx2")
    assert (fault.value.symbol, fault.value.start) == ("Xx", 2)


@pytest.mark.parametrize("text", ["(" * 5000 + "H", "H" + "9" * 5000, "[" * 60 + "H" + "]" * 60])
def test_refuses_what_is_too_long_with_a_short_sentence(text: str) -> None:
    with pytest.raises(FormulaError) as fault:
        Formula.parse(text)
    assert len(str(fault.value)) < 200


@pytest.mark.parametrize(
    ("one", "other"), [("OH^-", "HO^-"), ("CH3COOH", "C2H4O2"), ("Ca(OH)2", "CaO2H2"), ("Br2(l)", "Br2(aq)")]
)
def test_two_spellings_of_the_same_atoms_are_equal(one: str, other: str) -> None:
    assert Formula.parse(one) == Formula.parse(other)
    assert hash(Formula.parse(one)) == hash(Formula.parse(other))


@pytest.mark.parametrize(
    ("one", "other"), [("Fe^2+", "Fe^3+"), ("H2O", "H2O2"), ("CO", "Co"), ("O2", "O2^-")]
)
def test_other_atoms_or_another_charge_are_not_equal(one: str, other: str) -> None:
    assert Formula.parse(one) != Formula.parse(other)


def test_keeps_the_spelling_and_the_state() -> None:
    water = Formula.parse("HOH(l)")
    assert (water.body, water.state, water.plain) == ("HOH", "l", "HOH")


def test_knows_the_118_elements_and_no_neutron() -> None:
    assert len(SYMBOLS) == 118
    assert {"H", "Og"} < SYMBOLS
    assert "n" not in SYMBOLS


def test_counts_elements() -> None:
    assert Formula.parse("CuSO4").count("O") == 4
    assert Formula.parse("CuSO4").count("H") == 0
    assert Formula.parse("CuSO4").elements == {"Cu", "S", "O"}


def test_the_electron_is_the_formula_without_atoms() -> None:
    assert Formula.parse("e^-") is ELECTRON
    assert ELECTRON.is_electron
    assert not Formula.parse("H^-").is_electron


@pytest.mark.parametrize(
    ("atoms", "body"),
    [
        ((("H", 2), ("O", 1)), "H2O"),
        ((("Br", 1), ("C", 1), ("H", 3)), "CH3Br"),
        ((("Cl", 1), ("Na", 1)), "ClNa"),
    ],
)
def test_spells_bare_atoms_in_hill_order(atoms: tuple[tuple[str, int], ...], body: str) -> None:
    """Hill order as the CAS registry uses it (Hill, J. Am. Chem. Soc. 22 (1900) 478, from memory)."""
    assert Formula(atoms).body == body


@pytest.mark.parametrize(
    ("atoms", "charge", "body", "state"),
    [
        ((), 0, "", None),
        ((), -2, "e", None),
        ((), -1, "<b>", None),
        ((("O", 1), ("H", 2)), 0, "", None),
        ((("H", 0),), 0, "", None),
        ((("Xx", 1),), 0, "", None),
        ((("H", 2),), 0, "H3", None),
        ((("H", 2),), 0, "<script>", None),
        ((("H", 2),), 0, "H2", "solid"),
    ],
)
def test_a_formula_that_makes_no_sense_cannot_be_built(
    atoms: tuple[tuple[str, int], ...], charge: int, body: str, state: str | None
) -> None:
    with pytest.raises(ProblemError):
        Formula(atoms, charge, body, state)


def test_states_that_are_equally_right_stand_together() -> None:
    assert Formula.parse("Br2").atoms == Formula((("Br", 2),), 0, "Br2", "l|aq").atoms


@given(formula_texts)
def test_plain_notation_is_read_back(text: str) -> None:
    formula = Formula.parse(text)
    again = Formula.parse(formula.plain)
    assert (again, again.body) == (formula, formula.body)


@given(runs, subscripts, runs)
def test_a_bracket_multiplies_what_it_holds(inner: str, times: str, tail: str) -> None:
    whole, one, rest = (dict(atoms_of(body)) for body in (f"({inner}){times}{tail}", inner, tail))
    expected = {
        symbol: one.get(symbol, 0) * int(times or 1) + rest.get(symbol, 0) for symbol in {*one, *rest}
    }
    assert whole == expected
