"""The forms of a class: what it is, and who else teaches it."""

from __future__ import annotations

import zoneinfo
from typing import Any, cast

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from accounts.models import SchoolClass, User


def zone_choices() -> list[tuple[str, str]]:
    places = sorted(zone for zone in zoneinfo.available_timezones() if "/" in zone)
    return [(zone, zone) for zone in ("UTC", *places)]


class ClassForm(forms.ModelForm):  # type: ignore[type-arg]  # not generic at run time
    time_zone = forms.ChoiceField(label=gettext_lazy("Time zone"))

    class Meta:
        model = SchoolClass
        fields = ["name", "level", "exam_date", "time_zone"]
        labels = {
            "name": gettext_lazy("Name"),
            "level": gettext_lazy("Level"),
            "exam_date": gettext_lazy("Date of the exam"),
        }
        help_texts = {
            "level": gettext_lazy("Second-year students are asked first-year steps too."),
            "exam_date": gettext_lazy("Practice is spread out until then. It may stay empty."),
        }
        widgets = {"exam_date": forms.DateInput({"type": "date"}, format="%Y-%m-%d")}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        cast(forms.ChoiceField, self.fields["time_zone"]).choices = zone_choices()


class CoTeacherForm(forms.Form):
    """Names a colleague who is to teach a class too."""

    username = forms.CharField(label=gettext_lazy("Sign-in name of the teacher"), max_length=40)

    def clean_username(self) -> User:
        """The colleague; the answer is the same for students and for names that nobody has."""
        name = User.normalize_username(self.cleaned_data["username"])
        found = User.objects.filter(username=name, is_teacher=True, is_active=True).first()
        if found is None:
            raise forms.ValidationError(_("No teacher has this sign-in name."))
        return found
