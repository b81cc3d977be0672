"""The pages of those who keep the site, and of a person's own data."""

import json
from unittest.mock import patch

import pytest
from django.db import OperationalError, connection
from django.test import Client, override_settings
from django.urls import reverse
from django.utils import timezone

from accounts.models import SignInThrottle, User
from quizzes.runs import start_homework
from quizzes.upkeep import health
from quizzes.upkeep.health import Health
from tests.conftest import Cast
from tests.factories import HomeworkSetFactory
from tests.quizzes.teaching.test_class_page import practise


def test_health_says_no_more_than_it_must(db: None) -> None:
    response = Client().get("/health/")
    assert response.status_code == 200
    assert response.json() == {"ok": True, "database": True, "migrated": True}
    assert response["Cache-Control"] == "no-store"


def test_health_is_asked_over_plain_http_too(db: None) -> None:
    with override_settings(SECURE_SSL_REDIRECT=True):
        assert Client().get("/health/").status_code == 200
        assert Client().get(reverse("privacy")).status_code == 301


def test_a_table_that_is_missing_makes_it_unhealthy(db: None, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(health, "wanted", lambda: frozenset({("quizzes", "9999_of_tomorrow")}))
    response = Client().get("/health/")
    assert (response.status_code, response.json()["migrated"]) == (503, False)


def test_a_database_that_is_away_is_told_and_raises_nothing(db: None) -> None:
    with patch.object(connection, "cursor", side_effect=OperationalError):
        assert health.health() == Health(database=False, migrated=None)


def test_the_staff_sees_numbers_and_no_one(cast: Cast) -> None:
    SignInThrottle.objects.claim("ines", "192.0.2.4", timezone.now())
    page = cast.client("staff").get(reverse("school")).content.decode()
    assert "Students" in page
    for name in ("ines", "Ines", "vera", "Ms Vera", "3 B", "192.0.2.4"):
        assert name not in page


def test_a_student_takes_away_what_is_kept(cast: Cast) -> None:
    response = cast.client("student").get(reverse("my_data"))
    assert json.loads(response.content)["person"]["sign_in_name"] == "ines"
    assert "attachment" in response["Content-Disposition"]


def test_a_teacher_erases_after_typing_the_name(cast: Cast) -> None:
    parts = [cast.school_class.public_id, cast.student.public_id]
    client = cast.client("teacher")
    assert "ines" in client.get(reverse("student_page", args=parts)).content.decode()
    for wrong in ("", "Ines", "bruno"):
        client.post(reverse("erase_student", args=parts), {"name": wrong})
        assert User.objects.filter(username="ines").exists()
    response = client.post(reverse("erase_student", args=parts), {"name": " ines "})
    assert response.status_code == 302
    assert not User.objects.filter(username="ines").exists()


def test_a_teacher_sees_what_a_student_lacks_and_what_the_student_was_set(cast: Cast) -> None:
    parts = [cast.school_class.public_id, cast.student.public_id]
    url, client = reverse("student_page", args=parts), cast.client("teacher")
    page = client.get(url).content.decode()
    assert "Not enough answers yet: 0 of 10." in page
    assert "None begun yet." in page
    practise(cast.student, {"redox": 0.05}, 60, 1)
    mine = HomeworkSetFactory(author=cast.teacher, classes=[cast.school_class], title="One cell")
    theirs = HomeworkSetFactory(author=cast.outsider, classes=[cast.outsiders_class], title="Not hers")
    cast.outsiders_class.add_student(cast.student)
    for homework in (mine, theirs):
        start_homework(cast.student, homework, timezone.now())
    page = client.get(url).content.decode()
    line = page[page.index('<th scope="row">Redox') :].partition("</tr>")[0]
    assert "<strong>weak</strong>" in line
    assert reverse("set_answers", args=[mine.public_id, cast.student.public_id]) in page
    assert "Not hers" not in page


def test_the_names_on_the_class_page_lead_to_the_students(cast: Cast) -> None:
    page = cast.client("teacher").get(reverse("class_page", args=[cast.school_class.public_id]))
    assert reverse("student_page", args=[cast.school_class.public_id, cast.student.public_id]) in (
        page.content.decode()
    )
