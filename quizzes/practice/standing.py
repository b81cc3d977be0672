"""Where a student stands and how it came about, made ready for the progress page."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from itertools import groupby
from typing import TYPE_CHECKING, Any

from django.conf import settings
from django.db.models import Count, F, Max
from django.db.models.fields.json import KT

from problems.grading.codes import entry, sentence
from problems.registry import SKILLS
from quizzes import steering
from quizzes.adaptive.report import Chance, skill_chances
from quizzes.calendar import local_date
from quizzes.courses import Course, course_of, levels_upto
from quizzes.models import Answer, StrengthDay, judged
from quizzes.practice.charts import Chart, Point, chart_of
from quizzes.practice.plan import Plan, plan_of
from quizzes.topics import topic_title

if TYPE_CHECKING:
    from accounts.models import User

LOOKED_BACK = timedelta(weeks=8)
MISTAKES = 10


@dataclass(frozen=True, slots=True)
class TopicCourse:
    """One topic over the days, and now."""

    title: str
    now: Chance
    first: Point
    chart: Chart


@dataclass(frozen=True, slots=True)
class DayRow:
    """A day's numbers in every topic, in the order of the courses."""

    day: date
    points: Sequence[Point | None]


@dataclass(frozen=True, slots=True)
class OwnMistake:
    """What was found how often in answers to one step, with the last question in which it was."""

    skill: str
    is_taught: bool
    heading: str
    means: str
    count: int
    answer: Answer


@dataclass(frozen=True, slots=True)
class Standing:
    courses: Sequence[TopicCourse]
    days: Sequence[DayRow]
    skills: Sequence[tuple[str, Sequence[tuple[str, Chance]]]]
    mistakes: Sequence[OwnMistake]
    plan: Plan | None


def standing_of(student: User, at: datetime) -> Standing:
    course, whole = course_of(student), steering.current()
    known = steering.within(whole, course.not_taught)
    belief = steering.belief_now(student, at, known)
    topics = steering.chances_of(belief, known)
    # The days were kept over all steps, so their course ends in the same.
    days = _days(student, steering.chances_of(belief, whole), at)
    return Standing(
        [_course(topic, chance, days) for topic, chance in topics.items()],
        [DayRow(day, [points.get(topic) for topic in topics]) for day, points in reversed(days)],
        _skills(course, skill_chances(belief, known.items, known.parameters)),
        mistakes_of(student, at, course),
        plan_of(student, at, belief, known, course),
    )


Days = Sequence[tuple[date, Mapping[str, Point]]]


def _days(student: User, now: Mapping[str, Chance], at: datetime) -> Days:
    """How each day of practice ended, and how it is at this moment."""
    today = local_date(at, student.time_zone or settings.TIME_ZONE)
    kept = StrengthDay.objects.filter(student=student, date__lt=today)
    past = [(row.date, _points(row.date, row.topics)) for row in kept.order_by("date")]
    numbers = {topic: (chance.mean, chance.low, chance.high) for topic, chance in now.items()}
    return [*past, (today, _points(today, numbers))]


def _points(day: date, topics: Mapping[str, Any]) -> Mapping[str, Point]:
    return {topic: Point(day, *numbers) for topic, numbers in topics.items()}


def _course(topic: str, now: Chance, days: Days) -> TopicCourse:
    points = [found[topic] for _, found in days if topic in found]
    return TopicCourse(topic_title(topic), now, points[0], chart_of(points))


def _skills(
    course: Course, chances: Mapping[str, Chance]
) -> Sequence[tuple[str, Sequence[tuple[str, Chance]]]]:
    """The steps in play at the student's level, and whatever else of them was answered, topic by topic."""
    levels = set(levels_upto(course.level))
    taught = [skill for skill in SKILLS.values() if course.teaches(skill.name)]
    shown = [skill for skill in taught if levels & {*skill.levels} or chances[skill.name].answers > 0]
    return [
        (topic_title(topic), [(skill.name, chances[skill.name]) for skill in found])
        for topic, found in groupby(shown, key=lambda skill: skill.topic)
    ]


def mistakes_of(student: User, at: datetime, course: Course) -> Sequence[OwnMistake]:
    """What was found in the last weeks in answers not right by today's rulings, the most frequent first."""
    lately = judged(Answer.objects.filter(student=student).since(at - LOOKED_BACK))
    wrong = lately.filter(final__lt=1).annotate(code=KT("codes__0")).filter(code__isnull=False)
    groups = wrong.order_by().values("code", skill=F("question__skill"))
    counted = groups.annotate(count=Count("pk"), last=Max("pk")).order_by("-count", "-last")[:MISTAKES]
    rows = list(counted)
    answers = Answer.objects.select_related("question").in_bulk([row["last"] for row in rows])
    return [_mistake(row, answers[row["last"]], course) for row in rows]


def _mistake(row: Mapping[str, Any], answer: Answer, course: Course) -> OwnMistake:
    kind = answer.question.snapshot.parts[answer.part].grading["kind"]
    known = entry(kind, row["code"])
    return OwnMistake(
        row["skill"],
        course.teaches(row["skill"]),
        known.heading if known else "",
        sentence(kind, row["code"]),
        row["count"],
        answer,
    )
