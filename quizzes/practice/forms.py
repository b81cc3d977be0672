"""What a student sends: an answer to a part of a question, or the setup for a run."""

from __future__ import annotations

import uuid

from django import forms
from django.http import QueryDict
from django.utils.translation import gettext_lazy

from problems.cell.setup import Setup
from problems.generators.setups import OFFERED
from quizzes.models import Question
from quizzes.practice.facts import setup_choices


class AnswerForm:
    """The typed text or chosen options for one part, with the token its page made.

    `typed` is the text, or the list of option keys of a choice.
    """

    def __init__(self, question: Question, data: QueryDict, only_reading: bool = False) -> None:
        self._parts = question.snapshot.parts
        self._only_reading = only_reading
        self.part = _whole(data.get("part", "0"))
        self.options = data.getlist("option")
        self.text = data.get("answer", "")
        self._token = data.get("token", "")

    def is_valid(self) -> bool:
        return 0 <= self.part < len(self._parts) and (self._only_reading or _uuid(self._token) is not None)

    @property
    def token(self) -> uuid.UUID:
        return uuid.UUID(self._token)

    @property
    def typed(self) -> str | list[str]:
        return self.options if self._parts[self.part].options else self.text


def _whole(text: str) -> int:
    return int(text) if text.isascii() and text.isdigit() and len(text) < 4 else -1


def _uuid(text: str) -> uuid.UUID | None:
    try:
        return uuid.UUID(text)
    except ValueError:
        return None


class SetupForm(forms.Form):
    """Which setup to run on; left empty, one is proposed that reaches what is weak."""

    setup_name = forms.ChoiceField(
        label=gettext_lazy("Which cell?"),
        help_text=gettext_lazy("All questions of a run are about this one cell."),
        required=False,
        choices=lambda: [("", gettext_lazy("one for what I am weak at")), *setup_choices()],
    )

    def setup(self) -> Setup | None:
        name = self.cleaned_data["setup_name"]
        return OFFERED[name] if name else None
