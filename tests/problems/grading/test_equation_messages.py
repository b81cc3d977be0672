"""What is said to the student: what was typed, with its counts; of what is missing, only side and kind."""

import pytest

from problems.chemistry.notation import as_unicode
from problems.grading.equations import EquationKey, grade_equation
from problems.grading.formulas import FormulaKey, grade_formula
from problems.grading.verdict import Verdict
from tests.problems.grading.cases import Row, rows

SUGGESTS = ("letter_case", "look_alike")


def judged(answer: str, expected: str, role: str = "half_reaction", **fields: str) -> Verdict:
    return grade_equation(answer, EquationKey.from_case({"expected": expected, "role": role, **fields}))


COPPER = "Cu2+ + 2e- -> Cu"
SAID = [
    ("Cl- -> Cl2 + 2e-", "2Cl- -> Cl2 + 2e-", ("Cl: 1 on the left, 2 on the right",)),
    ("Cu2+ + e- -> Cu", COPPER, ("+1 on the left", "0 on the right")),
    ("Cu2+ + 4e- -> Cu", COPPER, ("−2 on the left",)),
    ("Cu+ + e- -> Cu", COPPER, ("Cu⁺",)),
    ("2Cl- -> 2Cl + 2e-", "2Cl- -> Cl2 + 2e-", ("Cl alone",)),
    ("2H2O2 + 2e- -> H2 + 2OH-", "2H2O + 2e- -> H2 + 2OH-", ("H₂O₂",)),
    ("2H2O + 2e- -> H2", "2H2O + 2e- -> H2 + 2OH-", ("A product is missing",)),
    ("2e- -> H2 + 2OH-", "2H2O + 2e- -> H2 + 2OH-", ("A reactant is missing",)),
    ("Zn2+ + 2e- -> Zn", COPPER, ("A reactant and a product are missing", "Zn²⁺ on the left")),
    ("2H2O -> 2H2O", "2H2O + 2e- -> H2 + 2OH-", ("Nothing is left",)),
    ("Cu2+ + 2e- -> Cu + O2", COPPER, ("O₂ on the right",)),
    ("Cu2+ + K+ + 2e- -> Cu + K+", COPPER, ("Leave out", "K⁺")),
    ("CuSO4 + 2e- -> Cu + SO4^2-", COPPER, ("Write CuSO₄ as ions",)),
    ("Cu2+ + H2O + 2e- -> Cu + H2O", COPPER, ("H₂O stands on both sides",)),
    ("Cu2+ + 2e- -> Cu + 2e-", COPPER, ("As many electrons",)),
    ("Cu2+ -> Cu", COPPER, ("electrons are missing",)),
    ("2h2o + 2e- -> h2 + 2oh-", "2H2O + 2e- -> H2 + 2OH-", ("“H2O”", "“h2o”")),
    ("2H20 + 2e- -> H2 + 2OH-", "2H2O + 2e- -> H2 + 2OH-", ("“2H2O”", "“2H20”")),
    ("Cu2+ + 2e- -> 1 CU", COPPER, ("“Cu” for “CU”",)),
    ("Qq2+ + 2e- -> Qq", COPPER, ("Qq",)),
    ("Cu2+2e- -> Cu", COPPER, ("+ between the species",)),
    ("2H3O + 2e- -> H2 + 2H2O", "2H+ + 2e- -> H2", ("H₃O",)),
]


@pytest.mark.parametrize(("answer", "expected", "parts"), SAID)
def test_the_message_names_what_was_typed(answer: str, expected: str, parts: tuple[str, ...]) -> None:
    verdict = judged(answer, expected)
    for part in parts:
        assert part in verdict.message


def test_the_other_electrode_is_named() -> None:
    verdict = judged("Cu -> Cu2+ + 2e-", COPPER, other="Cu -> Cu2+ + 2e-")
    assert "other electrode" in verdict.message


def test_the_convention_of_the_class_is_named() -> None:
    water = "2H2O + 2e- -> H2 + 2OH-"
    held = judged("2H+ + 2e- -> H2", water, medium="accepted")
    assert (held.verdict, held.codes) == ("correct", ("medium",))
    assert "convention" in held.message
    assert "H⁺" in judged("2H+ + 2e- -> H2", water).message


def test_the_limit_is_named() -> None:
    verdict = judged("H" * 501, COPPER)
    assert "500" in verdict.message
    assert (verdict.position, verdict.length) == (500, 1)


ROWS = [row for row in rows("equations_*.jsonl") if row["want_verdict"] != "correct"]


@pytest.mark.parametrize("row", ROWS, ids=[row["id"] for row in ROWS])
def test_a_message_never_gives_the_key_away(row: Row) -> None:
    key = EquationKey.from_case(row)
    verdict = grade_equation(row["answer"], key)
    if verdict.codes[0] in SUGGESTS:
        return
    typed = verdict.reading or row["answer"]
    for side in key.expected.sides:
        for term in side:
            name = as_unicode(term.species)
            if len(name) > 2 and name not in typed and not term.species.is_electron:
                assert name not in verdict.message, (name, verdict)


PLACES = [
    ("2Cl- -> 2Cl + 2e-", "2Cl- -> Cl2 + 2e-", "2Cl", 8),
    ("Cu+ + e- -> Cu", COPPER, "Cu+", 0),
    ("Cu2+ + 2e- -> Cu + 2 O2", COPPER, "2 O2", 19),
    ("Cu2+ -> Cu + 2e-", COPPER, "2e-", 13),
    ("Cu2+ + 2e- -> CU", COPPER, "CU", 14),
    ("Cu2+ + 2e- -> Cq", COPPER, "Cq", 14),
    ("Cu2+2e- -> Cu", COPPER, "Cu2+", 0),
]


@pytest.mark.parametrize(("answer", "expected", "covered", "position"), PLACES)
def test_the_fault_is_pointed_at(answer: str, expected: str, covered: str, position: int) -> None:
    verdict = judged(answer, expected)
    assert verdict.position == position
    assert verdict.length is not None
    assert answer[position : position + verdict.length] == covered


def test_the_reading_has_real_signs() -> None:
    verdict = judged("Cu2+(aq) - -> Cu", COPPER)
    assert verdict.reading is None
    assert judged("Cu2+(aq)+2e--->Cu(s)", COPPER).reading == "Cu²⁺(aq) + 2 e⁻ → Cu(s)"
    assert judged("Cu - 2e- -> Cu2+", "Cu -> Cu2+ + 2e-").reading == "Cu → Cu²⁺ + 2 e⁻"


def test_a_formula_message_names_what_was_typed() -> None:
    key = FormulaKey.from_case({"expected": "SO4^2-"})
    for answer, part in (
        ("SO4", "SO₄"),
        ("SO3^2-", "SO₃²⁻"),
        ("CO3^2-", "CO₃²⁻"),
        ("3SO4^2-", "3"),
        ("S04^2-", "SO4^2-"),
    ):
        assert part in grade_formula(answer, key).message
