"""The pages of those who keep the site, and of a person's own data."""

import json
from unittest.mock import patch

import pytest
from django.db import OperationalError, connection
from django.test import Client, override_settings
from django.urls import reverse
from django.utils import timezone

from accounts.models import SignInThrottle, User
from quizzes.upkeep import health
from quizzes.upkeep.health import Health
from tests.conftest import Cast


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
