"""All that one student answered in a set, with what a teacher may decide about it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from problems.question import Option, Part
from quizzes.models import Answer, HomeworkSet, Question, Ruling
from quizzes.rulings import (
    LikeCounts,
    Reach,
    can_be_ruled,
    can_reach_later,
    like_counts,
    others_alike,
    to_be_ruled,
)

if TYPE_CHECKING:
    from accounts.models import User


REACHES: tuple[Reach, ...] = ("this", "alike", "later")


class RulingForm(forms.Form):
    """A decision with a note to the student, and how far it reaches."""

    decision = forms.ChoiceField(label=gettext_lazy("It counts as"), choices=Ruling.Decision.choices)
    note = forms.CharField(label=gettext_lazy("Note (may stay empty)"), max_length=300, required=False)
    reach = forms.ChoiceField(choices=[(name, name) for name in REACHES], required=False)

    @property
    def how_far(self) -> Reach:
        given = self.cleaned_data.get("reach")
        return next((reach for reach in REACHES if reach == given), "this")


def told_decision(more: int, reach: Reach) -> str:
    """What a decision did, with the number of other answers it reached."""
    if not more and reach != "later":
        return _("Your decision counts, for the mark and for the strength.")
    sentence = ngettext(
        "Your decision counts for this answer and %(more)d more that is alike.",
        "Your decision counts for this answer and %(more)d more that are alike.",
        more,
    )
    if reach == "later":
        sentence = ngettext(
            "Your decision counts for this answer, %(more)d more that is alike, and later ones until you"
            " withdraw it.",
            "Your decision counts for this answer, %(more)d more that are alike, and later ones until you"
            " withdraw it.",
            more,
        )
    return sentence % {"more": more}


@dataclass(frozen=True, slots=True)
class GivenAnswer:
    """One answer as it stands: options chosen, the ruling that holds, whether one may be given, the number
    of like answers that it could be given to as well, and whether to later ones too."""

    answer: Answer
    chosen: Sequence[Option]
    ruling: Ruling | None
    can_be_ruled: bool
    alike: int
    reaches_later: bool


@dataclass(frozen=True, slots=True)
class GivenPart:
    part: Part
    answers: Sequence[GivenAnswer]


@dataclass(frozen=True, slots=True)
class GivenQuestion:
    question: Question
    parts: Sequence[GivenPart]


def given_answers(homework: HomeworkSet, student: User, teacher: User) -> Sequence[GivenQuestion]:
    """The questions of a student's run of a set in their order, each part with its answers."""
    likes = like_counts(to_be_ruled(teacher).filter(question__run__homework_set=homework))
    questions = Question.objects.filter(run__homework_set=homework, run__student=student)
    rows = (
        questions.select_related("run__homework_set")
        .order_by("position")
        .prefetch_related("answers__rulings__by")
    )
    return [_question(question, likes) for question in rows]


def _question(question: Question, likes: LikeCounts) -> GivenQuestion:
    answers = sorted(question.answers.all(), key=lambda each: each.number)
    for answer in answers:
        answer.question = question
    return GivenQuestion(
        question,
        [
            GivenPart(part, [given_answer(each, part, likes) for each in answers if each.part == index])
            for index, part in enumerate(question.snapshot.parts)
        ],
    )


def given_answer(answer: Answer, part: Part, likes: LikeCounts) -> GivenAnswer:
    """An answer whose question and rulings are loaded."""
    rulings = sorted(answer.rulings.all(), key=lambda ruling: ruling.pk)
    last = rulings[-1] if rulings else None
    standing = last if last and last.decision != Ruling.Decision.WITHDRAWN else None
    keys = answer.typed.split()
    chosen = [option for option in part.options if option.key in keys]
    others = others_alike(answer, likes)
    return GivenAnswer(answer, chosen, standing, can_be_ruled(answer), others, can_reach_later(answer))
