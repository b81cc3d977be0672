"""Judging a sign-in: throttle first, then the password."""

from datetime import datetime
from math import ceil

from django.contrib.auth import authenticate
from django.http import HttpRequest
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from accounts.addresses import address_of
from accounts.models import SignInThrottle, User


class SignInError(Exception):
    """The sign-in name and the password do not open an account; `str()` is a sentence."""

    def __str__(self) -> str:
        return _("This sign-in name and password do not belong together. Ask your teacher if you forgot one.")


class TooManyTriesError(SignInError):
    """The password was not looked at, right or wrong, because of earlier wrong ones."""

    def __init__(self, wait: float) -> None:
        self.wait = ceil(wait)
        super().__init__(wait)

    def __str__(self) -> str:
        sentence = ngettext(
            "Too many wrong tries. Wait {seconds} second, then try again.",
            "Too many wrong tries. Wait {seconds} seconds, then try again.",
            self.wait,
        )
        return sentence.format(seconds=self.wait)


def judge_sign_in(request: HttpRequest, username: str, password: str, *, at: datetime) -> User:
    """The user whose name and password these are, or SignInError."""
    account = User.normalize_username(username)
    address = address_of(request)
    wait = SignInThrottle.objects.claim(account, address, at)
    if wait:
        raise TooManyTriesError(wait)
    user = authenticate(request, username=account, password=password)
    if not isinstance(user, User):
        SignInThrottle.objects.failed(address, at)
        raise SignInError
    SignInThrottle.objects.forgive(account)
    return user
