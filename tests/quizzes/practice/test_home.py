"""The start page: strengths with their ranges, homework that is due, runs to go on with."""

from django.urls import reverse

from quizzes.models import Run
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


def test_homework_is_listed_with_its_due_time(cast: Cast) -> None:
    HomeworkSetFactory(title="Halves", author=cast.teacher, classes=[cast.school_class])
    page = cast.client("student").get("/").content.decode()
    assert "Halves" in page
    assert "0 of 8" in page


def test_a_teacher_lands_on_the_classes(cast: Cast) -> None:
    assert cast.client("teacher").get("/").headers["Location"] == reverse("classes")
