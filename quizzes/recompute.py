"""Strengths, and their history by day, rebuilt from the stored answers: in the order of their numbers,
never of the clock."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from django.conf import settings
from django.db import transaction

from quizzes import steering
from quizzes.adaptive.report import Chance
from quizzes.adaptive.state import Strength as Belief
from quizzes.calendar import local_date
from quizzes.models import Answer, Calibration, Strength, StrengthDay, judged
from quizzes.models.answers import AnswerQuerySet

if TYPE_CHECKING:
    from accounts.models import User


def recompute(student: User) -> bool:
    """Rebuild one student's strength row; True where that changed it."""
    with transaction.atomic():
        row = steering.locked(student)
        before = bytes(row.state)
        days = days_of(student)
        if days:
            last = next(reversed(days.values()))
            steering.keep(row, last.belief, steering.current())
            row.answers = last.answers
        else:
            _forget(row)
        row.save()
        _keep_days(student, days)
        return bytes(row.state) != before


def _forget(row: Strength) -> None:
    """Back to the row of a student of whom nothing counts."""
    row.state, row.answers = b"", 0
    for topic in steering.skill_map().topic_names:
        setattr(row, f"{topic}_mean", None)
        setattr(row, f"{topic}_variance", None)


@dataclass(frozen=True, slots=True)
class DayEnd:
    """The belief after the last answer of a day, the calibration it was judged under, and how many
    answers had counted by then."""

    belief: Belief
    known: steering.Frozen
    answers: int


def rebuilt(student: User) -> tuple[Belief, int]:
    """The belief that the student's answers lead to, and how many of them counted."""
    days = list(days_of(student).values())
    if days:
        return days[-1].belief, days[-1].answers
    return Belief.prior(steering.skill_map(), steering.start_values().parameters), 0


def days_of(student: User) -> dict[date, DayEnd]:
    """What the student's answers lead to, day by day; the last in the order of numbers stands last."""
    calibrations = {row.number: steering.frozen(row) for row in Calibration.objects.all()}
    start = steering.start_values()
    belief, zone = Belief.prior(steering.skill_map(), start.parameters), zone_of(student)
    days: dict[date, DayEnd] = {}
    counted = counted_in_order(Answer.objects.filter(student=student))
    for number, answer in enumerate(counted, 1):
        known = calibrations.get(answer.calibration_number, start)
        belief = steering.moved(belief, answer, known)
        day = local_date(answer.at, zone)
        days.pop(day, None)
        days[day] = DayEnd(belief, known, number)
    return days


def zone_of(student: User) -> str:
    return student.time_zone or settings.TIME_ZONE


def _keep_days(student: User, days: dict[date, DayEnd]) -> None:
    """The history as it would have been. What lies before the first stored answer is left alone: the
    answers behind it may be gone."""
    first = Answer.objects.filter(student=student).order_by("number").values_list("at", flat=True).first()
    if first is None:
        return
    since = local_date(first, zone_of(student))
    StrengthDay.objects.filter(student=student, date__gte=since).exclude(date__in=days).delete()
    steering.keep_days(student.pk, {day: (end.answers, _chances(end)) for day, end in days.items()})


def _chances(end: DayEnd) -> dict[str, Chance]:
    return steering.chances_of(end.belief, end.known)


def counted_in_order(answers: AnswerQuerySet) -> Iterator[Answer]:
    """Those that count by the rulings of today, each student's in order of number.

    What a ruling makes count is the first try it was.
    """
    final = judged(answers).filter(final__isnull=False).select_related("question")
    tried: set[tuple[int, int]] = set()
    for answer in final.order_by("student", "number").iterator(chunk_size=500):
        place = (answer.question_id, answer.part)
        answer.score, answer.is_retry = answer.final, place in tried
        tried.add(place)
        yield answer
