"""The history by day follows a ruling: as if the answer had always been judged so."""

import uuid
from datetime import date, timedelta

from quizzes.answering import submit
from quizzes.models import Run, Strength, StrengthDay
from quizzes.recompute import recompute
from quizzes.rulings import rule
from quizzes.runs import start_run
from tests.conftest import Cast
from tests.factories import UserFactory
from tests.quizzes.conftest import NOW, ask_on, key_of
from tests.quizzes.test_rule_answer import UNREADABLE, WRONG

MONDAY = date(2026, 5, 4)


def days_of(student: object) -> list[tuple[date, int, object]]:
    return list(StrengthDay.objects.filter(student=student).values_list("date", "answers", "topics"))


def week(run: Run, first: str) -> None:
    """One question a day for three days, the first with this answer and the others with a wrong one."""
    for place, text in enumerate((first, WRONG, WRONG)):
        question = ask_on(run, seed=place, position=place + 1)
        typed = text or key_of(question)
        submit(question, 0, typed, uuid.uuid4(), NOW + timedelta(days=place))
        question.finish(NOW)


def test_recompute_leaves_a_history_as_the_answers_made_it(cast: Cast, run: Run) -> None:
    week(run, WRONG)
    before = days_of(cast.student)
    assert [day for day, _, _ in before] == [MONDAY + timedelta(days=place) for place in range(3)]
    recompute(cast.student)
    assert days_of(cast.student) == before


def test_every_day_from_the_ruling_on_is_as_if_it_had_been_right(cast: Cast, run: Run) -> None:
    twin = UserFactory()
    week(run, WRONG)
    week(start_run(twin, NOW, run.setup), "")
    assert days_of(cast.student) != days_of(twin)
    rule(run.questions.get(position=1).answers.get(), "right", "", cast.teacher, NOW)
    assert days_of(cast.student) == days_of(twin)


def test_a_day_on_which_nothing_counts_any_more_goes(cast: Cast, run: Run) -> None:
    week(run, UNREADABLE)
    answer = run.questions.get(position=1).answers.get()
    rule(answer, "right", "", cast.teacher, NOW)
    assert [answers for _, answers, _ in days_of(cast.student)] == [1, 2, 3]
    rule(answer, "withdrawn", "", cast.teacher, NOW)
    assert [(day, answers) for day, answers, _ in days_of(cast.student)] == [
        (MONDAY + timedelta(days=1), 1), (MONDAY + timedelta(days=2), 2),
    ]  # fmt: skip


def test_days_before_the_first_stored_answer_are_kept(cast: Cast, run: Run) -> None:
    """What was practised then is known only from this row."""
    StrengthDay.objects.create(student=cast.student, date=date(2025, 9, 1), answers=7, topics={})
    week(run, WRONG)
    recompute(cast.student)
    assert days_of(cast.student)[0] == (date(2025, 9, 1), 7, {})


def test_a_day_is_the_students_own(cast: Cast, run: Run) -> None:
    """22:30 of a London summer evening is half past six of the next morning in Tokyo."""
    cast.student.time_zone = "Asia/Tokyo"
    cast.student.save()
    run.refresh_from_db()
    late = NOW.replace(hour=21, minute=30)
    submit(ask_on(run), 0, WRONG, uuid.uuid4(), late)
    recompute(cast.student)
    assert [day for day, _, _ in days_of(cast.student)] == [MONDAY + timedelta(days=1)]


def test_the_last_by_number_stands_whatever_the_clock_said(cast: Cast, run: Run) -> None:
    """A clock that was put right between two answers."""
    for place, days in enumerate((1, 0, 1)):
        question = ask_on(run, seed=place, position=place + 1)
        submit(question, 0, WRONG, uuid.uuid4(), NOW + timedelta(days=days))
        question.finish(NOW)
    before = days_of(cast.student)
    assert recompute(cast.student) is False
    assert days_of(cast.student) == before
    assert Strength.objects.get(student=cast.student).answers == 3
