"""What is sent all at once is counted one after the other, on either database."""

from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime, timedelta
from threading import Barrier

import pytest
from django.db import connection
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from accounts.models import Invitation, SignInThrottle, User
from accounts.models.throttle import FREE_TRIES
from tests.factories import SchoolClassFactory

NOON = datetime(2026, 3, 2, 12, 0, tzinfo=UTC)


def claim(_: int) -> float:
    try:
        return SignInThrottle.objects.claim("ines", "192.0.2.7", NOON)
    finally:
        connection.close()


def fail(_: int) -> None:
    try:
        SignInThrottle.objects.failed("192.0.2.7", NOON)
    finally:
        connection.close()


@pytest.mark.django_db(transaction=True)
def test_guesses_sent_together_do_not_slip_through_together() -> None:
    with ThreadPoolExecutor(8) as pool:
        waits = list(pool.map(claim, range(24)))
    # The free tries, and the one after which waiting begins.
    assert waits.count(0) == FREE_TRIES + 1


@pytest.mark.django_db(transaction=True)
def test_no_failure_of_an_address_is_lost() -> None:
    with ThreadPoolExecutor(8) as pool:
        list(pool.map(fail, range(24)))
    assert SignInThrottle.objects.get().tries == 24


def send_at_once(url: str, forms: list[dict[str, str]]) -> list[int]:
    """The statuses of these forms, all sent in the same moment."""
    together = Barrier(len(forms))

    def send(form: dict[str, str]) -> int:
        try:
            together.wait()
            return Client().post(url, form).status_code
        finally:
            connection.close()

    with ThreadPoolExecutor(len(forms)) as pool:
        return sorted(pool.map(send, forms))


def new_account(username: str, **more: str) -> dict[str, str]:
    password = "pale blue precipitate"
    return {
        "username": username,
        "display_name": "Lena",
        "password1": password,
        "password2": password,
        **more,
    }


@pytest.mark.django_db(transaction=True)
def test_one_name_chosen_twice_at_once_makes_one_student() -> None:
    word = SchoolClassFactory().join_word
    statuses = send_at_once(reverse("accounts:join"), [new_account("lena", join_word=word)] * 4)
    assert statuses == [200, 200, 200, 302]
    assert User.objects.get().memberships.count() == 1


@pytest.mark.django_db(transaction=True)
def test_an_invitation_opened_twice_at_once_makes_one_teacher() -> None:
    secret = Invitation.objects.issue(timezone.now(), timedelta(days=1))
    url = reverse("accounts:invitation", args=[secret])
    statuses = send_at_once(url, [new_account(f"teacher{number}") for number in range(4)])
    assert statuses == [302, 404, 404, 404]
    assert User.objects.count() == 1
