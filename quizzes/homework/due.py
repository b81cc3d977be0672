"""The sets a student has to do, and how far each has come."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Literal

from django.db.models import Count, Q

from quizzes.models import Extension, HomeworkSet, Run

if TYPE_CHECKING:
    from accounts.models import User

State = Literal["to_begin", "begun", "handed_in", "closed"]


@dataclass(frozen=True, slots=True)
class DueSet:
    """One set for one student: its run if begun, how many questions are finished, what can be done now,
    when it is due for this student, and whether that has passed, or had when it was handed in."""

    homework: HomeworkSet
    run: Run | None
    finished: int
    state: State
    due_at: datetime
    is_late: bool


def due_sets(student: User, at: datetime) -> Sequence[DueSet]:
    """Every set that has opened, the next due first; sets handed in come last."""
    finished = Count("questions", filter=Q(questions__finished_at__isnull=False))
    runs = {run.homework_set_id: run for run in Run.objects.of(student).annotate(finished=finished)}
    sets = HomeworkSet.objects.for_student(student).opened(at)
    extended = dict(Extension.objects.filter(student=student).values_list("homework_set", "due_at"))
    listed = [
        _due(homework, later(homework, extended.get(homework.pk)), runs.get(homework.pk), at)
        for homework in sets
    ]
    return sorted(listed, key=lambda due: (due.state in ("handed_in", "closed"), due.due_at))


def later(homework: HomeworkSet, extended: datetime | None) -> datetime:
    """When a set is due, by an extension if there is one that ends later."""
    return max(homework.due_at, extended) if extended else homework.due_at


def _due(homework: HomeworkSet, due_at: datetime, run: Run | None, at: datetime) -> DueSet:
    finished: int = getattr(run, "finished", 0)
    is_open = homework.is_open(at) or at <= due_at
    state = _state(is_open, run)
    done_at = run.ended_at if run and run.ended_at else at
    return DueSet(homework, run, finished, state, due_at, done_at > due_at)


def _state(is_open: bool, run: Run | None) -> State:
    if run is not None and not run.is_open:
        return "handed_in"
    if not is_open:
        return "closed"
    return "begun" if run else "to_begin"
