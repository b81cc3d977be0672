"""Tries sent all at once are counted one after the other, on either database."""

from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime

import pytest
from django.db import connection

from accounts.models import SignInThrottle
from accounts.models.throttle import FREE_TRIES

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
