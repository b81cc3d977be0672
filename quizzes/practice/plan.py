"""The plan up to the exam: what to review on which day, in minutes of the student's own pace."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from itertools import groupby
from math import ceil
from statistics import median
from typing import TYPE_CHECKING

from django.conf import settings

from problems.registry import SKILLS
from quizzes.adaptive.plan import PlannedDay, PlannedStep, review_plan
from quizzes.adaptive.state import Strength as Belief
from quizzes.calendar import local_date
from quizzes.courses import Course
from quizzes.models import Question
from quizzes.steering import Frozen
from quizzes.topics import topic_title

if TYPE_CHECKING:
    from accounts.models import User

QUESTIONS_A_DAY = 8
HORIZON = 28
"""So far ahead days are planned: later ones would only follow what is not known yet [days]."""
USUAL_PACE = 2.0
"""Assumed until enough is measured; common practice for a short question in an exam [min]."""
QUICKEST, SLOWEST = 0.5, 8.0
"""A pace is held between these [min]."""
LONGEST = 20.0
"""Longer than this somebody was not at one question but away [min]."""
MINUTE = timedelta(minutes=1)
MEASURED_ON, ENOUGH = 40, 5


@dataclass(frozen=True, slots=True)
class Pace:
    """Minutes a question takes, and whether they were measured."""

    minutes: float
    is_measured: bool


@dataclass(frozen=True, slots=True)
class PlanDay:
    """One day: the steps topic by topic, with the number of questions of each."""

    date: date
    topics: Sequence[tuple[str, Sequence[tuple[str, int]]]]
    questions: int
    minutes: int


@dataclass(frozen=True, slots=True)
class Plan:
    """The days before an exam, the first of them today unless nothing is due today."""

    exam: date
    days_left: int
    pace: Pace
    days: Sequence[PlanDay]

    @property
    def soon(self) -> Sequence[PlanDay]:
        return [day for day in self.days if day.date < self.today + timedelta(weeks=1)]

    @property
    def later(self) -> Sequence[PlanDay]:
        return self.days[len(self.soon) :]

    @property
    def today(self) -> date:
        return self.exam - timedelta(days=self.days_left)


def plan_of(student: User, at: datetime, belief: Belief, known: Frozen, course: Course) -> Plan | None:
    """The plan of the steps in play from this moment to the nearest exam; None where no exam is set."""
    today = local_date(at, student.time_zone or settings.TIME_ZONE)
    exam = course.next_exam(today)
    if exam is None:
        return None
    left = (exam - today).days
    skills, items, parameters = course.skills, known.items, known.parameters
    found = review_plan(belief, skills, items, parameters, left, QUESTIONS_A_DAY, HORIZON)
    pace = pace_of(student)
    return Plan(exam, left, pace, [_day(day, today, pace) for day in found])


def pace_of(student: User) -> Pace:
    """The middle one of the times that the student's last questions took, from seen to finished."""
    finished = Question.objects.of(student).filter(finished_at__isnull=False).order_by("-pk")
    rows = finished.values_list("made_at", "finished_at")[:MEASURED_ON]
    took = [(end - start) / MINUTE for start, end in rows if end is not None]
    told = [minutes for minutes in took if minutes <= LONGEST]
    if len(told) < ENOUGH:
        return Pace(USUAL_PACE, False)
    return Pace(min(max(median(told), QUICKEST), SLOWEST), True)


def _day(day: PlannedDay, today: date, pace: Pace) -> PlanDay:
    minutes = ceil(day.questions * pace.minutes)
    return PlanDay(today + timedelta(days=day.away), _by_topic(day.steps), day.questions, minutes)


def _by_topic(steps: Sequence[PlannedStep]) -> Sequence[tuple[str, Sequence[tuple[str, int]]]]:
    """The steps of a day under their topics, the topic of the weakest step first."""
    order = list(dict.fromkeys(SKILLS[step.skill].topic for step in steps))
    listed = sorted(steps, key=lambda step: order.index(SKILLS[step.skill].topic))
    return [
        (topic_title(topic), [(step.skill, step.questions) for step in found])
        for topic, found in groupby(listed, key=lambda step: SKILLS[step.skill].topic)
    ]
