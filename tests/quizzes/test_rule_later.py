"""A decision for later answers too: it decides them as they come in, until it is withdrawn or taken back."""

import uuid
from datetime import timedelta

import pytest
from django.test import Client
from django.urls import reverse
from pytest_django import DjangoAssertNumQueries

from accounts.changes import take_back
from accounts.models import Change, User
from problems.generators.setups import SHOWCASE
from quizzes.answering import submit
from quizzes.homework.marks import mark_table
from quizzes.models import Answer, HomeworkSet, Question, Ruling, Run, StandingRuling, Strength, judged
from quizzes.recompute import recompute
from quizzes.rulings import decide, standing_for, withdraw
from quizzes.runs import start_homework, start_run
from tests.conftest import Cast
from tests.factories import HomeworkSetFactory, UserFactory
from tests.quizzes.conftest import NOW, ask_on, fields, key_of
from tests.quizzes.test_rule_answer import UNREADABLE, WRONG, asked

LATER = NOW + timedelta(hours=2)


@pytest.fixture
def homework(cast: Cast) -> HomeworkSet:
    days = {"opens_at": NOW - timedelta(days=1), "due_at": NOW + timedelta(days=7)}
    return HomeworkSetFactory(author=cast.teacher, classes=[cast.school_class], number=1, **days)


@pytest.fixture
def first(cast: Cast, homework: HomeworkSet) -> Answer:
    return asked(start_homework(cast.student, homework, NOW), WRONG)


def pupil(cast: Cast) -> User:
    student = UserFactory()
    cast.school_class.add_student(student)
    return student


def answer_set(student: User, homework: HomeworkSet, text: str = WRONG) -> Answer:
    question = ask_on(start_homework(student, homework, NOW))
    return submit(question, 0, text, uuid.uuid4(), LATER)


def as_reader(user: User) -> Client:
    client = Client()
    client.force_login(user)
    return client


def final(answer: Answer) -> float | None:
    return judged(Answer.objects.all()).get(pk=answer.pk).final


def state(student: User) -> tuple[bytes, int, float | None]:
    row = Strength.objects.get(student=student)
    return bytes(row.state), row.answers, row.redox_mean


def test_a_later_answer_counts_as_decided_and_ends_its_question(
    cast: Cast, homework: HomeworkSet, first: Answer
) -> None:
    """Against a student who typed the right answer at the same moment."""
    decide(first, "right", "As we write it.", cast.teacher, NOW, "later")
    student, twin = pupil(cast), pupil(cast)
    answer = answer_set(student, homework)
    assert (answer.verdict, answer.score, final(answer)) == ("wrong", 0, 1)
    assert Question.objects.get(pk=answer.question_id).is_finished
    answer_set(twin, homework, key_of(answer.question))
    assert state(student) == state(twin)
    assert mark_table([homework], [student]).rows[0].marks[0].points == 1
    url = reverse("past_question", args=[answer.question.public_id])
    assert "As we write it." in as_reader(student).get(url).content.decode()


def test_the_page_says_at_once_that_the_teacher_decided(
    cast: Cast, homework: HomeworkSet, first: Answer
) -> None:
    decide(first, "right", "Good enough.", cast.teacher, NOW, "later")
    student = pupil(cast)
    question = ask_on(start_homework(student, homework, NOW))
    given = fields(WRONG)
    page = as_reader(student).post(
        reverse("answer", args=[question.public_id]), given, headers={"HX-Request": "true"}
    )
    assert "Good enough." in page.content.decode()


def test_partly_leaves_the_question_open_for_a_better_try(
    cast: Cast, homework: HomeworkSet, first: Answer
) -> None:
    decide(first, "partly", "", cast.teacher, NOW, "later")
    answer = answer_set(pupil(cast), homework)
    assert final(answer) == 0.5
    assert not Question.objects.get(pk=answer.question_id).is_finished


def test_recompute_gives_the_very_same_strength(cast: Cast, homework: HomeworkSet, first: Answer) -> None:
    decide(first, "partly", "", cast.teacher, NOW, "later")
    student = pupil(cast)
    answer = answer_set(student, homework)
    submit(answer.question, 0, WRONG, uuid.uuid4(), LATER + timedelta(minutes=1))
    before = state(student)
    assert recompute(student) is False
    assert state(student) == before


def test_withdrawn_it_decides_nothing_more_and_what_it_decided_goes_back(
    cast: Cast, homework: HomeworkSet, first: Answer
) -> None:
    decide(first, "right", "", cast.teacher, NOW, "later")
    student, untouched = pupil(cast), pupil(cast)
    answer = answer_set(student, homework)
    assert withdraw(StandingRuling.objects.get(), cast.teacher, LATER) == 2
    assert (final(first), final(answer)) == (0, 0)
    assert final(answer_set(untouched, homework)) == 0
    assert state(student) == state(untouched)
    assert withdraw(StandingRuling.objects.get(), cast.teacher, LATER) == 0


def test_an_answer_ruled_by_itself_since_then_is_left_as_it_is(
    cast: Cast, homework: HomeworkSet, first: Answer
) -> None:
    decide(first, "right", "", cast.teacher, NOW, "later")
    answer = answer_set(pupil(cast), homework)
    decide(Answer.objects.get(pk=answer.pk), "partly", "", cast.teacher, LATER, "this")
    withdraw(StandingRuling.objects.get(), cast.teacher, LATER)
    assert final(answer) == 0.5


def test_what_is_taken_back_within_a_day_stands_as_before(
    cast: Cast, homework: HomeworkSet, first: Answer
) -> None:
    other = asked(start_homework(cast.classmate, homework, NOW), WRONG)
    decide(other, "partly", "half", cast.co_teacher, NOW, "this")
    decide(first, "right", "", cast.teacher, NOW, "later")
    later = answer_set(pupil(cast), homework)
    assert (final(first), final(other), final(later)) == (1, 1, 1)
    take_back(Change.objects.get(), LATER)
    assert (final(first), final(other), final(later)) == (0, 0.5, 0)
    assert not StandingRuling.objects.holding().exists()


def test_a_newer_decision_takes_the_place_of_the_older(
    cast: Cast, homework: HomeworkSet, first: Answer
) -> None:
    decide(first, "right", "", cast.teacher, NOW, "later")
    decide(first, "partly", "", cast.teacher, NOW, "later")
    assert StandingRuling.objects.holding().count() == 1
    assert final(answer_set(pupil(cast), homework)) == 0.5


def test_neither_another_set_nor_practice_is_decided(
    cast: Cast, homework: HomeworkSet, first: Answer
) -> None:
    decide(first, "right", "", cast.teacher, NOW, "later")
    other = HomeworkSetFactory(author=cast.teacher, classes=[cast.school_class], opens_at=NOW, due_at=LATER)
    student = pupil(cast)
    assert final(answer_set(student, other)) == 0
    alone = submit(ask_on(start_run(student, NOW, SHOWCASE)), 0, WRONG, uuid.uuid4(), LATER)
    assert final(alone) == 0


def test_in_practice_it_holds_for_the_teachers_own_students_only(cast: Cast, run: Run) -> None:
    decide(asked(run, WRONG), "right", "", cast.teacher, NOW, "later")

    def practised(student: User) -> float | None:
        question = ask_on(start_run(student, NOW, run.setup))
        return final(submit(question, 0, WRONG, uuid.uuid4(), LATER))

    assert practised(cast.classmate) == 1
    assert practised(cast.outsiders_student) == 0
    cast.school_class.archive(LATER)
    assert practised(pupil(cast)) == 0


def test_what_could_not_be_read_is_decided_one_by_one(cast: Cast, homework: HomeworkSet) -> None:
    answer = asked(start_homework(cast.student, homework, NOW), UNREADABLE)
    decide(answer, "right", "", cast.teacher, NOW, "later")
    assert final(answer) == 1
    assert not StandingRuling.objects.exists()


def test_as_it_was_judged_is_no_decision_for_later(cast: Cast, homework: HomeworkSet, first: Answer) -> None:
    decide(first, "withdrawn", "", cast.teacher, NOW, "later")
    assert not StandingRuling.objects.exists()


def test_looking_for_one_takes_one_query(
    cast: Cast, first: Answer, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    with django_assert_num_queries(1):
        assert standing_for(first) is None


@pytest.mark.parametrize("person", ["co_teacher", "outsider", "student", "staff"])
def test_only_who_decided_may_withdraw(cast: Cast, homework: HomeworkSet, first: Answer, person: str) -> None:
    decide(first, "right", "", cast.teacher, NOW, "later")
    url = reverse("withdraw_ruling", args=[StandingRuling.objects.get().public_id])
    assert cast.client(person).post(url).status_code == 404
    assert StandingRuling.objects.holding().exists()
    page = cast.client("teacher").post(url, follow=True).content.decode()
    assert "Withdrawn" in page
    assert Ruling.objects.filter(answer=first).last().decision == "withdrawn"
