"""How far each student of a set has come: finished questions and how many were right at first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from django.db.models import Count, Q

from accounts.models import SchoolClass
from accounts.models import User as Student
from quizzes.models import Answer, HomeworkSet, Run

if TYPE_CHECKING:
    from accounts.models import User


@dataclass(frozen=True, slots=True)
class Progress:
    student: User
    begun_at: datetime | None
    finished: int
    right: int
    handed_in_at: datetime | None
    is_late: bool


def progress_of(homework: HomeworkSet, teacher: User) -> Sequence[Progress]:
    """One row a student of the set's classes that this teacher teaches, by name."""
    classes = SchoolClass.objects.taught_by(teacher).filter(homework_sets=homework)
    students = Student.objects.filter(
        memberships__school_class__in=classes, memberships__role="student"
    ).distinct()
    finished = Count("questions", filter=Q(questions__finished_at__isnull=False))
    runs = {
        run.student_id: run for run in Run.objects.filter(homework_set=homework).annotate(finished=finished)
    }
    right = _right_at_first(homework)
    return [_row(homework, student, runs.get(student.pk), right.get(student.pk, 0)) for student in students]


def _right_at_first(homework: HomeworkSet) -> dict[int, int]:
    first = Answer.objects.counted().filter(
        question__run__homework_set=homework, is_retry=False, score=1, part=0
    )
    counts = first.order_by().values("student").annotate(number=Count("pk"))
    return {row["student"]: row["number"] for row in counts}


def _row(homework: HomeworkSet, student: User, run: Run | None, right: int) -> Progress:
    if run is None:
        return Progress(student, None, 0, 0, None, False)
    late = bool(run.ended_at and homework.is_late(run.ended_at))
    return Progress(student, run.started_at, getattr(run, "finished", 0), right, run.ended_at, late)
