"""Follow-through: one slip costs once, whatever comes after it."""

from random import Random

import pytest

from problems.chain import ChainError, carried, carried_grading, judge, result_of, work_out
from problems.chemistry.equation import Equation
from problems.question import Part, Question
from problems.registry import SKILLS, make_question
from tests.problems.generators.bank import PAIRS, questions

CHAINS = [pair for pair in PAIRS if len(questions(*pair)[0].parts) > 1]
LONG = [pair for pair in CHAINS if any(part.carries for part in questions(*pair)[0].parts)]


def keys(question: Question) -> dict[int, str]:
    return {index: part.grading["expected"] for index, part in enumerate(question.parts)}


def first_slips(question: Question) -> list[tuple[int, str]]:
    """Each part whose result is used later, with each wrong answer that is known for it."""
    used = {place for part in question.parts for place in part.carries}
    found = []
    for index in sorted(used):
        part = question.parts[index]
        found += [(index, wrong) for wrong in part.grading.get("slips", {}).values()]
    return found


def test_there_is_a_chain_and_a_question_in_two_parts() -> None:
    assert len(CHAINS) >= 2
    assert LONG


@pytest.mark.parametrize(("name", "level"), CHAINS)
def test_all_keys_in_a_row_are_right(name: str, level: str) -> None:
    for question in questions(name, level):
        for index in range(len(question.parts)):
            judged = judge(question.parts, index, keys(question)[index], keys(question))
            assert judged.verdict.verdict == "correct"


@pytest.mark.parametrize(("name", "level"), LONG)
def test_after_each_first_slip_the_later_parts_are_right_from_it_and_from_the_true_one(
    name: str, level: str
) -> None:
    tried = 0
    for question in questions(name, level, 20):
        for index, wrong in first_slips(question):
            typed = {**keys(question), index: wrong}
            for later in range(index + 1, len(question.parts)):
                followed = carried_grading(question.parts, later, typed)["expected"]
                for answer in (followed, keys(question)[later]):
                    judged = judge(question.parts, later, answer, typed)
                    assert judged.verdict.verdict == "correct", (typed, later, answer)
                typed[later] = followed
                tried += 1
    assert tried > 100


@pytest.mark.parametrize(("name", "level"), LONG)
def test_the_carried_key_differs_after_a_slip_and_is_shown_as_the_students_own(name: str, level: str) -> None:
    for question in questions(name, level, 10):
        for index, wrong in first_slips(question):
            typed = {**keys(question), index: wrong}
            later = next(place for place, part in enumerate(question.parts) if index in part.carries)
            assert carried_grading(question.parts, later, typed)["expected"] != keys(question)[later]
            carried = judge(question.parts, later, keys(question)[later], typed).carried
            assert [each.own for each in carried if each.part == index] == [True]


def splits_water(question: Question) -> bool:
    return {"2 H2O -> 2 H2 + O2", "2 H2O -> O2 + 4 H^+ + 4 e^-"} <= set(keys(question).values())


def test_another_balanced_half_reaction_is_carried_into_the_sum() -> None:
    """The form for base at the anode, and an answer taken twice, add up to the same overall equation."""
    question = next(each for each in questions(*LONG[0]) if splits_water(each))
    place = next(index for index, part in enumerate(question.parts) if part.formula.startswith("overall"))
    typed = keys(question)
    typed[question.parts[place].carries[1]] = "8 OH- -> 2 O2 + 4 H2O + 8 e-"
    judged = judge(question.parts, place, "2 H2O -> 2 H2 + O2", typed)
    assert judged.verdict.verdict == "correct"
    assert [each.own for each in judged.carried] == [True, True]
    factors = judge(question.parts, place - 1, "4:1", typed)
    assert factors.verdict.verdict == "correct"


def test_a_wrong_half_reaction_that_balances_is_followed() -> None:
    """Sodium instead of hydrogen at the cathode: the sum that follows from it is right."""
    question = next(each for each in questions(*LONG[0]) if each.setup.electrolyte == "NaNO3")
    place = next(index for index, part in enumerate(question.parts) if part.formula.startswith("overall"))
    cathode = question.parts[place].carries[0]
    typed = {**keys(question), cathode: "Na+ + e- -> Na"}
    wrong = judge(question.parts, cathode, typed[cathode], {})
    assert wrong.verdict.verdict == "wrong"
    answer = "4 Na+ + 2 H2O -> 4 Na + O2 + 4 H+"
    assert judge(question.parts, place, answer, typed).verdict.verdict == "correct"
    assert judge(question.parts, place, answer, keys(question)).verdict.verdict == "wrong"


@pytest.mark.parametrize("typed", ["", "H2O -> H2 + e-", "??", "2 H2O + 2 e- -> H2 + 2 OH"])
def test_what_cannot_be_carried_is_replaced_by_the_key(typed: str) -> None:
    question = questions(*LONG[0])[0]
    place = next(index for index, part in enumerate(question.parts) if part.formula.startswith("overall"))
    answers = {**keys(question), question.parts[place].carries[0]: typed}
    judged = judge(question.parts, place, keys(question)[place], answers)
    assert judged.verdict.verdict == "correct"
    assert not judged.carried[0].own


@pytest.mark.parametrize("typed", ["12 g", "plenty", "", "0 mol", "-3 mol"])
def test_a_result_of_another_dimension_or_no_result_is_not_carried(typed: str) -> None:
    part = next(each for each in questions(*LONG[0])[0].parts if each.skill == "stoichiometry.electrons")
    assert result_of(part, typed) is None


def test_a_number_is_carried_in_the_unit_that_was_asked() -> None:
    part = next(each for each in questions(*LONG[0])[0].parts if each.skill == "stoichiometry.electrons")
    assert result_of(part, "1.5 mmol") == pytest.approx(0.0015)


def test_a_wrong_answer_stays_wrong_after_a_slip() -> None:
    question = questions(*LONG[0])[0]
    place = len(question.parts) - 1
    typed = {**keys(question), place - 1: "0.002 mol"}
    assert judge(question.parts, place, "1 mL", typed).verdict.verdict == "wrong"
    assert judge(question.parts, place, "??", typed).verdict.verdict == "unreadable"


@pytest.mark.parametrize(
    ("formula", "value"),
    [
        ("part0 * 2", 6.0),
        ("part0 / (1 + 2) - 0.5", 0.5),
        ("share(part1)", 0.5),
        ("part0 * share(part1)", 1.5),
    ],
)
def test_formulas_are_worked_out(formula: str, value: float) -> None:
    half = Equation.parse("2 H2O + 2 e^- -> H2 + 2 OH^-")
    assert work_out(formula, {"part0": 3.0, "part1": half}) == pytest.approx(value)


@pytest.mark.parametrize(
    "formula",
    [
        "part7",
        "part0 / 0",
        "part0 ** 9",
        "__import__('os').getcwd()",
        "part0.real",
        "[part0 for part0 in ()]",
        "overall(part0)",
        "exit()",
        "share(part0)",
        "'text'",
        "",
        "part0 if part0 else part0",
    ],
)
def test_anything_else_in_a_formula_is_refused(formula: str) -> None:
    with pytest.raises(ChainError) as caught:
        work_out(formula, {"part0": 3.0})
    assert caught.value.formula == formula


def test_every_part_belongs_to_a_skill_of_its_own_or_to_that_of_its_question() -> None:
    for name, level in PAIRS:
        for question in questions(name, level, 5):
            skills = {part.skill for part in question.parts}
            assert skills <= {"", *SKILLS}
            assert len(question.parts) > 1 or skills <= {"", name}


def test_the_chain_goes_from_the_evidence_to_the_amount() -> None:
    question = next(
        each
        for each in questions(*LONG[0])
        if splits_water(each) and each.parts[0].grading["kind"] == "formula"
    )
    assert [part.skill.partition(".")[2] for part in question.parts] == [
        "ion_behind_colour",
        "half_reaction",
        "atoms",
        "charge",
        "equal_electrons",
        "add_and_cancel",
        "electrons",
        "product_amount",
        "gas_volume",
    ]


def test_a_part_carries_only_what_comes_before_it() -> None:
    from problems.question import Made

    part = Part("?", {"kind": "quantity"}, ("a", "b", "c"), ("d",), carries=(0,), formula="part0")
    with pytest.raises(ValueError, match="earlier"):
        Made((part,))


ODD_EQUATIONS = (
    "O2 + 4 H^+ + 4 e^- -> 2 H2O",
    "Cu -> Cu^2+ + 2 e^-",
    "2 H2O -> 2 H2 + O2",
    "H2O -> H2O",
    "6 H2O + 6 e^- -> 3 H2 + 6 OH^-",
    "H^+ + OH^- -> H2O",
    "2 H2 + 4 OH^- -> 4 H2O + 4 e^-",
    "nothing",
)
ODD_NUMBERS = ("0 mol", "1e12 mol", "1e-12 mol", "-3 mol", "5", "7 g", "0.0015 mol")
ODD = {"equation": ODD_EQUATIONS, "quantity": ODD_NUMBERS, "ratio": ("1:2", "0:1", "x")}


@pytest.mark.parametrize("seed", range(12))
def test_whatever_was_answered_before_the_next_part_can_be_judged(seed: int) -> None:
    """Reversed halves would make a ratio negative, an equation without electrons would divide by zero."""
    parts = make_question("stoichiometry.whole_chain", "first_year", seed).parts
    rng = Random(seed)
    for _ in range(30):
        earlier = {
            index: rng.choice(ODD.get(part.grading["kind"], ("H^+", "?"))) for index, part in enumerate(parts)
        }
        for index, part in enumerate(parts):
            key = part.grading["expected"]
            assert judge(parts, index, key, earlier).verdict.verdict == "correct"
            assert judge(parts, index, earlier[index], earlier).verdict.verdict
            assert len(carried(parts, index, earlier)) == len(part.carries)
