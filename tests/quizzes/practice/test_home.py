"""The start page: strengths with their ranges, homework that is due, runs to go on with."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from accounts.models import User
from quizzes.models import Run
from quizzes.runs import start_homework
from tests.conftest import Cast
from tests.factories import HomeworkSetFactory
from tests.quizzes.conftest import ask_on, fields, key_of


def test_a_new_student_sees_wide_ranges_and_a_way_to_start(cast: Cast) -> None:
    page = cast.client("student").get("/").content.decode()
    assert "After 0 answers the ranges are still wide" in page
    assert page.count("<tr>") == 6
    assert "Start a run" in page


def test_the_answers_behind_a_strength_are_counted(cast: Cast, run: Run) -> None:
    question = ask_on(run)
    client = cast.client("student")
    client.post(reverse("answer", args=[question.public_id]), fields(key_of(question)))
    assert "After one answer" in client.get("/").content.decode()


def test_an_open_run_can_be_gone_on_with(cast: Cast, run: Run) -> None:
    page = cast.client("student").get("/").content.decode()
    assert reverse("run", args=[run.public_id]) in page
    assert "Potassium nitrate, phenol red, graphite" in page
    assert "question 1 of 10" in page
    for position in (1, 2, 3):
        ask_on(run, position=position, seed=position)
    assert "question 3 of 10" in cast.client("student").get("/").content.decode()


def test_a_single_step_is_not_gone_on_with(cast: Cast) -> None:
    cast.client("student").post(reverse("practise_step"), {"skill": "redox.half_reaction"})
    step = Run.objects.get(student=cast.student)
    assert str(step.public_id) not in cast.client("student").get("/").content.decode()


def test_homework_handed_in_is_a_link_to_what_was_handed_in(cast: Cast) -> None:
    homework = HomeworkSetFactory(title="Halves", author=cast.teacher, classes=[cast.school_class])
    run = start_homework(cast.student, homework, timezone.now())
    client = cast.client("student")
    client.post(reverse("end_run", args=[run.public_id]))
    page = client.get("/").content.decode()
    assert f'href="{reverse("run", args=[run.public_id])}">handed in' in page
    assert "Handed in" in client.get(reverse("run", args=[run.public_id])).content.decode()


@pytest.mark.parametrize(("late", "words"), [("accepted", "marked late"), ("refused", "then it closes")])
def test_homework_says_what_comes_after_the_due_time_and_whose_clock_it_is(
    cast: Cast, late: str, words: str
) -> None:
    HomeworkSetFactory(author=cast.teacher, classes=[cast.school_class], late=late)
    User.objects.filter(pk=cast.student.pk).update(time_zone="America/Lima")
    page = cast.client("student").get("/").content.decode()
    assert words in page
    assert "Times are those of America/Lima." in page


def test_homework_is_listed_with_its_due_time(cast: Cast) -> None:
    HomeworkSetFactory(title="Halves", author=cast.teacher, classes=[cast.school_class])
    page = cast.client("student").get("/").content.decode()
    assert "Halves" in page
    assert "0 of 8" in page


def test_a_teacher_lands_on_the_classes(cast: Cast) -> None:
    assert cast.client("teacher").get("/").headers["Location"] == reverse("classes")


def test_a_keeper_of_the_site_lands_on_its_numbers(cast: Cast) -> None:
    assert cast.client("staff").get("/").headers["Location"] == reverse("school")


def test_a_set_handed_in_late_says_so(cast: Cast) -> None:
    now = timezone.now()
    for due, late in ((now + timedelta(hours=1), False), (now - timedelta(minutes=30), True)):
        homework = HomeworkSetFactory(author=cast.teacher, classes=[cast.school_class], due_at=due)
        start_homework(cast.student, homework, now).end(now)
        page = cast.client("student").get("/").content.decode()
        assert "handed in" in page
        assert ('<span class="late">late</span>' in page) == late


def test_cells_are_named_in_the_readers_language(cast: Cast) -> None:
    page = cast.client("student").get("/", headers={"Accept-Language": "de"}).content.decode()
    assert ">Kaliumnitrat, Phenolrot, Graphit</option>" in page
    assert ">eine für das, worin ich schwach bin</option>" in page
