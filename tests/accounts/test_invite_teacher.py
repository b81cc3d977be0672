"""A teacher's account comes by invitation."""

import uuid
from datetime import timedelta
from io import StringIO
from urllib.parse import urlsplit

import pytest
from django.core.management import CommandError, call_command
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from accounts.models import Invitation, User
from tests.conftest import Cast

GOOD = "pale blue precipitate"
NEW = {"username": "mara", "display_name": "Ms Mara", "password1": GOOD, "password2": GOOD}


def invite(**options: object) -> str:
    said = StringIO()
    call_command("invite", stdout=said, **options)
    return said.getvalue().strip()


@pytest.fixture
def link(db: None) -> str:
    return urlsplit(invite()).path


def test_an_invitation_makes_one_teacher(link: str, anonymous: Client) -> None:
    assert anonymous.get(link).status_code == 200
    assert anonymous.post(link, NEW).status_code == 302
    mara = User.objects.get(username="mara")
    assert mara.is_teacher
    assert not mara.is_staff
    assert anonymous.session["_auth_user_id"] == str(mara.pk)


def test_it_works_once(link: str) -> None:
    Client().post(link, NEW)
    assert Client().get(link).status_code == 404
    assert Client().post(link, NEW | {"username": "second"}).status_code == 404
    assert User.objects.count() == 1


def test_a_form_with_a_fault_does_not_use_it_up(link: str, anonymous: Client) -> None:
    assert anonymous.post(link, NEW | {"password2": "other"}).status_code == 200
    assert anonymous.post(link, NEW).status_code == 302


def test_it_ends(db: None, anonymous: Client) -> None:
    secret = Invitation.objects.issue(timezone.now() - timedelta(days=8), timedelta(days=7))
    assert anonymous.get(reverse("accounts:invitation", args=[secret])).status_code == 404


def test_a_guess_opens_nothing(link: str, anonymous: Client) -> None:
    assert anonymous.get(reverse("accounts:invitation", args=[uuid.uuid4()])).status_code == 404


def test_one_who_is_signed_in_stays_who_they_are(cast: Cast, link: str) -> None:
    assert cast.client("student").post(link, NEW).status_code == 302
    cast.student.refresh_from_db()
    assert not cast.student.is_teacher
    assert not User.objects.filter(username="mara").exists()


def test_the_table_does_not_hold_the_secret(link: str) -> None:
    secret = link.rstrip("/").rsplit("/", 1)[-1]
    assert secret not in Invitation.objects.get().digest


def test_the_address_of_the_site_goes_in_front(db: None) -> None:
    assert invite(site="https://school.example/").startswith("https://school.example/account/invitation/")


@pytest.mark.parametrize("days", [0, 91, -1])
def test_a_length_that_makes_no_sense_is_refused(db: None, days: int) -> None:
    with pytest.raises(CommandError, match=f"--days is {days}; give 1 to 90"):
        invite(days=days)
    assert not Invitation.objects.exists()
