"""What is in play for a student or a class: the level, the steps already taught, the exams, the notation.

A student of two classes is asked what any of them has taught, at the higher of their levels, and is shown
things as the class joined first writes them. Without a class everything is in play.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from accounts.models import Membership, SchoolClass
from problems.question import LEVELS, Level
from problems.registry import SKILLS

if TYPE_CHECKING:
    from accounts.models import User


@dataclass(frozen=True, slots=True)
class Course:
    """The highest level, the exam dates, and the names of the steps that no class has taught yet."""

    level: Level
    exams: tuple[date, ...]
    not_taught: frozenset[str]

    def next_exam(self, today: date) -> date | None:
        """The nearest exam that lies ahead."""
        return min((day for day in self.exams if day >= today), default=None)

    def teaches(self, skill: str) -> bool:
        return skill in SKILLS and skill not in self.not_taught

    @property
    def skills(self) -> Sequence[str]:
        """The steps in play at the level, topic by topic."""
        return [name for name in steps_of(self.level) if name not in self.not_taught]


def steps_of(level: str) -> Sequence[str]:
    """Every step that is asked at a level, topic by topic."""
    levels = {*levels_upto(level)}
    return [name for name, skill in SKILLS.items() if levels & {*skill.levels}]


def levels_upto(level: str) -> Sequence[Level]:
    """A second-year student is asked first-year steps too."""
    return LEVELS[: [*LEVELS].index(level) + 1] if level in LEVELS else LEVELS


def course_of(student: User) -> Course:
    """What the student's present classes agree on, in one query."""
    joined = Membership.objects.filter(user=student, role="student", school_class__archived_at=None)
    return _agreed([each.school_class for each in joined.select_related("school_class").order_by("pk")])


def course_of_class(school_class: SchoolClass) -> Course:
    return _agreed([school_class])


def _agreed(classes: Sequence[SchoolClass]) -> Course:
    not_taught = [frozenset(each.not_taught) for each in classes]
    highest = max((LEVELS.index(_level(each)) for each in classes), default=0)
    return Course(
        LEVELS[highest],
        tuple(each.exam_date for each in classes if each.exam_date),
        frozenset.intersection(*not_taught) if not_taught else frozenset(),
    )


def _level(school_class: SchoolClass) -> Level:
    return next(level for level in LEVELS if level == school_class.level)
