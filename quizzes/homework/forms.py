"""The form that makes a homework set."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from datetime import datetime, timedelta
from typing import Any, cast

from django import forms
from django.db.models import QuerySet
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from accounts.models import SchoolClass, User
from problems import words
from problems.cell.setup import Setup
from problems.generators.setups import OFFERED
from problems.question import TOPICS
from problems.registry import SKILLS
from quizzes.courses import course_of_class
from quizzes.models import HomeworkSet
from quizzes.practice.facts import setup_choices
from quizzes.runs import askable
from quizzes.steering import seed_of
from quizzes.templatetags.answers import skill_title
from quizzes.topics import topic_title


def skill_choices(offered: Collection[str]) -> list[tuple[str, list[tuple[str, str]]]]:
    """These skills under their topics."""
    grouped: dict[str, list[tuple[str, str]]] = {}
    for name, skill in SKILLS.items():
        if name in offered:
            grouped.setdefault(topic_title(skill.topic), []).append((name, skill_title(name)))
    return list(grouped.items())


def topic_choices() -> list[tuple[str, str]]:
    return [(topic, topic_title(topic)) for topic in TOPICS]


class HomeworkForm(forms.ModelForm):  # type: ignore[type-arg]  # not generic at run time
    topics = forms.MultipleChoiceField(
        label=gettext_lazy("Whole topics"),
        help_text=gettext_lazy("All steps of the topic that can be asked on the setup at the level."),
        required=False,
        widget=forms.CheckboxSelectMultiple,
        choices=topic_choices,
    )
    skills = forms.MultipleChoiceField(
        label=gettext_lazy("Steps to practise"),
        required=False,
        widget=forms.CheckboxSelectMultiple,
    )
    setup_name = forms.ChoiceField(label=gettext_lazy("Setup"), choices=setup_choices)

    class Meta:
        model = HomeworkSet
        fields = [
            "title", "classes", "topics", "skills", "setup_name", "level", "number", "mode", "attempts",
            "hints_allowed", "opens_at", "due_at", "late",
        ]  # fmt: skip
        labels = {
            "title": gettext_lazy("Title"),
            "classes": gettext_lazy("Classes"),
            "level": gettext_lazy("Level"),
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
        if self.instance.pk is None:
            self.instance.author = teacher
        classes = cast("forms.ModelMultipleChoiceField[SchoolClass]", self.fields["classes"])
        classes.queryset = SchoolClass.objects.taught_by(teacher).current()
        skills = cast(forms.MultipleChoiceField, self.fields["skills"])
        skills.choices = skill_choices({*_taught_in_any(classes.queryset), *self.instance.skills})

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
        if "skills" in data and "topics" in data and data.get("setup_name"):
            skills = data["skills"]
            self._check_askable(skills, data["setup_name"])
            self._check_taught(skills, data.get("classes", ()))
            data["skills"] = self._with_topics(data, skills)
        return data

    def _with_topics(self, data: dict[str, Any], ticked: list[str]) -> list[str]:
        """The steps ticked, and those of the topics ticked, in the order of the skills."""
        setup, level = OFFERED[data["setup_name"]], data.get("level", "")
        not_taught = {name for each in data.get("classes", ()) for name in each.not_taught}
        of_topics = {step for topic in data["topics"] for step in steps_on(setup, topic, level)}
        wanted = {*ticked, *(of_topics - not_taught)}
        if not wanted and "skills" not in self.errors:
            self.add_error("skills", _("Choose a topic, or one step at least, that can be asked there."))
        return [name for name in SKILLS if name in wanted]

    def _check_askable(self, skills: list[str], setup_name: str) -> None:
        possible = askable(OFFERED[setup_name])
        missing = [words._(SKILLS[name].title) for name in skills if name not in possible]
        if missing:
            self.add_error(
                "skills",
                _("On this setup these cannot be asked: %(titles)s.") % {"titles": ", ".join(missing)},
            )

    def _check_taught(self, skills: list[str], classes: Iterable[SchoolClass]) -> None:
        """Each class is asked what it has been taught."""
        for school_class in classes:
            early = [skill_title(name) for name in skills if name in school_class.not_taught]
            if early:
                values = {"name": school_class.name, "titles": ", ".join(early)}
                self.add_error("skills", _("Not taught in %(name)s so far: %(titles)s.") % values)

    def save(self, commit: bool = True) -> HomeworkSet:
        """Classes of the set that this teacher does not teach stay."""
        others = list(self.instance.classes.exclude(pk__in=self._classes())) if self.instance.pk else []
        self.instance.skills = self.cleaned_data["skills"]
        self.instance.setup_json = OFFERED[self.cleaned_data["setup_name"]].as_json()
        self.instance.made_at = self.at
        self.instance.seed = seed_of("homework", self.instance.public_id)
        homework = cast(HomeworkSet, super().save(commit))
        homework.classes.add(*others)
        return homework

    def _classes(self) -> QuerySet[SchoolClass]:
        return cast("forms.ModelMultipleChoiceField[SchoolClass]", self.fields["classes"]).queryset or (
            SchoolClass.objects.none()
        )


def _taught_in_any(classes: Iterable[SchoolClass]) -> Collection[str]:
    """The steps that at least one of these classes has been taught; all where there is no class."""
    left_out = [set(each.not_taught) for each in classes]
    return SKILLS.keys() - (set.intersection(*left_out) if left_out else set())


def steps_on(setup: Setup, wanted: str, level: str) -> list[str]:
    """The steps of a topic, or the one step of that name, that can be asked on a setup at a level."""
    skills = [SKILLS[name] for name in askable(setup)]
    return [
        skill.name
        for skill in skills
        if skill.name == wanted or (skill.topic == wanted and level in skill.levels)
    ]


def values_of(homework: HomeworkSet, at: datetime | None = None) -> dict[str, Any]:
    """What a form shows of a set that there is: to change it, or (`at`) to copy it for as many days."""
    names = [name for name, setup in OFFERED.items() if setup.as_json() == homework.setup_json]
    kept = ("title", "skills", "level", "number", "mode", "attempts", "hints_allowed", "late")
    values = {name: getattr(homework, name) for name in kept}
    start = homework.opens_at if at is None else timezone.localtime(at).replace(second=0, microsecond=0)
    due = start + (homework.due_at - homework.opens_at)
    return {**values, "setup_name": names[0] if names else "", "opens_at": start, "due_at": due}


class ExtensionForm(forms.Form):
    """More time, for everyone or for one student."""

    student = forms.ModelChoiceField(
        label=gettext_lazy("For"),
        queryset=User.objects.none(),
        to_field_name="public_id",
        required=False,
    )
    due_at = forms.DateTimeField(
        label=gettext_lazy("New due time"),
        widget=forms.DateTimeInput({"type": "datetime-local"}, format="%Y-%m-%dT%H:%M"),
    )

    def __init__(self, homework: HomeworkSet, students: QuerySet[User], *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.homework = homework
        field = cast("forms.ModelChoiceField[User]", self.fields["student"])
        field.queryset = students
        number = students.count()
        field.empty_label = ngettext("all %(number)d student", "all %(number)d students", number) % {
            "number": number
        }

    def clean_due_at(self) -> datetime:
        due: datetime = self.cleaned_data["due_at"]
        if due <= self.homework.due_at:
            raise forms.ValidationError(_("It has to be later than the set is due now."))
        return due


def first_values(school_class: SchoolClass, wanted: str, at: datetime) -> dict[str, Any]:
    """What the form proposes for a topic or one step (`wanted`, by name): this class, and the cell on
    which most of it can be asked."""
    now = timezone.localtime(at).replace(second=0, microsecond=0)
    course = course_of_class(school_class)
    steps = {
        name: [step for step in steps_on(setup, wanted, school_class.level) if course.teaches(step)]
        for name, setup in OFFERED.items()
    }
    setup_name = max(steps, key=lambda name: len(steps[name]))
    return {
        "title": topic_title(wanted) if wanted in TOPICS else skill_title(wanted) if wanted in SKILLS else "",
        "classes": [school_class.pk],
        "skills": steps[setup_name],
        "setup_name": setup_name,
        "level": school_class.level,
        "opens_at": now,
        "due_at": (now + timedelta(days=7)).replace(hour=20, minute=0),
    }
