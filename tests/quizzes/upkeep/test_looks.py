"""Who looked at whose data: noted for every page that shows something of students, and shown to them."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from accounts.models import Look
from quizzes.upkeep import looks
from tests.conftest import Cast
from tests.factories import HomeworkSetFactory
from tests.site_map import address, ids, routes, rules

OF_STUDENTS = {"class_id", "set_id", "student_id", "sent_id"}
SHOWS_NO_STUDENT = {
    "archive_class", "class_settings", "in_play", "roster", "new_set", "change_set", "try_set", "lesson",
    "wall", "demonstration", "fresh_sheet", "fresh_key", "set_sheet", "set_key", "compare",
}  # fmt: skip


def test_every_page_of_a_teacher_is_noted_or_said_to_show_no_student() -> None:
    opened = {rule.name for rule in rules() if rule.method == "GET" and rule.expected["teacher"] == 200}
    about = {name for name in opened if OF_STUDENTS & {*routes()[name]}}
    assert about - {*looks.SHOWN} - SHOWS_NO_STUDENT == set()
    assert not {*looks.SHOWN} & SHOWS_NO_STUDENT
    assert {*looks.SHOWN} <= {*routes()}


@pytest.mark.parametrize("name", ["class_page", "people", "marks", "homework_set", "set_answers", "sent_in"])
def test_looking_leaves_a_note_that_the_student_sees(cast: Cast, name: str) -> None:
    parts = ids(cast)
    assert cast.client("teacher").get(address(name, parts)).status_code == 200
    look = Look.objects.get()
    assert (look.by, look.what) == (cast.teacher, name)
    page = cast.client("student").get(reverse("privacy")).content.decode()
    assert "Ms Vera" in page
    assert looks.what_is_shown(name).replace("'", "&#x27;") in page
    elsewhere = cast.client("outsiders_student").get(reverse("privacy")).content.decode()
    assert "Ms Vera" not in elsewhere


def test_only_the_student_looked_at_sees_a_look_at_one(cast: Cast) -> None:
    cast.client("teacher").get(address("set_answers", ids(cast)))
    assert "Ms Vera" not in cast.client("classmate").get(reverse("privacy")).content.decode()


def test_who_is_turned_away_has_seen_nothing(cast: Cast) -> None:
    parts = ids(cast)
    for person in ("outsider", "student", "staff", "anonymous"):
        cast.client(person).get(address("class_page", parts))
    assert not Look.objects.exists()


def test_looking_again_within_the_hour_is_the_same_look(cast: Cast) -> None:
    at = timezone.now()
    for minutes in (0, 20, 59, 61):
        Look.objects.record(
            cast.teacher, "marks", at + timedelta(minutes=minutes), school_class=cast.school_class
        )
    assert Look.objects.count() == 2


def test_a_look_before_a_student_joined_is_not_theirs(cast: Cast) -> None:
    long_ago = timezone.now() - timedelta(days=30)
    Look.objects.record(cast.teacher, "marks", long_ago, school_class=cast.school_class)
    assert not Look.objects.at_data_of(cast.student).exists()


def test_a_set_of_two_classes_is_a_look_at_those_taught(cast: Cast) -> None:
    homework = HomeworkSetFactory(author=cast.teacher, classes=[cast.school_class, cast.outsiders_class])
    cast.client("teacher").get(reverse("homework_set", args=[homework.public_id]))
    assert [each.school_class for each in Look.objects.all()] == [cast.school_class]
