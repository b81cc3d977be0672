"""What is taken into a lesson: a choice of steps and a cell, all in the address, so that it can be linked."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import cast

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from accounts.models import SchoolClass
from problems.cell.evidence import evidence
from problems.generators.setups import OFFERED
from problems.question import LEVELS, Level
from problems.registry import SKILLS
from quizzes.courses import course_of_class
from quizzes.homework.forms import skill_choices
from quizzes.lesson.versions import LETTERS, Choice
from quizzes.practice.facts import setup_choices, setup_title
from quizzes.runs import askable

MOST = 20
"""Questions on one sheet."""
NUMBERS = 10**9
"""Numbers of questions and sheets lie below this."""


def shown_setups() -> list[str]:
    """The setups that may be built in front of a class, those for the open bench first."""
    uses = {name: evidence(setup).use for name, setup in OFFERED.items()}
    return [name for use in ("bench", "hood") for name in OFFERED if uses[name] == use]


class ClassForm(forms.Form):
    """A form that offers what its class has been taught."""

    use_required_attribute = False

    def __init__(self, school_class: SchoolClass, *args: object, **kwargs: object) -> None:
        super().__init__(*args, **kwargs)  # type: ignore[arg-type]  # as the form itself takes them
        self.label_suffix = ""
        self.school_class = school_class
        self.course = course_of_class(school_class)

    def level_of(self, name: str) -> Level:
        """The level of a question of this step: the class's, or the step's own."""
        levels = SKILLS[name].levels
        wanted = next(level for level in LEVELS if level == self.school_class.level)
        return wanted if wanted in levels else levels[0]


class PaperForm(ClassForm):
    """The steps, the cell and the number of questions of a worksheet."""

    title = forms.CharField(label=gettext_lazy("Heading"), max_length=80, required=False)
    setup = forms.ChoiceField(label=gettext_lazy("Setup"), choices=setup_choices)
    skill = forms.MultipleChoiceField(
        label=gettext_lazy("Steps"), widget=forms.CheckboxSelectMultiple, choices=()
    )
    number = forms.IntegerField(
        label=gettext_lazy("Number of questions"), min_value=1, max_value=MOST, initial=6
    )
    numbers = forms.IntegerField(min_value=0, max_value=NUMBERS, widget=forms.HiddenInput)

    def __init__(self, school_class: SchoolClass, *args: object, **kwargs: object) -> None:
        super().__init__(school_class, *args, **kwargs)
        cast(forms.MultipleChoiceField, self.fields["skill"]).choices = skill_choices(self.course.skills)

    def clean(self) -> dict[str, object]:
        data = super().clean() or {}
        if {"skill", "setup"} <= data.keys() and not {*askable(OFFERED[data["setup"]])} & {*data["skill"]}:
            self.add_error("skill", _("None of these steps can be asked on this setup."))
        return data

    @property
    def choice(self) -> Choice:
        data = self.cleaned_data
        level = next(level for level in LEVELS if level == self.school_class.level)
        title = data["title"] or _("Questions on one cell")
        return Choice(title, OFFERED[data["setup"]], data["skill"], level, data["number"], data["numbers"])


class WallForm(ClassForm):
    """One step, and the number that its question is made from."""

    skill = forms.ChoiceField(label=gettext_lazy("Step"), choices=())
    numbers = forms.IntegerField(min_value=0, max_value=NUMBERS, required=False)
    code = forms.CharField(max_length=60, required=False)
    show = forms.ChoiceField(choices=[("", ""), ("answer", ""), ("solution", "")], required=False)
    ground = forms.ChoiceField(choices=[("", ""), ("turned", "")], required=False)

    def __init__(self, school_class: SchoolClass, *args: object, **kwargs: object) -> None:
        super().__init__(school_class, *args, **kwargs)
        cast(forms.ChoiceField, self.fields["skill"]).choices = skill_choices(self.course.skills)


class CellForm(ClassForm):
    """The cell of a demonstration, and one to compare it with."""

    cell = forms.ChoiceField(label=gettext_lazy("Setup"), choices=())
    other = forms.ChoiceField(label=gettext_lazy("Beside it"), choices=(), required=False)

    def __init__(self, school_class: SchoolClass, *args: object, **kwargs: object) -> None:
        super().__init__(school_class, *args, **kwargs)
        offered = [(name, setup_title(OFFERED[name])) for name in shown_setups()]
        cast(forms.ChoiceField, self.fields["cell"]).choices = offered
        cast(forms.ChoiceField, self.fields["other"]).choices = [("", _("nothing")), *offered]


def letter_of(text: str) -> str:
    """The letter of a version; A for what is no letter."""
    return text if text in LETTERS else LETTERS[0]


def best_setup(weak: Sequence[str], names: Collection[str]) -> str:
    """The setup on which most of the weak steps can be asked; of equals the first."""
    return max(names, key=lambda name: len({*askable(OFFERED[name])} & {*weak}))
