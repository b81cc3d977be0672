"""A class's way of writing reaches its students' questions, and stays with the questions asked so far."""

import re
import uuid

import pytest
from django.urls import reverse
from django.utils import timezone

from accounts.models import SchoolClass
from problems.conventions import USUAL, Conventions
from problems.generators.setups import SHOWCASE
from quizzes.answering import submit
from quizzes.courses import conventions_for_set, course_of
from quizzes.models import Question, Run
from quizzes.runs import next_question, start_homework, start_run
from tests.conftest import Cast
from tests.factories import HomeworkSetFactory
from tests.quizzes.conftest import NOW, fields

EVERYTHING = Conventions(hydronium=True, states=True, decimetres=True, decimal=",")
WRITES_ALL = {"hydrogen_ion": "H3O+", "asks_states": True, "volume_unit": "dm3", "decimal_sign": ","}


def write(school_class: SchoolClass, **fields: object) -> None:
    SchoolClass.objects.filter(pk=school_class.pk).update(**(fields or WRITES_ALL))


def step(cast: Cast, skill: str, person: str = "student") -> Question:
    """A question of one step, begun by its student."""
    cast.client(person).post(reverse("practise_step"), {"skill": skill})
    return Question.objects.latest("pk")


def page(cast: Cast, run: Run) -> str:
    return cast.client("student").get(reverse("run", args=[run.public_id])).content.decode()


def test_the_class_joined_first_decides(cast: Cast) -> None:
    write(cast.school_class)
    cast.outsiders_class.add_student(cast.student)
    assert course_of(cast.student).conventions == EVERYTHING
    assert course_of(cast.outsiders_student).conventions == USUAL
    cast.outsiders_class.add_student(cast.outsiders_student)
    write(cast.outsiders_class, decimal_sign=".")
    assert course_of(cast.outsiders_student).conventions == Conventions(decimal=".")
    assert course_of(cast.student).conventions == EVERYTHING


def test_a_set_is_written_as_its_class_writes(cast: Cast) -> None:
    cast.outsiders_class.add_student(cast.student)
    write(cast.outsiders_class)
    homework = HomeworkSetFactory(author=cast.outsider, classes=[cast.outsiders_class])
    assert course_of(cast.student).conventions == USUAL
    assert conventions_for_set(cast.student, homework) == EVERYTHING
    assert start_homework(cast.student, homework, timezone.now()).conventions == EVERYTHING.as_json()


def test_a_student_who_left_the_class_of_a_set_gets_it_as_usual(cast: Cast) -> None:
    write(cast.school_class)
    homework = HomeworkSetFactory(author=cast.teacher, classes=[cast.school_class])
    cast.school_class.remove_students([cast.student])
    assert conventions_for_set(cast.student, homework) == USUAL


def test_questions_drawings_and_keys_follow_the_class(cast: Cast) -> None:
    write(cast.school_class)
    run = start_run(cast.student, NOW, SHOWCASE)
    shown = page(cast, run)
    question = next_question(run, NOW)
    assert question is not None
    shown += page(cast, run)
    assert "mol/dm³" in shown
    assert re.findall(r".{9}\d\.\d.{9}", re.sub(r"<[^>]*>", "", shown)) == []
    assert " mL" not in shown


def test_a_half_reaction_is_asked_with_hydronium_and_states(cast: Cast) -> None:
    write(cast.school_class)
    question = step(cast, "balancing.acid_to_base")
    [part] = question.snapshot.parts
    assert "H₃O⁺" in part.prompt
    assert "state symbols" in part.prompt
    assert part.grading["states"] == "required"


def test_either_ion_is_right_and_the_note_reads_well(cast: Cast) -> None:
    """Common practice: H⁺ and H₃O⁺ name the same ion in water."""
    write(cast.school_class, hydrogen_ion="H3O+")
    question = Question()
    for _ in range(60):
        question = step(cast, "redox.half_reaction")
        if "H3O" in question.snapshot.parts[0].grading["expected"]:
            break
    assert "H3O" in question.snapshot.parts[0].grading["expected"]
    answer = reverse("answer", args=[question.public_id])
    typed = (
        "2 H2O -> O2 + 4 H+ + 4 e-"
        if "O2" in question.snapshot.parts[0].grading["expected"]
        else "2 H+ + 2 e- -> H2"
    )
    shown = cast.client("student").post(answer, fields(typed), follow=True).content.decode()
    assert "H⁺ is as right here as the other way to write the hydrogen ion." in shown
    assert question.answers.get().score == 1


def test_a_change_of_convention_leaves_the_past_as_it_was(cast: Cast) -> None:
    question = step(cast, "balancing.acid_to_base")
    before = question.snapshot.parts
    write(cast.school_class)
    kept = Question.objects.get(pk=question.pk)
    assert kept.snapshot.parts == before
    assert "H⁺" in page(cast, kept.run)
    assert kept.run.conventions == USUAL.as_json()
    assert "H₃O⁺" in step(cast, "balancing.acid_to_base").snapshot.parts[0].prompt


def test_a_run_from_before_conventions_were_kept_reads_as_usual(cast: Cast) -> None:
    run = start_run(cast.student, NOW, SHOWCASE)
    Run.objects.filter(pk=run.pk).update(conventions={})
    assert "mol/L" in page(cast, run)


@pytest.mark.parametrize("person", ["student", "outsiders_student"])
def test_with_one_convention_or_another_a_whole_run_is_answered_right(cast: Cast, person: str) -> None:
    write(cast.school_class)
    run = start_run(getattr(cast, person), NOW)
    while (question := next_question(run, NOW)) is not None:
        for index, part in enumerate(question.snapshot.parts):
            submit(question, index, part.grading["expected"], uuid.uuid4(), NOW)
        assert {answer.score for answer in question.answers.all()} == {1.0}, question.skill
