"""Worksheets in four versions: alike in kind, different in every number, version A as on the screen."""

import re
from itertools import combinations

import pytest
from django.utils import timezone

from problems.cell.evidence import evidence
from problems.generators import say
from problems.generators.setups import OFFERED, SHOWCASE
from problems.question import Level, Part
from problems.question import Question as Made
from problems.registry import SKILLS, make_question
from quizzes.lesson.scheme import LINES, answer_in_words, marks_for, paper_question
from quizzes.lesson.versions import LETTERS, Choice, choice_of, keys_of, says_more, version_of
from quizzes.models import HomeworkSet, Question
from quizzes.runs import askable, next_question, start_homework
from tests.conftest import Cast
from tests.factories import HomeworkSetFactory


def everything_on(name: str) -> Choice:
    skills = askable(OFFERED[name])
    return Choice(name, OFFERED[name], skills, "first_year", len(skills), 7)


@pytest.mark.parametrize("name", OFFERED)
def test_no_two_versions_share_a_number_that_is_asked(name: str) -> None:
    versions = [version_of(everything_on(name), letter) for letter in LETTERS]
    for questions in zip(*(version.questions for version in versions), strict=True):
        assert len({question.skill for question in questions}) == 1
        for one, other in combinations(questions, 2):
            assert not keys_of(one) & keys_of(other), one.skill


@pytest.mark.parametrize("name", OFFERED)
def test_every_version_is_about_the_same_kind_of_cell(name: str) -> None:
    setups = [version_of(everything_on(name), letter).setup for letter in LETTERS]
    assert setups[0] == OFFERED[name]
    assert len({(setup.current, setup.time) for setup in setups}) == len(LETTERS)
    assert len({(setup.electrolyte, setup.cathode, setup.anode, setup.indicator) for setup in setups}) == 1
    assert len({evidence(setup).use for setup in setups}) == 1


def test_the_same_choice_gives_the_same_sheets() -> None:
    choice = everything_on("copper(II) sulfate, platinum")
    assert version_of(choice, "C") == version_of(choice, "C")


def test_version_a_of_a_set_for_all_is_what_they_get_on_the_screen(cast: Cast) -> None:
    homework = HomeworkSetFactory(
        author=cast.teacher, classes=[cast.school_class], mode=HomeworkSet.Mode.ONE, number=5
    )
    run = start_homework(cast.student, homework, timezone.now())
    on_screen: list[Question] = []
    for _position in range(5):
        question = next_question(run, timezone.now())
        assert question is not None
        question.finish(timezone.now())
        on_screen.append(question)
    on_paper = version_of(choice_of(homework, "first_year"), "A").questions
    assert [each.parts for each in on_paper] == [each.snapshot.parts for each in on_screen]
    other = version_of(choice_of(homework, "first_year"), "B").questions
    assert [each.parts for each in other] != [each.parts for each in on_paper]


def test_more_questions_than_steps_begin_the_steps_again() -> None:
    choice = Choice("x", SHOWCASE, ["stoichiometry.electrons", "redox.paths"], "first_year", 4, 1)
    names = [question.skill for question in version_of(choice, "A").questions]
    assert names == ["redox.paths", "stoichiometry.electrons"] * 2


def test_steps_that_the_cell_does_not_allow_are_left_out() -> None:
    choice = Choice("x", SHOWCASE, ["stoichiometry.deposit"], "first_year", 4, 1)
    assert version_of(choice, "D").questions == []


def test_the_sentence_about_the_cell_stands_once_at_the_head() -> None:
    for question in version_of(everything_on("potassium nitrate, phenol red, graphite"), "A").questions:
        assert say.cell(question.setup) not in says_more(question)
        assert question.lead == " ".join(filter(None, (say.cell(question.setup), says_more(question))))


def made(skill: str) -> Made:
    return make_question(skill, SKILLS[skill].levels[0], 3)


def parts() -> list[Part]:
    return [part for name in SKILLS for part in made(name).parts]


def test_every_kind_of_part_has_marks_working_space_and_an_answer() -> None:
    for part in parts():
        kind = part.grading["kind"]
        assert marks_for(part)
        assert (LINES[kind] > 0) != bool(part.options)
        assert answer_in_words(part)


@pytest.mark.parametrize(
    ("skill", "marks"), [("balancing.charge", 3), ("stoichiometry.gas_volume", 3), ("redox.paths", 1)]
)
def test_an_equation_and_a_number_are_worth_more_than_a_tick(skill: str, marks: int) -> None:
    asked = paper_question(1, make_question(skill, "first_year", 1))
    assert asked.marks == marks


def test_a_ph_has_no_mark_for_a_unit() -> None:
    [part] = made("acid_base.arm_ph").parts
    assert len(marks_for(part)) == 2


def test_answers_are_written_as_in_print() -> None:
    words = {part.grading["kind"]: answer_in_words(part) for part in parts()}
    assert "→" in words["equation"]
    assert not re.search(r"\^|->", words["equation"] + words["formula"])
    avogadro = made("stoichiometry.avogadro_constant")
    assert re.fullmatch(r"[56]\.\d+ × 10²³ mol⁻¹", answer_in_words(avogadro.parts[-1]))


@pytest.mark.parametrize("level", ["first_year", "second_year"])
def test_the_answer_is_the_number_at_which_the_solution_arrives(level: Level) -> None:
    """A key with a five too many would be rounded twice, and then differ from its own solution."""
    for name, skill in SKILLS.items():
        for seed in range(30 if level in skill.levels else 0):
            for part in make_question(name, level, seed).parts:
                if part.grading["kind"] == "quantity":
                    assert answer_in_words(part) in " ".join(part.solution), (name, seed)


def test_a_key_between_two_roundings_follows_the_solution() -> None:
    # 72.0 C / (96485 C/mol) / (0.0250 mol/L) = 29.849 mL, so 29.8 and not 29.9.
    part = Part(
        "What volume?", {"kind": "quantity", "expected": "29.85 mL", "figures": 3, "slips": {}},
        ("Find the charge.", "Find the amount.", "Divide by the concentration."),
        ("V = n/c = 0.000746 mol / 0.0250 mol/L = 29.8 mL",),
    )  # fmt: skip
    assert answer_in_words(part) == "29.8 mL"


def test_parts_of_a_chain_have_letters_and_keep_marks_for_what_follows() -> None:
    chain = paper_question(1, made("stoichiometry.whole_chain"))
    assert [part.letter for part in chain.parts] == list("abcdefghi")[: len(chain.parts)]
    assert chain.is_long
    assert any("may be wrong" in mark for part in chain.parts for mark in part.marks)
