"""`review_plan`: which skills to review on which day up to an exam.

A skill is due on a day when it was never practised or has rested longer than its share of the days
left (the spacing rule of `choice`; Cepeda et al. 2008 for the gaps). Of what is due the weakest comes
first, on every day's own forecast: forgetting as in `move_to_day`, and what practice adds to whatever
the plan has asked before. The topics of a day are mixed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from quizzes.adaptive.errors import require
from quizzes.adaptive.items import Items
from quizzes.adaptive.layout import layout_of
from quizzes.adaptive.parameters import Parameters
from quizzes.adaptive.state import Strength
from quizzes.adaptive.update import move_to_day, practice_gain

MIXING = 0.1
"""A topic's next skill on the same day has to be weaker by this to go before another topic's [chance]."""


@dataclass(frozen=True, slots=True)
class PlannedStep:
    """A skill to review, with so many questions, and the chance of getting one right before that."""

    skill: str
    questions: int
    chance: float


@dataclass(frozen=True, slots=True)
class PlannedDay:
    """What to review `away` days from the first day; never nothing."""

    away: int
    steps: tuple[PlannedStep, ...]

    @property
    def questions(self) -> int:
        return sum(step.questions for step in self.steps)


def review_plan(
    strength: Strength,
    skills: Sequence[str],
    items: Items,
    parameters: Parameters,
    days: int,
    questions: int,
    horizon: int,
) -> tuple[PlannedDay, ...]:
    """The days on which to review and what, from the strength's own day on.

    `days` lie before the exam [days]; each takes at most `questions`; only the first `horizon` days are
    planned. Days on which nothing is due are left out. Raises SteeringError on a negative number.
    """
    for name, number in (("days", days), ("questions", questions), ("horizon", horizon)):
        require(number >= 0, name, number, "must not be negative")
    plan, current = list[PlannedDay](), strength
    for away in range(min(days, horizon)):
        current = move_to_day(current, strength.day + away, parameters)
        steps = _day(current, skills, items, parameters, days - away, questions)
        current = _practised(current, steps, parameters)
        plan += [PlannedDay(away, steps)] if steps else []
    return tuple(plan)


def _day(
    strength: Strength,
    skills: Sequence[str],
    items: Items,
    parameters: Parameters,
    days_left: int,
    questions: int,
) -> tuple[PlannedStep, ...]:
    """The weakest of what is due, until the day is full."""
    chances = expected_chances(strength, items, parameters)
    due = [skill for skill in skills if skill in chances and _is_due(strength, skill, parameters, days_left)]
    steps, room = list[PlannedStep](), questions
    taken = dict.fromkeys(strength.topics, 0)
    topic_of = dict(zip(strength.skills, strength.topics, strict=True))
    while due and room > 0:
        skill = min(due, key=lambda each: chances[each] + MIXING * taken[topic_of[each]])
        count = min(2 if chances[skill] < parameters.weak_below else 1, room)
        steps.append(PlannedStep(skill, count, chances[skill]))
        taken[topic_of[skill]] += 1
        room -= count
        due.remove(skill)
    return tuple(steps)


def expected_chances(strength: Strength, items: Items, parameters: Parameters) -> dict[str, float]:
    """The chance of each skill that has items, at the strength that is expected of it."""
    layout = layout_of(strength.skills, strength.topics, items)
    chances = layout.skill_chances(strength.mean, parameters).tolist()
    return dict(zip(layout.skill_names, chances, strict=True))


def _is_due(strength: Strength, skill: str, parameters: Parameters, days_left: int) -> bool:
    last = float(strength.last_day[strength.index(skill)])
    return last < 0 or strength.day - last > parameters.spacing_share * days_left


def _practised(strength: Strength, steps: Sequence[PlannedStep], parameters: Parameters) -> Strength:
    """The strength after the questions of a day, whatever their answers: what practice itself adds."""
    mean, drift, last_day = strength.mean.copy(), strength.drift.copy(), strength.last_day.copy()
    answers = strength.answers.copy()
    for step in steps:
        place = strength.index(step.skill)
        for _ in range(step.questions):
            gain = float(practice_gain(float(mean[place]), float(answers[place]), parameters))
            mean[place] += gain
            drift[place] += gain
            answers[place] += 1
        last_day[place] = strength.day
    return replace(strength, mean=mean, drift=drift, answers=answers, last_day=last_day)
