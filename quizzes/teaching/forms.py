"""The forms of a class: what it is, and who else teaches it."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, cast

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from accounts.forms import zones_by_region
from accounts.models import SchoolClass, User
from problems.registry import SKILLS
from quizzes.courses import steps_of
from quizzes.templatetags.answers import skill_title
from quizzes.topics import topic_title


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
        zones = cast(forms.ChoiceField, self.fields["time_zone"])
        zones.choices = zones_by_region(self.instance.time_zone)


class InPlayForm(forms.ModelForm):  # type: ignore[type-arg]  # not generic at run time
    """What a class has been taught of the steps of its level, and how it writes things."""

    taught = forms.MultipleChoiceField(
        label=gettext_lazy("Steps taught so far"),
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": gettext_lazy("Leave at least one step in play.")},
    )

    class Meta:
        model = SchoolClass
        fields = ["taught", "hydrogen_ion", "asks_states", "volume_unit", "decimal_sign"]
        labels = {
            "hydrogen_ion": gettext_lazy("Hydrogen ion in water"),
            "asks_states": gettext_lazy("Ask for state symbols in equations"),
            "volume_unit": gettext_lazy("Volumes"),
            "decimal_sign": gettext_lazy("Decimal sign"),
        }
        widgets = {
            "hydrogen_ion": forms.RadioSelect,
            "volume_unit": forms.RadioSelect,
            "decimal_sign": forms.RadioSelect,
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.offered = steps_of(self.instance.level)
        field = cast(forms.MultipleChoiceField, self.fields["taught"])
        field.choices = by_topic(self.offered)
        not_taught = set(self.instance.not_taught)
        field.initial = [name for name in self.offered if name not in not_taught]

    def save(self, commit: bool = True) -> SchoolClass:
        """Steps of other levels keep what was said of them before."""
        taught, offered = set(self.cleaned_data["taught"]), set(self.offered)
        elsewhere = [name for name in self.instance.not_taught if name not in offered]
        self.instance.not_taught = [*elsewhere, *(name for name in self.offered if name not in taught)]
        return cast(SchoolClass, super().save(commit))


def by_topic(names: Iterable[str]) -> list[tuple[str, list[tuple[str, str]]]]:
    """Steps as choices under their topics."""
    grouped: dict[str, list[tuple[str, str]]] = {}
    for name in names:
        grouped.setdefault(topic_title(SKILLS[name].topic), []).append((name, skill_title(name)))
    return list(grouped.items())


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
