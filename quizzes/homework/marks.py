"""Marks: for each part of a question the best of the allowed attempts counts, by the rulings of today.

Summed up by the database to one row a question part; what nobody answered is worth nothing.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from django.db.models import Count, Max, Q

from accounts.models import SchoolClass
from accounts.models import User as Student
from quizzes.homework.due import later
from quizzes.models import Answer, Extension, HomeworkSet, Run, judged

if TYPE_CHECKING:
    from accounts.models import User

Place = tuple[int, int]
"""A student and a set, by their keys."""
EXTENSION = ("student", "homework_set", "due_at")


@dataclass(frozen=True, slots=True)
class Mark:
    """What one student has in one set: `points` of `of`, and how far it is done. No `begun_at`, not begun."""

    points: float
    of: int
    finished: int
    begun_at: datetime | None
    handed_in_at: datetime | None
    due_at: datetime
    is_late: bool

    @property
    def share(self) -> float:
        return self.points / self.of


@dataclass(frozen=True, slots=True)
class MarkRow:
    """One student's marks in the order of the sets."""

    student: User
    marks: Sequence[Mark]

    @property
    def points(self) -> float:
        return sum(mark.points for mark in self.marks)

    @property
    def of(self) -> int:
        return sum(mark.of for mark in self.marks)

    @property
    def share(self) -> float:
        return self.points / self.of if self.of else 0.0


@dataclass(frozen=True, slots=True)
class MarkTable:
    sets: Sequence[HomeworkSet]
    rows: Sequence[MarkRow]


def marks_of_class(school_class: SchoolClass, at: datetime) -> MarkTable:
    """Every student of a class in every set that has opened for it."""
    students = Student.objects.students_of(school_class)
    return mark_table(HomeworkSet.objects.filter(classes=school_class).opened(at), students)


def mark_table(sets: Collection[HomeworkSet], students: Collection[User]) -> MarkTable:
    """The marks of these students in these sets."""
    points, runs, extended = _points(sets, students), _runs(sets, students), _extended(sets, students)
    rows = [
        MarkRow(student, [_mark(homework, student, runs, points, extended) for homework in sets])
        for student in students
    ]
    return MarkTable(list(sets), rows)


def _points(sets: Collection[HomeworkSet], students: Collection[User]) -> Mapping[Place, float]:
    of_sets = Answer.objects.filter(question__run__homework_set__in=sets, student__in=students)
    places = (
        judged(of_sets)
        .order_by()
        .values_list("student", "question__run__homework_set", "question", "part", "question__parts")
    )
    points: dict[Place, float] = defaultdict(float)
    for student, homework, _, _, parts, best in places.annotate(best=Max("final")):
        points[student, homework] += (best or 0) / parts
    return points


def _runs(sets: Collection[HomeworkSet], students: Collection[User]) -> Mapping[Place, Run]:
    finished = Count("questions", filter=Q(questions__finished_at__isnull=False))
    runs = Run.objects.filter(homework_set__in=sets, student__in=students).annotate(finished=finished)
    return {(run.student_id, run.homework_set_id or 0): run for run in runs}


def _extended(sets: Collection[HomeworkSet], students: Collection[User]) -> Mapping[Place, datetime]:
    given = Extension.objects.filter(homework_set__in=sets, student__in=students)
    return {(student, homework): due for student, homework, due in given.values_list(*EXTENSION)}


def _mark(
    homework: HomeworkSet,
    student: User,
    runs: Mapping[Place, Run],
    points: Mapping[Place, float],
    extended: Mapping[Place, datetime],
) -> Mark:
    place = (student.pk, homework.pk)
    run, due = runs.get(place), later(homework, extended.get(place))
    if run is None:
        return Mark(0, homework.number, 0, None, None, due, False)
    late = bool(run.ended_at and run.ended_at > due)
    finished: int = getattr(run, "finished", 0)
    return Mark(points.get(place, 0), homework.number, finished, run.started_at, run.ended_at, due, late)
