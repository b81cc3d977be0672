"""What is in play for a student or a class: the level, the steps already taught, the exams, the notation.

A student of two classes is asked what any of them has taught, at the higher of their levels, and is shown
things as the class joined first writes them. Without a class everything is in play.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from accounts.models import SchoolClass
from accounts.prepared import Prepared
from problems.conventions import USUAL, Conventions
from problems.question import LEVELS, Level
from problems.registry import SKILLS

if TYPE_CHECKING:
    from django.db.models import QuerySet

    from accounts.models import User
    from quizzes.models import HomeworkSet


@dataclass(frozen=True, slots=True)
class Course:
    """The highest level, the exam dates, the names of the steps that no class has taught yet, and how the
    class joined first writes things."""

    level: Level
    exams: tuple[date, ...]
    not_taught: frozenset[str]
    conventions: Conventions

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
    return _agreed(JOINED(student.pk))


def course_of_class(school_class: SchoolClass) -> Course:
    return _agreed([school_class])


def _agreed(classes: Sequence[SchoolClass]) -> Course:
    not_taught = [frozenset(each.not_taught) for each in classes]
    highest = max((LEVELS.index(_level(each)) for each in classes), default=0)
    return Course(
        LEVELS[highest],
        tuple(each.exam_date for each in classes if each.exam_date),
        frozenset.intersection(*not_taught) if not_taught else frozenset(),
        conventions_of_class(classes[0]) if classes else USUAL,
    )


def conventions_of_class(school_class: SchoolClass) -> Conventions:
    sign = school_class.decimal_sign
    return Conventions(
        school_class.hydrogen_ion == SchoolClass.HydrogenIon.HYDRONIUM,
        school_class.asks_states,
        school_class.volume_unit == SchoolClass.VolumeUnit.DECIMETRE,
        "." if sign == "." else "," if sign == "," else "",
    )


def conventions_for_set(student: User, homework: HomeworkSet) -> Conventions:
    """How the class that a set is for writes things; of two, the one that the student joined first."""
    classes = _joined(student).filter(homework_sets=homework)
    first = classes.order_by("memberships__pk").first()
    return conventions_of_class(first) if first else USUAL


def _joined(student: User) -> QuerySet[SchoolClass]:
    return SchoolClass.objects.attended_by(student).current()


OF_COURSE = (
    "level", "exam_date", "not_taught", "hydrogen_ion", "asks_states", "volume_unit", "decimal_sign",
)  # fmt: skip
"""What of a class decides what is in play."""
JOINED = Prepared(lambda student: _joined(student).order_by("memberships__pk").only(*OF_COURSE))


def _level(school_class: SchoolClass) -> Level:
    return next(level for level in LEVELS if level == school_class.level)
