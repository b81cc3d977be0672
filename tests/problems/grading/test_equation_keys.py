"""Keys of equations and formulas: what is read, and what is refused with one sentence."""

from typing import Any

import pytest

from problems.chemistry.reading import read_equation
from problems.errors import ProblemError
from problems.grading.equations import EquationKey, grade_equation
from problems.grading.formulas import FormulaKey, grade_formula
from problems.words import language

BROMINE = {"expected": "2Br- -> Br2 + 2e-", "role": "half_reaction"}

REFUSED: list[dict[str, Any]] = [
    {"role": "half_reaction"},
    {"expected": "2Br- -> Br2 + 2e-"},
    {**BROMINE, "role": "oxidation"},
    {**BROMINE, "role": 3},
    {**BROMINE, "expected": 3},
    {**BROMINE, "expected": ""},
    {**BROMINE, "expected": "2Br- Br2 + 2e-"},
    {**BROMINE, "expected": "2Br- -> Br2 + e-"},
    {**BROMINE, "expected": "Br- -> Br2 + 2e-"},
    {**BROMINE, "expected": "2Jb- -> Jb2 + 2e-"},
    {**BROMINE, "expected": "2br- -> br2 + 2e-"},
    {**BROMINE, "other": "2H2O -> H2 + O2"},
    {**BROMINE, "other": "2H2O"},
    {**BROMINE, "other": None},
    {**BROMINE, "medium": "both"},
    {**BROMINE, "states": "wanted"},
]


@pytest.mark.parametrize("case", REFUSED, ids=str)
def test_a_key_that_is_amiss_is_refused_with_one_sentence(case: dict[str, Any]) -> None:
    with pytest.raises(ProblemError) as caught:
        EquationKey.from_case(case)
    assert str(caught.value).endswith(".")
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize(
    "case", [{}, {"expected": 1}, {"expected": "Xx"}, {"expected": "H2 + O2"}, {"expected": ""}]
)
def test_a_formula_key_that_is_amiss_is_refused(case: dict[str, Any]) -> None:
    with pytest.raises(ProblemError):
        FormulaKey.from_case(case)


@pytest.mark.parametrize("slips", [[], {"": "H2"}, {"a": 1}, {"a": "Xx"}])
def test_slips_that_are_amiss_are_refused(slips: Any) -> None:
    with pytest.raises(ProblemError):
        FormulaKey.from_case({"expected": "O2", "slips": slips})


# Of two readings of a key the one that balances is taken: superoxide and peroxide, not oxide.
@pytest.mark.parametrize(
    ("expected", "shown"),
    [
        ("O2 + e- -> O2-", "O₂ + e⁻ → O₂⁻"),
        ("2Hg+ -> Hg22+", "2 Hg⁺ → Hg₂²⁺"),
        ("O2 + 4e- -> 2O2-", "O₂ + 4 e⁻ → 2 O²⁻"),
    ],
)
def test_of_two_readings_of_a_key_the_balanced_one_is_taken(expected: str, shown: str) -> None:
    assert EquationKey.from_case({"expected": expected, "role": "half_reaction"}).expected.shown == shown


def test_a_key_of_a_change_of_state_is_compared_as_it_stands() -> None:
    key = EquationKey.from_case({"expected": "I2(s) -> I2(g)", "role": "overall", "states": "required"})
    assert grade_equation("I2(s) -> I2(g)", key).verdict == "correct"
    assert grade_equation("I2(g) -> I2(s)", key).codes == ("state_symbol",)
    assert grade_equation("I2(s) -> 2I", key).codes == ("not_diatomic",)


def test_a_key_that_is_not_in_smallest_numbers_takes_the_smallest() -> None:
    key = EquationKey.from_case({"expected": "4H2O + 4e- -> 2H2 + 4OH-", "role": "half_reaction"})
    assert grade_equation("2H2O + 2e- -> H2 + 2OH-", key).verdict == "correct"
    assert grade_equation("4H2O + 4e- -> 2H2 + 4OH-", key).codes == ("not_smallest_whole_numbers",)


def test_the_key_wins_over_a_slip() -> None:
    key = FormulaKey.from_case({"expected": "H+", "slips": {"same": "H+", "other_ion": "OH-"}})
    assert grade_formula("H+", key).codes == ()
    assert grade_formula("OH-", key).codes == ("other_ion",)
    assert grade_formula("OH-", key).verdict == "wrong"


def test_a_key_cannot_be_built_out_of_nonsense() -> None:
    balanced, unbalanced = read_equation("2H2O -> 2H2 + O2"), read_equation("H2O -> H2 + O2")
    assert EquationKey(balanced, "overall").expected == balanced
    for nonsense in ((balanced, "sum"), (unbalanced, "overall"), (balanced, "overall", unbalanced)):
        with pytest.raises(ProblemError):
            EquationKey(*nonsense)


def test_the_same_case_gives_the_same_key_and_any_other_another() -> None:
    case = {**BROMINE, "other": "2H2O + 2e- -> H2 + 2OH-"}
    key = EquationKey.from_case(case)
    assert EquationKey.from_case(dict(case)) is key
    others = [
        BROMINE,
        {**case, "role": "net_ionic"},
        {**case, "medium": "accepted"},
        {**case, "states": "required"},
    ]
    assert len({key, *map(EquationKey.from_case, others)}) == 5


def test_what_is_wrong_with_an_answer_is_told_in_the_language_of_each_reader() -> None:
    key = EquationKey.from_case(BROMINE)
    english = grade_equation("2Br- Br2", key).message
    with language("de"):
        assert grade_equation("2Br- Br2", key).message != english
    assert grade_equation("2Br- Br2", key).message == english
