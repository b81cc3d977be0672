"""What a class lacks: each student's topics, and the class pooled, from one row a student."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from accounts.models import SchoolClass
from accounts.models import User as Student
from problems.registry import SKILLS
from quizzes import steering
from quizzes.adaptive.class_view import ClassView, class_view
from quizzes.adaptive.report import Chance, topic_chances, weak_topics
from quizzes.adaptive.state import Strength as Belief
from quizzes.adaptive.update import move_to_day
from quizzes.calendar import day_of
from quizzes.courses import course_of_class
from quizzes.topics import topic_title

if TYPE_CHECKING:
    from accounts.models import User


@dataclass(frozen=True, slots=True)
class Cell:
    """One topic of one student; `is_weak` only where it is likely to be true."""

    chance: Chance
    is_weak: bool


@dataclass(frozen=True, slots=True)
class Row:
    student: User
    answers: int
    enough: bool
    cells: Sequence[Cell]


@dataclass(frozen=True, slots=True)
class TopicLine:
    """One topic of the whole class."""

    topic: str
    title: str
    chance: Chance
    leading: float
    students_weak: int


@dataclass(frozen=True, slots=True)
class ClassTable:
    titles: Sequence[str]
    rows: Sequence[Row]
    topics: Sequence[TopicLine]
    view: ClassView | None
    weakest: Sequence[str]
    needed: int


def class_table(school_class: SchoolClass, at: datetime) -> ClassTable:
    """The table of a class, and its topics from the weakest to the strongest."""
    known = steering.within(steering.current(), course_of_class(school_class).not_taught)
    found = beliefs_of(school_class, at, known)
    beliefs = [belief for _, belief in found]
    rows = [_row(student, belief, known) for student, belief in found]
    view = class_view(beliefs, known.items, known.parameters) if beliefs else None
    return ClassTable(
        [topic_title(topic) for topic in topics_in(known)],
        rows,
        _lines(view, rows),
        view,
        [topic_title(topic) for topic in view.weakest] if view else [],
        known.parameters.enough_answers,
    )


def topics_in(known: steering.Frozen) -> Sequence[str]:
    """The topics of which anything is in play, in their order."""
    in_play = {SKILLS[skill].topic for skill, _level, _kind in known.items.table}
    return [topic for topic in steering.skill_map().topic_names if topic in in_play]


def beliefs_of(
    school_class: SchoolClass, at: datetime, known: steering.Frozen
) -> Sequence[tuple[Student, Belief]]:
    """What is believed of each student of a class at a moment, by name, in one query."""
    students = Student.objects.students_of(school_class).select_related("strength")
    return [(student, _belief(student, at, known)) for student in students]


def _belief(student: User, at: datetime, known: steering.Frozen) -> Belief:
    row = getattr(student, "strength", None)
    return move_to_day(steering.belief_of(row, known.parameters), day_of(at), known.parameters)


def _row(student: User, belief: Belief, known: steering.Frozen) -> Row:
    weak = weak_topics(belief, known.items, known.parameters)
    chances = topic_chances(belief, known.items, known.parameters)
    cells = [Cell(chance, topic in weak.flagged) for topic, chance in chances.items()]
    return Row(student, sum(chance.answers for chance in chances.values()), weak.enough, cells)


def _lines(view: ClassView | None, rows: Sequence[Row]) -> Sequence[TopicLine]:
    if view is None:
        return []
    weak = [sum(row.cells[place].is_weak for row in rows) for place in range(len(view.topics))]
    lines = [
        TopicLine(topic, topic_title(topic), chance, view.leading[topic], count)
        for (topic, chance), count in zip(view.topics.items(), weak, strict=True)
    ]
    return sorted(lines, key=lambda line: line.chance.mean)
