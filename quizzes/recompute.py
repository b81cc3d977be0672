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
        _store(row, days_of(row))
        return bytes(row.state) != before


def _store(row: Strength, days: dict[date, DayEnd]) -> None:
    """Put what the answers lead to into the (locked) row and into its days."""
    if days:
        last = next(reversed(days.values()))
        steering.keep(row, last.belief, steering.current())
        row.answers = last.answers
    elif row.purged_state:
        steering.keep(row, Belief.from_bytes(bytes(row.purged_state)), steering.current())
        row.answers = row.purged_answers
    else:
        _forget(row)
    row.save()
    _keep_days(row.student, days)


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


def days_of(row: Strength, upto: int | None = None) -> dict[date, DayEnd]:
    """What the student's answers lead to, day by day; the last in the order of numbers stands last.

    Answers that were deleted stand in `purged_state`, where this begins. `upto` is the last number to go to.
    """
    calibrations = {each.number: steering.frozen(each) for each in Calibration.objects.all()}
    start, zone = steering.start_values(), zone_of(row.student)
    belief = Belief.from_bytes(bytes(row.purged_state)) if row.purged_state else None
    days: dict[date, DayEnd] = {}
    answers = Answer.objects.filter(student=row.student, number__gt=row.purged_upto)
    if upto is not None:
        answers = answers.filter(number__lte=upto)
    for number, answer in enumerate(counted_in_order(answers), row.purged_answers + 1):
        known = calibrations.get(judged_under(answer, row), start)
        before = belief or Belief.prior(steering.skill_map(), known.parameters)
        belief = steering.moved(before, answer, known)
        day = local_date(answer.at, zone)
        days.pop(day, None)
        days[day] = DayEnd(belief, known, number)
    return days


def judged_under(answer: Answer, row: Strength) -> int:
    """The number of the calibration that an answer counts by: its own, or the later one all were
    judged anew under."""
    if answer.number > row.judged_upto:
        return answer.calibration_number
    return max(answer.calibration_number, row.judged_under)


def judge_anew(student: User, calibration: int) -> None:
    """Let everything the student has answered so far count by a calibration, as if known all along."""
    keep_judged(judged_anew(student, calibration))


@dataclass(frozen=True, slots=True)
class Judged:
    """A row as it was found, still unlocked, with what its answers lead to under a calibration."""

    row: Strength
    calibration: int
    days: dict[date, DayEnd]


def judged_anew(student: User, calibration: int) -> Judged:
    """The long part of judging anew, which nobody has to wait for."""
    row = Strength.objects.select_related("student").get(student=student)
    return Judged(row, calibration, days_of(_under(row, calibration)))


def keep_judged(judged: Judged) -> None:
    """The short part, under the lock; gone through again only where something has come in meanwhile."""
    with transaction.atomic():
        row = steering.locked(judged.row.student)
        same = _standing(row) == _standing(judged.row)
        _under(row, judged.calibration)
        _store(row, judged.days if same else days_of(row))


def _standing(row: Strength) -> tuple[int, int, bytes]:
    """What moves when an answer, a ruling or a deletion comes in."""
    return row.numbered, row.purged_upto, bytes(row.state)


def _under(row: Strength, calibration: int) -> Strength:
    row.judged_upto, row.judged_under = row.numbered, calibration
    return row


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
