"""Passwords that a teacher hands out on paper: made by chance, easy to read and to type."""

from __future__ import annotations

import secrets

from accounts.models import SignInThrottle, User

# Nothing that is taken for another letter or digit in print, and no q, x, y, z, which keyboards move about.
CONSONANTS = "bdfghkmnprstvw"
VOWELS = "aeiou"
DIGITS = "23456789"
WORDS, SYLLABLES = 3, 2


def readable_password() -> str:
    """Three made-up words and two digits, as in `kadu-nemi-tovo-47`: about 42 bits.

    Enough beside a throttle that lets an account try once a minute; a student may choose another.
    """
    words = ["".join(_syllable() for _ in range(SYLLABLES)) for _ in range(WORDS)]
    return "-".join([*words, secrets.choice(DIGITS) + secrets.choice(DIGITS)])


def give_new_password(student: User) -> str:
    """Replace a student's password and end the waiting after wrong ones; the new one is kept nowhere else.

    Every session of the student ends with the old password.
    """
    password = readable_password()
    student.set_password(password)
    student.save(update_fields=["password"])
    SignInThrottle.objects.forgive(student.username)
    return password


def _syllable() -> str:
    return secrets.choice(CONSONANTS) + secrets.choice(VOWELS)
