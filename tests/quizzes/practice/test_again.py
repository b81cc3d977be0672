"""One click from a past question to the same step with other numbers; or to any step by name."""

import uuid

import pytest
from django.urls import reverse

from problems.registry import SKILLS
from quizzes.answering import show
from quizzes.models import Question, Run, Strength
from quizzes.practice.again import _essence
from tests.conftest import Cast
from tests.quizzes.conftest import NOW, ask_on, fields, key_of


def again(cast: Cast, question: Question, person: str = "student") -> int:
    return cast.client(person).post(reverse("again", args=[question.public_id])).status_code


def made_from(question: Question) -> Question:
    return Question.objects.exclude(run=question.run).get()


def finished(run: Run, skill: str, seed: int = 1) -> Question:
    question = ask_on(run, skill, seed=seed)
    show(question, uuid.uuid4(), NOW)
    return question


@pytest.mark.parametrize("skill", ["stoichiometry.gas_volume", "stoichiometry.time_needed"])
def test_numbers_change_and_the_step_stays(cast: Cast, run: Run, skill: str) -> None:
    question = finished(run, skill)
    assert again(cast, question) == 302
    other = made_from(question)
    assert (other.skill, other.level) == (question.skill, question.level)
    assert _essence(other.snapshot.parts) != _essence(question.snapshot.parts)
    assert other.run.length == 1


def test_a_step_with_one_question_on_a_cell_moves_to_another_cell(cast: Cast, run: Run) -> None:
    question = finished(run, "redox.half_reaction")
    again(cast, question)
    other = made_from(question)
    assert _essence(other.snapshot.parts) != _essence(question.snapshot.parts)


def test_it_is_answered_and_counted_like_any_other(cast: Cast, run: Run) -> None:
    question = finished(run, "redox.half_reaction")
    client = cast.client("student")
    page = client.post(reverse("again", args=[question.public_id]), follow=True).content.decode()
    other = made_from(question)
    assert "You chose to practise this step." in page
    assert "Question 1 of 1" in page
    before = Strength.objects.get(student=cast.student).answers
    path = reverse("answer", args=[other.public_id])
    page = client.post(path, fields(key_of(other)), follow=True).content.decode()
    assert "Right." in page
    assert "Finish the run" in page
    assert Strength.objects.get(student=cast.student).answers == before + 1
    page = client.post(reverse("next_question", args=[other.run.public_id]), follow=True).content.decode()
    assert "The run is over" in page


def test_twice_gives_two_different_questions(cast: Cast, run: Run) -> None:
    question = finished(run, "stoichiometry.gas_volume")
    again(cast, question)
    again(cast, question)
    first, second = Question.objects.exclude(run=run)
    assert first.seed != second.seed


def test_the_past_question_offers_it(cast: Cast, run: Run) -> None:
    question = finished(run, "redox.half_reaction")
    page = cast.client("student").get(reverse("past_question", args=[question.public_id])).content.decode()
    assert f'action="{reverse("again", args=[question.public_id])}"' in page


def test_a_step_no_longer_taught_is_not_offered(cast: Cast, run: Run) -> None:
    question = finished(run, "redox.half_reaction")
    Question.objects.filter(pk=question.pk).update(skill="redox.gone")
    page = cast.client("student").get(reverse("past_question", args=[question.public_id])).content.decode()
    assert "/again/" not in page
    assert again(cast, question) == 404


def test_an_open_question_comes_first(cast: Cast, question: Question) -> None:
    again(cast, question)
    assert Question.objects.count() == 1


@pytest.mark.parametrize("person", ["classmate", "outsiders_student", "teacher"])
def test_it_is_for_ones_own_questions(cast: Cast, run: Run, person: str) -> None:
    question = finished(run, "redox.half_reaction")
    assert again(cast, question, person) == 404
    assert Question.objects.count() == 1


def test_a_single_step_that_was_left_ends_when_another_begins(cast: Cast, run: Run) -> None:
    client = cast.client("student")
    for _ in range(2):
        client.post(reverse("practise_step"), {"skill": "redox.half_reaction"})
    assert sorted(step.is_open for step in Run.objects.filter(length=1)) == [False, True]
    run.refresh_from_db()
    assert run.is_open


@pytest.mark.parametrize("skill", sorted(SKILLS))
def test_every_step_can_be_practised_by_name(cast: Cast, skill: str) -> None:
    cast.client("student").post(reverse("practise_step"), {"skill": skill})
    question = Question.objects.get()
    assert question.skill == skill
    assert question.level in SKILLS[skill].levels
    assert question.run.student == cast.student


def test_an_unknown_step_is_not_there(cast: Cast) -> None:
    response = cast.client("student").post(reverse("practise_step"), {"skill": "redox.magic"})
    assert response.status_code == 404
    assert not Run.objects.exists()
