"""Passwords that a teacher hands out: readable, never the same, and the waiting ends with them."""

import re
from datetime import timedelta

import pytest
from django.contrib.auth.password_validation import validate_password
from django.utils import timezone

from accounts.models import SignInThrottle
from accounts.passwords import CONSONANTS, DIGITS, VOWELS, give_new_password, readable_password
from tests.factories import PASSWORD, UserFactory


def test_a_password_reads_as_words_and_passes_the_rules_of_the_site() -> None:
    for _ in range(200):
        password = readable_password()
        assert re.fullmatch(r"([b-w][aeiou][b-w][aeiou]-){3}[2-9]{2}", password)
        validate_password(password)


def test_no_letter_is_taken_for_a_digit() -> None:
    """Common practice: no l, I, 1, O, 0 where a person copies from paper; `o` stands in words only."""
    assert not set(CONSONANTS) & set("lijqxyz")
    assert not set(DIGITS) & set("01")
    assert set(VOWELS) & set(CONSONANTS) == set()


def test_two_are_not_alike() -> None:
    assert len({readable_password() for _ in range(1000)}) == 1000


@pytest.mark.django_db
def test_the_new_one_opens_and_the_old_one_does_not() -> None:
    student = UserFactory(username="ines")
    password = give_new_password(student)
    student.refresh_from_db()
    assert student.check_password(password)
    assert not student.check_password(PASSWORD)


@pytest.mark.django_db
def test_wrong_tries_before_are_forgiven() -> None:
    student, now = UserFactory(username="ines"), timezone.now()
    for second in range(6):
        SignInThrottle.objects.claim("ines", "192.0.2.7", now + timedelta(minutes=2 * second))
    assert SignInThrottle.objects.claim("ines", "192.0.2.7", now + timedelta(minutes=10, seconds=1)) > 0
    give_new_password(student)
    assert SignInThrottle.objects.claim("ines", "192.0.2.7", now + timedelta(minutes=10, seconds=1)) == 0
