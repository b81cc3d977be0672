"""Signing in and out."""

from datetime import UTC, datetime, timedelta

import pytest
from django.test import Client
from django.urls import reverse
from django.utils.encoding import iri_to_uri

from accounts.models import SignInThrottle
from accounts.models.throttle import ADDRESS_PERIOD, ADDRESS_TRIES, KEPT, digest, wait_after
from tests.conftest import Cast
from tests.factories import PASSWORD

SIGN_IN = reverse("accounts:sign_in")
NOON = datetime(2026, 3, 2, 12, 0, tzinfo=UTC)


def sign_in(client: Client, username: str, password: str, **extra: str):
    return client.post(SIGN_IN, {"username": username, "password": password, **extra})


def test_a_student_signs_in_with_name_and_password(cast: Cast, anonymous: Client) -> None:
    response = sign_in(anonymous, "ines", PASSWORD)
    assert response.status_code == 302
    assert response["Location"] == "/"
    assert anonymous.session["_auth_user_id"] == str(cast.student.pk)


def test_capitals_and_spaces_around_the_name_do_not_matter(cast: Cast, anonymous: Client) -> None:
    assert sign_in(anonymous, " Ines ", PASSWORD).status_code == 302


def test_a_wrong_password_and_an_unknown_name_get_the_same_words(cast: Cast, anonymous: Client) -> None:
    wrong = sign_in(anonymous, "ines", "not her password")
    unknown = sign_in(anonymous, "nobody-here", PASSWORD)
    for response in (wrong, unknown):
        assert response.status_code == 200
        assert response.context["form"].non_field_errors() == [
            "This sign-in name and password do not belong together. Ask your teacher if you forgot one."
        ]
        assert "_auth_user_id" not in anonymous.session


def test_a_user_who_was_switched_off_does_not_get_in(cast: Cast, anonymous: Client) -> None:
    cast.student.is_active = False
    cast.student.save()
    assert sign_in(anonymous, "ines", PASSWORD).status_code == 200


def test_the_session_gets_a_new_key_and_sign_out_ends_it(cast: Cast, anonymous: Client) -> None:
    session = anonymous.session
    session["before"] = 1
    session.save()
    before = session.session_key
    anonymous.cookies["session"] = before
    sign_in(anonymous, "ines", PASSWORD)
    during = anonymous.session.session_key
    assert during not in {None, before}
    anonymous.post(reverse("accounts:sign_out"))
    anonymous.cookies["session"] = during
    assert anonymous.get(reverse("accounts:profile")).status_code == 302


def test_sign_out_is_no_link(cast: Cast) -> None:
    assert cast.client("student").get(reverse("accounts:sign_out")).status_code == 405


def test_the_reader_comes_back_to_the_page_that_was_asked_for(cast: Cast, anonymous: Client) -> None:
    asked = anonymous.get(reverse("accounts:profile"))
    assert asked["Location"] == f"{SIGN_IN}?next=/account/"
    assert sign_in(anonymous, "ines", PASSWORD, next="/account/")["Location"] == "/account/"


@pytest.mark.parametrize("elsewhere", ["https://evil.example/", "//evil.example", "javascript:alert(1)"])
def test_never_to_another_site(cast: Cast, anonymous: Client, elsewhere: str) -> None:
    assert sign_in(anonymous, "ines", PASSWORD, next=elsewhere)["Location"] == "/"


@pytest.mark.parametrize("nowhere", ["runs", "½\x01", "a b", "home"])
def test_a_page_that_is_none_is_no_fault_of_ours(cast: Cast, anonymous: Client, nowhere: str) -> None:
    """It is an address like any other, never the name of a view."""
    for there in (
        sign_in(anonymous, "ines", PASSWORD, next=nowhere),
        cast.client("teacher").get(SIGN_IN, {"next": nowhere}),
    ):
        assert there.status_code == 302
        assert there["Location"] == iri_to_uri(nowhere)


@pytest.mark.parametrize("current", ["http://[", "http://elsewhere.example/runs/1/"])
def test_a_part_that_stands_nowhere_here_leads_to_the_sign_in(anonymous: Client, current: str) -> None:
    headers = {"HX-Request": "true", "HX-Current-URL": current}
    assert anonymous.get(reverse("accounts:profile"), headers=headers)["HX-Redirect"] == SIGN_IN


def test_a_part_of_a_page_leads_the_whole_page_to_the_sign_in(anonymous: Client) -> None:
    headers = {"HX-Request": "true", "HX-Current-URL": "http://testserver/runs/1/"}
    response = anonymous.get(reverse("accounts:profile"), headers=headers)
    assert response.status_code == 200
    assert response["HX-Redirect"] == f"{SIGN_IN}?next=%2Fruns%2F1%2F"


def test_without_a_csrf_token_nothing_is_taken(cast: Cast) -> None:
    client = Client(enforce_csrf_checks=True)
    response = sign_in(client, "ines", PASSWORD)
    assert response.status_code == 403
    assert "open too long" in response.content.decode()


def test_waits_grow_from_nothing_to_a_minute() -> None:
    waits = [wait_after(tries).total_seconds() for tries in range(1, 13)]
    assert waits == [0, 0, 0, 1, 2, 4, 8, 16, 32, 60, 60, 60]


def test_after_wrong_tries_even_the_right_password_waits(cast: Cast, anonymous: Client) -> None:
    for _ in range(4):
        assert sign_in(anonymous, "ines", "wrong").status_code == 200
    response = sign_in(anonymous, "ines", PASSWORD)
    assert response.status_code == 429
    assert response.context["form"].non_field_errors() == [
        "Too many wrong tries. Wait 1 second, then try again."
    ]


def test_classmates_at_the_same_address_get_in_meanwhile(cast: Cast, anonymous: Client) -> None:
    for _ in range(6):
        sign_in(anonymous, "ines", "wrong")
    assert sign_in(anonymous, "ines", PASSWORD).status_code == 429
    assert sign_in(Client(), "bruno", PASSWORD).status_code == 302


@pytest.mark.django_db
def test_the_wait_ends_and_a_right_password_wipes_it() -> None:
    throttle = SignInThrottle.objects
    for _ in range(4):
        assert throttle.claim("ines", "192.0.2.7", NOON) == 0
    assert throttle.claim("ines", "192.0.2.7", NOON) == 1
    later = NOON + timedelta(seconds=1)
    assert throttle.claim("ines", "192.0.2.7", later) == 0
    assert throttle.claim("ines", "192.0.2.7", later) == 2
    throttle.forgive("ines")
    assert throttle.claim("ines", "192.0.2.7", later) == 0


@pytest.mark.django_db
def test_tries_while_waiting_do_not_lengthen_the_wait() -> None:
    throttle = SignInThrottle.objects
    for _ in range(50):
        throttle.claim("ines", "192.0.2.7", NOON)
    assert throttle.claim("ines", "192.0.2.7", NOON + timedelta(seconds=1)) == 0


@pytest.mark.django_db
def test_one_address_may_fail_often_but_not_endlessly() -> None:
    throttle = SignInThrottle.objects
    for _ in range(ADDRESS_TRIES - 1):
        throttle.failed("192.0.2.7", NOON)
    assert throttle.claim("bruno", "192.0.2.7", NOON) == 0
    throttle.failed("192.0.2.7", NOON)
    assert throttle.claim("bruno", "192.0.2.7", NOON) == ADDRESS_PERIOD.total_seconds()
    assert throttle.claim("bruno", "192.0.2.8", NOON) == 0
    assert throttle.claim("bruno", "192.0.2.7", NOON + ADDRESS_PERIOD) == 0


@pytest.mark.django_db
def test_failures_are_counted_anew_after_their_period() -> None:
    throttle = SignInThrottle.objects
    for _ in range(ADDRESS_TRIES - 1):
        throttle.failed("192.0.2.7", NOON)
    later = NOON + ADDRESS_PERIOD
    throttle.failed("192.0.2.7", later)
    assert throttle.claim("bruno", "192.0.2.7", later) == 0


@pytest.mark.django_db
def test_rows_name_nobody_and_are_gone_after_a_day() -> None:
    throttle = SignInThrottle.objects
    throttle.claim("ines", "192.0.2.7", NOON)
    throttle.failed("192.0.2.7", NOON)
    for key in throttle.values_list("key", flat=True):
        assert len(key) == 64
        assert "ines" not in key
    throttle.claim("bruno", "192.0.2.8", NOON + KEPT + timedelta(seconds=1))
    assert throttle.count() == 1


def test_each_wrong_password_counts_for_the_address_too(cast: Cast, anonymous: Client) -> None:
    for name in ("ines", "bruno"):
        sign_in(anonymous, name, "wrong")
    sign_in(anonymous, "ines", PASSWORD)
    assert SignInThrottle.objects.get(key=digest("address", "127.0.0.1")).tries == 2


def test_the_throttle_forgets_a_student_who_signed_in(cast: Cast, anonymous: Client) -> None:
    sign_in(anonymous, "ines", "wrong")
    sign_in(anonymous, "ines", PASSWORD)
    assert not SignInThrottle.objects.filter(key=digest("account", "ines")).exists()
