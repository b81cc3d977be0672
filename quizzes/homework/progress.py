"""How far each student of a set has come: marks, and how many questions were right at first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.db.models import Count, Prefetch

from accounts.models import Membership, SchoolClass
from quizzes.homework.marks import Mark, mark_table
from quizzes.models import Answer, HomeworkSet, Run, judged

if TYPE_CHECKING:
    from accounts.models import User


@dataclass(frozen=True, slots=True)
class Progress:
    student: User
    right: int
    mark: Mark


def progress_of(homework: HomeworkSet, teacher: User) -> Sequence[Progress]:
    """One row a student of the set's classes that this teacher teaches, by name."""
    table = mark_table([homework], list(homework.students_of(teacher)))
    right = _right_at_first(homework)
    return [Progress(row.student, right.get(row.student.pk, 0), row.marks[0]) for row in table.rows]


def _right_at_first(homework: HomeworkSet) -> dict[int, int]:
    answers = judged(Answer.objects.filter(question__run__homework_set=homework))
    first = answers.filter(is_retry=False, final=1, part=0)
    counts = first.order_by().values("student").annotate(number=Count("pk"))
    return {row["student"]: row["number"] for row in counts}


def not_begun(homework: HomeworkSet, teacher: User) -> Sequence[tuple[SchoolClass, Sequence[User]]]:
    """The students of each class of the teacher's who have not begun, by name."""
    begun = Run.objects.filter(homework_set=homework).values("student")
    classes = homework.classes_of(teacher).prefetch_related(
        Prefetch(
            "memberships",
            Membership.objects.filter(role="student")
            .exclude(user__in=begun)
            .select_related("user")
            .order_by("user__display_name", "user"),
        )
    )
    return [(each, [member.user for member in each.memberships.all()]) for each in classes]
