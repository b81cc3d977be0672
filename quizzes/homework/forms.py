"""The form that makes a homework set."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any, cast

from django import forms
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from accounts.models import SchoolClass, User
from problems.cell.setup import Setup
from problems.generators.setups import OFFERED
from problems.registry import SKILLS
from quizzes.models import HomeworkSet
from quizzes.runs import askable
from quizzes.steering import seed_of
from quizzes.topics import topic_title


def skill_choices() -> list[tuple[str, list[tuple[str, str]]]]:
    """Skills under their topics."""
    grouped: dict[str, list[tuple[str, str]]] = {}
    for skill in SKILLS.values():
        grouped.setdefault(topic_title(skill.topic), []).append((skill.name, skill.title))
    return list(grouped.items())


class HomeworkForm(forms.ModelForm):  # type: ignore[type-arg]  # not generic at run time
    skills = forms.MultipleChoiceField(
        label=gettext_lazy("Steps to practise"), widget=forms.CheckboxSelectMultiple
    )
    setup_name = forms.ChoiceField(label=gettext_lazy("Setup"), choices=[(name, name) for name in OFFERED])

    class Meta:
        model = HomeworkSet
        fields = [
            "title", "classes", "skills", "setup_name", "level", "number", "mode", "attempts",
            "hints_allowed", "opens_at", "due_at", "late",
        ]  # fmt: skip
        labels = {
            "number": gettext_lazy("Number of questions"),
            "mode": gettext_lazy("Questions"),
            "attempts": gettext_lazy("Tries for each question"),
            "hints_allowed": gettext_lazy("Hints may be seen"),
            "opens_at": gettext_lazy("Opens"),
            "due_at": gettext_lazy("Due"),
            "late": gettext_lazy("After that"),
        }
        widgets = {
            "classes": forms.CheckboxSelectMultiple,
            "opens_at": forms.DateTimeInput({"type": "datetime-local"}, format="%Y-%m-%dT%H:%M"),
            "due_at": forms.DateTimeInput({"type": "datetime-local"}, format="%Y-%m-%dT%H:%M"),
        }

    def __init__(self, teacher: User, at: datetime, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.at = at
        self.instance.author = teacher
        cast(forms.MultipleChoiceField, self.fields["skills"]).choices = skill_choices()
        classes = cast("forms.ModelMultipleChoiceField[SchoolClass]", self.fields["classes"])
        classes.queryset = SchoolClass.objects.taught_by(teacher).current()

    def clean_number(self) -> int:
        return self._between("number", 1, 40)

    def clean_attempts(self) -> int:
        return self._between("attempts", 1, 10)

    def _between(self, name: str, low: int, high: int) -> int:
        value: int = self.cleaned_data[name]
        if not low <= value <= high:
            raise forms.ValidationError(
                _("Give a number from %(low)d to %(high)d."), params={"low": low, "high": high}
            )
        return value

    def clean(self) -> dict[str, Any]:
        data: dict[str, Any] = super().clean() or {}
        opens, due = data.get("opens_at"), data.get("due_at")
        if opens and due and due <= opens:
            self.add_error("due_at", _("It has to be due after it opens."))
        if data.get("skills") and data.get("setup_name"):
            self._check_askable(data["skills"], data["setup_name"])
        return data

    def _check_askable(self, skills: list[str], setup_name: str) -> None:
        possible = askable(OFFERED[setup_name])
        missing = [SKILLS[name].title for name in skills if name not in possible]
        if missing:
            self.add_error(
                "skills",
                _("On this setup these cannot be asked: %(titles)s.") % {"titles": ", ".join(missing)},
            )

    def save(self, commit: bool = True) -> HomeworkSet:
        self.instance.skills = self.cleaned_data["skills"]
        self.instance.setup_json = OFFERED[self.cleaned_data["setup_name"]].as_json()
        self.instance.made_at = self.at
        self.instance.seed = seed_of("homework", self.instance.public_id)
        return cast(HomeworkSet, super().save(commit))


def steps_on(setup: Setup, wanted: str, level: str) -> list[str]:
    """The steps of a topic, or the one step of that name, that can be asked on a setup at a level."""
    skills = [SKILLS[name] for name in askable(setup)]
    return [
        skill.name
        for skill in skills
        if skill.name == wanted or (skill.topic == wanted and level in skill.levels)
    ]


def first_values(school_class: SchoolClass, wanted: str, at: datetime) -> dict[str, Any]:
    """What the form proposes for a topic or one step (`wanted`, by name): this class, and the cell on
    which most of it can be asked."""
    now = timezone.localtime(at).replace(second=0, microsecond=0)
    steps = {name: steps_on(setup, wanted, school_class.level) for name, setup in OFFERED.items()}
    setup_name = max(steps, key=lambda name: len(steps[name]))
    return {
        "title": SKILLS[wanted].title if wanted in SKILLS else "",
        "classes": [school_class.pk],
        "skills": steps[setup_name],
        "setup_name": setup_name,
        "level": school_class.level,
        "opens_at": now,
        "due_at": (now + timedelta(days=7)).replace(hour=20, minute=0),
    }
