"""How long things are kept, and the deleting of what is older. Strengths stay as they are."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.conf import settings
from django.contrib.sessions.models import Session
from django.db import transaction
from django.db.models import F, Max, Min, QuerySet

from accounts.models import Change, Invitation, Look, SignInThrottle, User
from quizzes import steering
from quizzes.models import Answer, AnswerCount, Question, Run, StrengthDay
from quizzes.recompute import days_of

KEPT_THROTTLE = timedelta(hours=24)


@dataclass(frozen=True, slots=True)
class Purged:
    """How many rows of each kind went."""

    answers: int = 0
    looks: int = 0
    sign_ins: int = 0
    changes: int = 0


def purge(at: datetime) -> Purged:
    """Delete what is older than the settings say; each student in a transaction of his own."""
    cutoff = at - timedelta(days=settings.KEEP_ANSWERS_DAYS)
    students = Answer.objects.filter(at__lt=cutoff).order_by().values_list("student", flat=True).distinct()
    answers = sum(purge_answers(User.objects.get(pk=key), cutoff) for key in list(students))
    StrengthDay.objects.filter(date__lt=cutoff.date()).delete()
    return Purged(answers, *_purge_rest(at))


@transaction.atomic
def _purge_rest(at: datetime) -> tuple[int, int, int]:
    sign_in = at - timedelta(days=settings.KEEP_SIGN_IN_DAYS)
    looks = Look.objects.filter(at__lt=at - timedelta(days=settings.KEEP_LOOKS_DAYS)).delete()
    gone = [
        SignInThrottle.objects.filter(last_at__lt=at - KEPT_THROTTLE).delete(),
        Session.objects.filter(expire_date__lt=at).delete(),
        Invitation.objects.filter(expires_at__lt=sign_in).delete(),
    ]
    Change.objects.fade(at)
    changes = Change.objects.filter(at__lt=sign_in).delete()
    return looks[0], sum(each[0] for each in gone), changes[0]


@transaction.atomic
def purge_answers(student: User, cutoff: datetime) -> int:
    """Delete a student's answers before `cutoff`; what they led to stays in the strength row.

    Whole questions only: a retry must not become a first try.
    """
    row = steering.locked(student)
    upto = _last_to_go(student, cutoff)
    if upto is None:
        return 0
    days = days_of(row, upto)
    if days:
        last = next(reversed(days.values()))
        row.purged_state, row.purged_answers = last.belief.to_bytes(), last.answers
    row.purged_upto = upto
    row.save(update_fields=["purged_state", "purged_answers", "purged_upto"])
    going = Answer.objects.filter(student=student, number__lte=upto)
    count(going)
    number = going.count()
    going.delete()
    _delete_emptied(student, cutoff)
    return number


def _last_to_go(student: User, cutoff: datetime) -> int | None:
    """The last number of the answers that go: all up to it are old, and no question is cut in two."""
    answers = Answer.objects.filter(student=student).order_by()
    first_kept = answers.filter(at__gte=cutoff).aggregate(least=Min("number"))["least"]
    end = first_kept - 1 if first_kept else answers.aggregate(most=Max("number"))["most"]
    if end is None:
        return None
    split = _first_of_split(answers, end)
    while split is not None:
        end = split - 1
        split = _first_of_split(answers, end)
    return end if answers.filter(number__lte=end).exists() else None


def _first_of_split(answers: QuerySet[Answer], end: int) -> int | None:
    """The first number of a question with answers on both sides of `end`."""
    spans = answers.values("question").annotate(first=Min("number"), last=Max("number"))
    least: int | None = spans.filter(first__lte=end, last__gt=end).aggregate(least=Min("first"))["least"]
    return least


def _delete_emptied(student: User, cutoff: datetime) -> None:
    """Old questions that nothing was answered to any more, and old runs without a question."""
    empty = Question.objects.filter(run__student=student, made_at__lt=cutoff, answers=None)
    empty.delete()
    Run.objects.filter(student=student, started_at__lt=cutoff, questions=None).delete()


def count(answers: QuerySet[Answer]) -> None:
    """Add answers that are about to go to the counts that name nobody."""
    seen = Counter(answers.order_by().values_list("question__skill", "question__level", "verdict"))
    add_counts((*key, number) for key, number in seen.items())


def add_counts(counts: Iterable[tuple[str, str, str, int]]) -> None:
    for skill, level, verdict, number in counts:
        row, _ = AnswerCount.objects.get_or_create(skill=skill, level=level, verdict=verdict)
        AnswerCount.objects.filter(pk=row.pk).update(number=F("number") + number)
