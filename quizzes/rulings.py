"""A teacher overrules a verdict: the ruling is kept, and the student's strength follows it."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import TYPE_CHECKING

from django.db import transaction
from django.db.models import Count, Q

from quizzes import steering
from quizzes.models import Answer, HomeworkSet, Ruling
from quizzes.models.answers import AnswerQuerySet
from quizzes.recompute import recompute

if TYPE_CHECKING:
    from accounts.models import User


IDENTITY = ("skill", "level", "version", "seed")
READ = ("reading", "typed")

Likeness = tuple[object, ...]


class NotToBeRuledError(Exception):
    """The answer cannot be overruled: its question is still open, or nothing was answered."""


@transaction.atomic
def rule(answer: Answer, decision: str, note: str, by: User, at: datetime) -> Ruling:
    """Let `decision` stand for the verdict on an answer. Raises NotToBeRuledError.

    An open question waits: a ruling would change what the next try counts as.
    """
    steering.locked(answer.student)
    if not can_be_ruled(answer):
        raise NotToBeRuledError("This answer cannot be overruled.")
    ruling = Ruling.objects.give(answer, decision, note, by, at)
    recompute(answer.student)
    return ruling


def can_be_ruled(answer: Answer) -> bool:
    question = answer.question
    return answer.verdict != "shown" and (question.is_finished or not question.run.is_open)


def rule_alike(answer: Answer, decision: str, note: str, by: User, at: datetime) -> int:
    """The same decision for the like answers of the teacher's students to the set; how many there were."""
    found = [each for each in _alike(answer, by) if each.pk != answer.pk]
    for each in found:
        rule(each, decision, note, by, at)
    return len(found)


def like_counts(homework: HomeworkSet, teacher: User) -> Mapping[Likeness, int]:
    """How many answers of the teacher's students to a set are alike, in one query."""
    fields = [f"question__{name}" for name in IDENTITY]
    rows = _to_be_ruled(homework, teacher).values_list(*fields, "part", *READ).annotate(number=Count("pk"))
    counts: dict[Likeness, int] = {}
    for *identity, part, reading, typed, number in rows:
        alike = (*identity, part, reading or typed)
        counts[alike] = counts.get(alike, 0) + number
    return counts


def likeness(answer: Answer) -> Likeness:
    """What like answers share: the question as it was made, the part, and how the answer was read."""
    identity = (getattr(answer.question, name) for name in IDENTITY)
    return (*identity, answer.part, answer.reading or answer.typed)


def _alike(answer: Answer, teacher: User) -> list[Answer]:
    homework = answer.question.run.homework_set
    if homework is None:
        return []
    same = {f"question__{name}": getattr(answer.question, name) for name in IDENTITY}
    rows = _to_be_ruled(homework, teacher).filter(part=answer.part, **same)
    found = rows.select_related("question__run", "student").order_by("pk")
    return [each for each in found if likeness(each) == likeness(answer)]


def _to_be_ruled(homework: HomeworkSet, teacher: User) -> AnswerQuerySet:
    """Answers to a set that can be overruled, of the students whom this teacher teaches."""
    over = Q(question__finished_at__isnull=False) | Q(question__run__ended_at__isnull=False)
    answers = Answer.objects.filter(question__run__homework_set=homework).exclude(verdict="shown")
    return answers.filter(over, student__in=homework.students_of(teacher)).order_by()
