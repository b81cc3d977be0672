"""All that one student answered in a set, with what a teacher may decide about it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from django import forms
from django.utils.translation import gettext_lazy as _

from problems.question import Option, Part
from quizzes.models import Answer, HomeworkSet, Question, Ruling
from quizzes.rulings import Likeness, can_be_ruled, like_counts, likeness

if TYPE_CHECKING:
    from accounts.models import User


class RulingForm(forms.Form):
    """A decision with a note to the student; `alike` extends it to other students' like answers."""

    decision = forms.ChoiceField(label=_("It counts as"), choices=Ruling.Decision.choices)
    note = forms.CharField(label=_("Note (may stay empty)"), max_length=300, required=False)
    alike = forms.BooleanField(required=False)


@dataclass(frozen=True, slots=True)
class GivenAnswer:
    """One answer as it stands: options chosen, the ruling that holds, whether one may be given, and the
    number of like answers that it could be given to as well."""

    answer: Answer
    chosen: Sequence[Option]
    ruling: Ruling | None
    can_be_ruled: bool
    alike: int


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
    likes = like_counts(homework, teacher)
    questions = Question.objects.filter(run__homework_set=homework, run__student=student)
    rows = questions.select_related("run").order_by("position").prefetch_related("answers__rulings__by")
    return [_question(question, likes) for question in rows]


def _question(question: Question, likes: Mapping[Likeness, int]) -> GivenQuestion:
    answers = sorted(question.answers.all(), key=lambda each: each.number)
    for answer in answers:
        answer.question = question
    return GivenQuestion(
        question,
        [
            GivenPart(part, [_answer(each, part, likes) for each in answers if each.part == index])
            for index, part in enumerate(question.snapshot.parts)
        ],
    )


def _answer(answer: Answer, part: Part, likes: Mapping[Likeness, int]) -> GivenAnswer:
    rulings = sorted(answer.rulings.all(), key=lambda ruling: ruling.pk)
    last = rulings[-1] if rulings else None
    standing = last if last and last.decision != Ruling.Decision.WITHDRAWN else None
    keys = answer.typed.split()
    chosen = [option for option in part.options if option.key in keys]
    others = max(likes.get(likeness(answer), 0) - 1, 0)
    return GivenAnswer(answer, chosen, standing, can_be_ruled(answer), others)
