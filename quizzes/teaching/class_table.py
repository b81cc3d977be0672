"""What a class lacks: each student's topics, and the class pooled, from one row a student."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from django.db.models import OuterRef, Subquery

from accounts.models import SchoolClass
from accounts.models import User as Student
from problems import words
from problems.registry import SKILLS
from quizzes import steering
from quizzes.adaptive.class_view import ENOUGH_STUDENTS, ClassView, class_view
from quizzes.adaptive.report import Chance, skill_chances, topic_chances, weak_topics
from quizzes.adaptive.state import Strength as Belief
from quizzes.adaptive.update import move_to_day
from quizzes.calendar import day_of, local_date
from quizzes.courses import course_of_class
from quizzes.models import StrengthDay
from quizzes.topics import topic_title

if TYPE_CHECKING:
    from accounts.models import User

LOOKED_BACK = timedelta(weeks=3)
"""What has changed is said against so long ago."""


@dataclass(frozen=True, slots=True)
class Column:
    """A topic, or, where one is opened, a step of it."""

    name: str
    title: str


@dataclass(frozen=True, slots=True)
class Cell:
    """One topic or step of one student; `is_weak` only where it is likely to be true. `change` is in
    points of a hundred against some weeks ago; none where too little was known then, and for steps."""

    chance: Chance
    is_weak: bool
    change: int | None = None


@dataclass(frozen=True, slots=True)
class Row:
    """One student; `weak` are the topics flagged, with the chance that each is below the limit."""

    student: User
    answers: int
    enough: bool
    weak: Mapping[str, float]
    cells: Sequence[Cell]


@dataclass(frozen=True, slots=True)
class TopicLine:
    """One topic of the whole class; `change` as in `Cell`, the mean over those who have one."""

    topic: str
    title: str
    chance: Chance
    leading: float
    students_weak: int
    change: int | None


@dataclass(frozen=True, slots=True)
class ClassTable:
    """The students by `columns`: the topics, or the steps of the one that is `opened`."""

    columns: Sequence[Column]
    opened: str
    sort: str
    rows: Sequence[Row]
    topics: Sequence[TopicLine]
    view: ClassView | None
    weakest: Sequence[str]
    needed: int
    weeks: int = LOOKED_BACK.days // 7


def class_table(school_class: SchoolClass, at: datetime, opened: str = "", sort: str = "") -> ClassTable:
    """The table of a class, and its topics from the weakest to the strongest.

    `opened` names a topic to be shown step by step, `sort` a column, or `answers`; else it goes by name.
    """
    known = steering.within(steering.current(), course_of_class(school_class).not_taught)
    found = beliefs_of(school_class, at, known)
    before = earlier(school_class, at, known.parameters.enough_answers)
    by_topic = [_row(student, belief, before.get(student.pk, {}), known) for student, belief in found]
    beliefs = [belief for _, belief in found]
    view = class_view(beliefs, known.items, known.parameters) if beliefs else None
    topics = topics_in(known)
    columns, rows = [Column(topic, topic_title(topic)) for topic in topics], by_topic
    if opened in topics:
        columns = _steps_of(opened, known)
        rows = [_opened(row, belief, columns, known) for row, (_, belief) in zip(rows, found, strict=True)]
    return ClassTable(
        columns,
        opened if opened in topics else "",
        sort,
        _sorted(rows, [column.name for column in columns], sort),
        _lines(view, by_topic),
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


def earlier(school_class: SchoolClass, at: datetime, enough: int) -> dict[int, Mapping[str, list[float]]]:
    """Where each student's topics stood some weeks ago, by the student's key, in one query; only of those
    with enough answers by then."""
    day = local_date(at - LOOKED_BACK, school_class.time_zone)
    last = StrengthDay.objects.filter(student=OuterRef("pk"), date__lte=day, answers__gte=enough)
    topics = last.order_by("-date").values("topics")[:1]
    students = Student.objects.students_of(school_class).annotate(then=Subquery(topics))
    return dict(students.exclude(then=None).order_by().values_list("pk", "then"))


def _row(student: User, belief: Belief, then: Mapping[str, list[float]], known: steering.Frozen) -> Row:
    weak = weak_topics(belief, known.items, known.parameters)
    chances = topic_chances(belief, known.items, known.parameters)
    cells = [
        Cell(chance, topic in weak.flagged, _points(chance, then.get(topic)))
        for topic, chance in chances.items()
    ]
    flagged = {topic: weak.below[topic] for topic in weak.flagged}
    return Row(student, sum(chance.answers for chance in chances.values()), weak.enough, flagged, cells)


def _points(chance: Chance, then: list[float] | None) -> int | None:
    return round(100 * (chance.mean - then[0])) if then else None


def _steps_of(topic: str, known: steering.Frozen) -> list[Column]:
    """The steps of a topic that have a question in play."""
    in_play = {skill for skill, _level, _kind in known.items.table}
    return [
        Column(name, words._(skill.title))
        for name, skill in SKILLS.items()
        if skill.topic == topic and name in in_play
    ]


def _opened(row: Row, belief: Belief, columns: Sequence[Column], known: steering.Frozen) -> Row:
    chances = skill_chances(belief, known.items, known.parameters)
    return replace(row, cells=[Cell(chances[column.name], is_weak=False) for column in columns])


def _sorted(rows: Sequence[Row], columns: Sequence[str], sort: str) -> Sequence[Row]:
    """Fewest answers, or the lowest chance, first; who has too few answers for chances comes last."""
    if sort == "answers":
        return sorted(rows, key=lambda row: row.answers)
    if sort in columns:
        place = columns.index(sort)
        return sorted(rows, key=lambda row: (not row.enough, row.cells[place].chance.mean))
    return rows


def _lines(view: ClassView | None, rows: Sequence[Row]) -> Sequence[TopicLine]:
    if view is None:
        return []
    lines = [
        TopicLine(
            topic,
            topic_title(topic),
            chance,
            view.leading[topic],
            sum(topic in row.weak for row in rows),
            _mean_change([row.cells[place].change for row in rows]),
        )
        for place, (topic, chance) in enumerate(view.topics.items())
    ]
    return sorted(lines, key=lambda line: line.chance.mean)


def _mean_change(changes: Sequence[int | None]) -> int | None:
    known = [change for change in changes if change is not None]
    return round(sum(known) / len(known)) if len(known) >= ENOUGH_STUDENTS else None
