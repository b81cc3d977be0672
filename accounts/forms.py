"""The forms of the account pages."""

from __future__ import annotations

import zoneinfo
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from itertools import groupby
from operator import itemgetter
from typing import Any, cast

from django import forms
from django.conf import settings
from django.contrib.auth.forms import BaseUserCreationForm, UsernameField
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction
from django.http import HttpRequest
from django.utils.translation import gettext_lazy as _

from accounts.addresses import address_of
from accounts.models import SchoolClass, SignInThrottle, User
from accounts.sign_in import SignInError, TooManyTriesError, judge_sign_in

# Longer input is no password but a way to keep the server hashing.
LONGEST_PASSWORD = 200
# Groups that hold only former names and offsets (tz database, files "backward" and "etcetera").
FORMER = ("Brazil/", "Canada/", "Chile/", "Etc/", "Mexico/", "US/")


class SignInForm(forms.Form):
    username = UsernameField(label=_("Sign-in name"), max_length=40)
    password = forms.CharField(
        label=_("Password"),
        max_length=LONGEST_PASSWORD,
        strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "current-password"}),
    )

    def __init__(self, request: HttpRequest, at: datetime, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.request = request
        self.at = at
        self.user: User | None = None
        self.must_wait = False

    def clean(self) -> None:
        super().clean()
        if self.errors:
            return
        given = self.cleaned_data
        try:
            self.user = judge_sign_in(self.request, given["username"], given["password"], at=self.at)
        except SignInError as refusal:
            self.must_wait = isinstance(refusal, TooManyTriesError)
            raise ValidationError(str(refusal)) from refusal


class JoinForm(forms.Form):
    """The word that lets a student into a class."""

    join_word = forms.CharField(
        label=_("Join word"),
        max_length=20,
        help_text=_("Your teacher has it. Capital or small letters and spaces make no difference."),
        widget=forms.TextInput(
            attrs={"autocomplete": "off", "autocapitalize": "characters", "spellcheck": "false"}
        ),
    )

    def __init__(self, request: HttpRequest, at: datetime, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.address = address_of(request)
        self.at = at

    def clean_join_word(self) -> SchoolClass:
        """The class itself. Wrong words count for the address, as wrong passwords do."""
        wait = SignInThrottle.objects.address_wait(self.address, self.at).total_seconds()
        if wait > 0:
            raise ValidationError(str(TooManyTriesError(wait)))
        found = SchoolClass.objects.with_join_word(self.cleaned_data["join_word"]).first()
        if found is None:
            SignInThrottle.objects.failed(self.address, self.at)
            raise ValidationError(_("No open class has this word. Look at it again, or ask your teacher."))
        return found


class NewAccountForm(BaseUserCreationForm):  # type: ignore[type-arg]  # not generic at run time
    """One's own account, made on the way in."""

    class Meta:
        model = User
        fields = ("display_name", "username")
        field_classes = {"username": UsernameField}
        labels = {"display_name": _("Your name in class"), "username": _("Sign-in name")}
        help_texts = {
            "display_name": _("Others in your classes see it; a first name or nickname will do."),
            "username": _("Choose one: letters, digits, dots and hyphens. No e-mail address is needed."),
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        # It is not the first field of the page, so the cursor does not belong here.
        self.fields["username"].widget.attrs.pop("autofocus", None)

    @contextmanager
    def taken_meanwhile(self) -> Iterator[None]:
        """Turns the clash with a form sent at the same moment into a message at its field."""
        try:
            with transaction.atomic():
                yield
        except IntegrityError:
            self.add_error("username", User._meta.get_field("username").error_messages["unique"])


class InviteForm(forms.Form):
    may_invite = forms.BooleanField(label=_("The new teacher may invite others, too"), required=False)


class ProfileForm(forms.ModelForm):  # type: ignore[type-arg]  # not generic at run time
    language = forms.ChoiceField(label=_("Language"), required=False)
    time_zone = forms.ChoiceField(label=_("Time zone"), required=False)

    class Meta:
        model = User
        fields = ("display_name", "language", "time_zone")
        labels = {"display_name": _("Your name in class")}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        languages = [("", _("as the browser has it")), *settings.LANGUAGES]
        cast(forms.ChoiceField, self.fields["language"]).choices = languages
        choices = [("", _("as the site has it")), *zones_by_region(self.instance.time_zone)]
        cast(forms.ChoiceField, self.fields["time_zone"]).choices = choices


def zones_by_region(kept: str = "") -> list[tuple[str, list[tuple[str, str]]]]:
    """Every time zone by its place under its part of the world; a former name only if it is `kept`."""
    names = zoneinfo.available_timezones()
    zones = sorted(name for name in names if name == kept or ("/" in name and not name.startswith(FORMER)))
    parted = [(zone, *zone.partition("/")[::2]) for zone in zones]
    return [
        (region, [(zone, (place or region).replace("_", " ")) for zone, _region, place in places])
        for region, places in groupby(parted, key=itemgetter(1))
    ]
