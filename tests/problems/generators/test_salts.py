"""Slips of the question on a salt's solution: each says something true of that solution.

Source: Chemistry 2e (OpenStax), section 14.4: the ions of strong acids and bases leave water neutral.
"""

from problems.question import Question
from problems.registry import make_question

SKILL = "acid_base.salt_solution"
SEEDS = range(80)


def natured(key: str) -> list[Question]:
    """The questions of a range of seeds whose right option is `key`."""
    made = [make_question(SKILL, "first_year", seed) for seed in SEEDS]
    return [each for each in made if each.parts[0].grading["expected"] == [key]]


def slips(question: Question) -> dict[str, list[str]]:
    found: dict[str, list[str]] = question.parts[0].grading["slips"]
    return found


def test_nothing_about_a_neutral_salt_is_called_half_right() -> None:
    neutral = natured("neutral_ions")
    assert len(neutral) > 5
    assert all(slips(each) == {} for each in neutral)


def test_the_wrong_ion_is_blamed_only_where_the_nature_is_right() -> None:
    for key, other in (("acidic_cation", "acidic_anion"), ("basic_anion", "basic_cation")):
        questions = natured(key)
        assert len(questions) > 5
        assert all(slips(each)["wrong_ion_blamed"] == [other] for each in questions)
        assert all(slips(each)["every_salt_neutral"] == ["neutral_ions"] for each in questions)


def test_acid_and_base_are_exchanged_by_the_ion_that_does_react() -> None:
    for key, exchanged in (("acidic_cation", "basic_anion"), ("basic_anion", "acidic_cation")):
        assert all(slips(each)["acid_and_base_exchanged"] == [exchanged] for each in natured(key))
