"""A teacher renames a class, changes its dates, archives it and brings it back."""

from datetime import date, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone
from pytest_django import DjangoAssertNumQueries

from accounts.models import Change, SchoolClass
from quizzes.courses import course_of
from tests.conftest import Cast
from tests.factories import HomeworkSetFactory

FIELDS = {
    "name": "3 B science",
    "level": "second_year",
    "time_zone": "Europe/Lisbon",
    "exam_date": "2027-06-11",
}


def url(name: str, cast: Cast) -> str:
    return reverse(name, args=[cast.school_class.public_id])


def test_what_is_saved_is_shown(cast: Cast) -> None:
    client = cast.client("teacher")
    page = client.post(url("class_settings", cast), FIELDS, follow=True).content.decode()
    assert "Saved." in page
    assert 'value="2027-06-11"' in page
    europe = page.partition('<optgroup label="Europe">')[2].partition("</optgroup>")[0]
    assert '<option value="Europe/Lisbon" selected>Lisbon</option>' in europe
    kept = SchoolClass.objects.get(pk=cast.school_class.pk)
    assert (kept.name, kept.level, kept.time_zone) == ("3 B science", "second_year", "Europe/Lisbon")
    assert kept.exam_date == date(2027, 6, 11)
    assert "3 B science" in client.get(reverse("classes")).content.decode()


def test_an_exam_date_can_be_taken_away(cast: Cast) -> None:
    SchoolClass.objects.filter(pk=cast.school_class.pk).update(exam_date="2027-06-11")
    cast.client("co_teacher").post(url("class_settings", cast), {**FIELDS, "exam_date": ""})
    assert SchoolClass.objects.get(pk=cast.school_class.pk).exam_date is None


@pytest.mark.parametrize(
    ("changes", "field"),
    [({"name": " "}, "name"), ({"level": "tenth"}, "level"), ({"time_zone": "Moon/Base"}, "time_zone"),
     ({"exam_date": "soon"}, "exam_date")],
)  # fmt: skip
def test_nonsense_is_refused_at_its_field(cast: Cast, changes: dict[str, str], field: str) -> None:
    response = cast.client("teacher").post(url("class_settings", cast), {**FIELDS, **changes})
    assert list(response.context["form"].errors) == [field]
    assert "Settings of 3 B" in response.content.decode()
    assert SchoolClass.objects.get(pk=cast.school_class.pk).name == "3 B"


def test_archiving_asks_first(cast: Cast) -> None:
    page = cast.client("teacher").get(url("archive_class", cast)).content.decode()
    assert "2 students are in it." in page
    assert SchoolClass.objects.get(pk=cast.school_class.pk).archived_at is None


def test_an_archived_class_is_off_the_list_shut_and_can_come_back(cast: Cast) -> None:
    client, word = cast.client("teacher"), cast.school_class.join_word
    page = client.post(url("archive_class", cast), follow=True).content.decode()
    assert "Archived</h2>" in page
    assert not SchoolClass.objects.with_join_word(word).exists()
    assert "Archived on" in client.get(url("class_settings", cast)).content.decode()
    assert client.get(url("class_page", cast)).status_code == 200
    client.post(url("restore_class", cast))
    assert "Archived</h2>" not in client.get(reverse("classes")).content.decode()
    assert SchoolClass.objects.with_join_word(word).exists()


def test_archiving_twice_keeps_the_first_date(cast: Cast) -> None:
    client = cast.client("teacher")
    client.post(url("archive_class", cast))
    first = SchoolClass.objects.get(pk=cast.school_class.pk).archived_at
    client.post(url("archive_class", cast))
    assert SchoolClass.objects.get(pk=cast.school_class.pk).archived_at == first


def test_archiving_says_how_many_students_and_can_be_taken_back(cast: Cast) -> None:
    client = cast.client("teacher")
    assert (
        "3 B with 2 students is archived."
        in client.post(url("archive_class", cast), follow=True).content.decode()
    )
    client.post(reverse("accounts:take_back", args=[Change.objects.get().public_id]))
    assert SchoolClass.objects.get(pk=cast.school_class.pk).archived_at is None


def test_an_archived_class_asks_nothing_of_its_students_any_more(cast: Cast) -> None:
    now = timezone.now()
    last_year = SchoolClass.objects.start(
        cast.teacher, "Last year", level="second_year", exam_date=now.date() + timedelta(days=9)
    )
    last_year.add_student(cast.student)
    HomeworkSetFactory(author=cast.teacher, classes=[last_year], title="Old halves")
    client = cast.client("student")
    assert course_of(cast.student).level == "second_year"
    assert course_of(cast.student).next_exam(now.date()) == last_year.exam_date
    assert "Old halves" in client.get("/").content.decode()
    last_year.archive(now)
    assert course_of(cast.student).level == "first_year"
    assert course_of(cast.student).next_exam(now.date()) is None
    assert "Old halves" not in client.get("/").content.decode()
    last_year.restore()
    assert "Old halves" in client.get("/").content.decode()


def test_ten_classes_take_as_many_queries_as_one_and_say_how_many_students(
    cast: Cast, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    for place in range(9):
        SchoolClass.objects.start(cast.teacher, f"Class {place}")
    client = cast.client("teacher")
    with django_assert_num_queries(5):
        page = client.get(reverse("classes")).content.decode()
    assert page.count("0 students") == 9
    assert "2 students" in page
