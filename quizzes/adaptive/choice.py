"""What to ask next: one draw of the strengths, the weakest topic in it, the weakest skill in that.

A draw from the posterior instead of its mean keeps asking about what is unsure as well as about what
is weak, and leaves a topic once it is no longer likely to be the weakest (posterior sampling:
Russo, Simple Bayesian algorithms for best-arm identification, 2016). The draw is part of the answer,
so that a page can show the reason with its own numbers.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np

from quizzes.adaptive.errors import UnknownSkillError, require
from quizzes.adaptive.items import Item, Items
from quizzes.adaptive.layout import layout_of
from quizzes.adaptive.parameters import Parameters
from quizzes.adaptive.state import Strength
from quizzes.adaptive.step import Array, expected_success
from quizzes.adaptive.update import move_to_day

JITTER = 1e-9
FOUNDATION_BELOW = 0.4
"""A skill is only asked once those it rests on have this chance [chance]."""


@dataclass(frozen=True, slots=True)
class Candidate:
    """A question that could be asked: its skill, level, item and guess (1/options of a choice).

    `rests_on` are skills to be able to do first, `stage` is its place along the chain of a run.
    """

    skill: str
    level: str
    item: Item
    guess: float
    rests_on: tuple[str, ...] = ()
    stage: int = 0


@dataclass(frozen=True, slots=True)
class Reason:
    """Why: a code and the numbers its sentence needs.

    `weakest`: topic_chance, skill_chance. `next_weakest`: the same, the weakest topic having been
    asked lately. `rested`: days_rested, days_left. `foundation`: skill_chance of what `topic` rests on.
    """

    code: str
    numbers: Mapping[str, float]


@dataclass(frozen=True, slots=True)
class Choice:
    """The chosen question with the draw it came from and the chance of success expected on it."""

    candidate: Candidate
    topic: str
    topic_draw: Mapping[str, float]
    skill_draw: Mapping[str, float]
    success: float
    reason: Reason


@dataclass(frozen=True, slots=True)
class _Draw:
    topics: dict[str, float]
    skills: dict[str, float]
    topic_of: Mapping[str, str] = field(repr=False)


def choose(
    strength: Strength,
    candidates: Sequence[Candidate],
    recent: Sequence[str],
    items: Items,
    parameters: Parameters,
    rng: np.random.Generator,
    day: float,
    exam_day: float | None = None,
) -> Choice:
    """One of `candidates`, by one draw of the strengths on `day`.

    `recent` are the skills asked so far, oldest first; the last ones are left out. `exam_day` turns
    spacing on. The same `rng` state gives the same choice. Raises SteeringError without candidates,
    UnknownSkillError for one whose skill the strength does not hold.
    """
    require(len(candidates) > 0, "candidates", list(candidates), "must hold at least one question")
    current = move_to_day(strength, day, parameters)
    draw = draw_chances(current, items, parameters, rng)
    fresh = not_recent(candidates, recent, parameters.recent)
    topic, code = _topic(draw, candidates, fresh)
    in_topic = [each for each in fresh if draw.topic_of[each.skill] == topic]
    skill, reason = _skill(current, draw, topic, code, in_topic, parameters, exam_day)
    skill, reason = _foundation(current, items, parameters, skill, fresh, reason)
    candidate, chance = _in_band(current, [each for each in fresh if each.skill == skill], parameters, rng)
    return Choice(candidate, draw.topic_of[skill], draw.topics, draw.skills, chance, reason)


def draw_chances(strength: Strength, items: Items, parameters: Parameters, rng: np.random.Generator) -> _Draw:
    """Chances of every topic and skill in one draw of the strengths."""
    layout = layout_of(strength.skills, strength.topics, items)
    drawn = strength.mean + factor(strength.covariance) @ rng.standard_normal(len(strength.skills))
    chances = layout.item_chances(drawn, parameters)
    return _Draw(
        dict(zip(layout.topic_names, (chances @ layout.to_topic).tolist(), strict=True)),
        dict(zip(layout.skill_names, (chances @ layout.to_skill).tolist(), strict=True)),
        layout.topic_of,
    )


def factor(covariance: Array) -> Array:
    """Lower Cholesky factor [logit] of covariances [logit²], also stacked; with a hair against rounding."""
    lower = np.linalg.cholesky(covariance + _hair(covariance.shape[-1]))
    return np.asarray(lower, dtype=np.float64)


@lru_cache(maxsize=16)
def _hair(size: int) -> Array:
    return JITTER * np.eye(size)


def not_recent(candidates: Sequence[Candidate], recent: Sequence[str], span: int) -> list[Candidate]:
    """The candidates whose skill is not among the last `span` asked; if none is left, fewer are left out."""
    for length in range(min(span, len(recent)), 0, -1):
        lately = set(recent[len(recent) - length :])
        fresh = [each for each in candidates if each.skill not in lately]
        if fresh:
            return fresh
    return list(candidates)


def _topic(draw: _Draw, candidates: Sequence[Candidate], fresh: Sequence[Candidate]) -> tuple[str, str]:
    askable = {topic_in(draw, skill) for skill in {each.skill for each in candidates}}
    open_now = {topic_in(draw, skill) for skill in {each.skill for each in fresh}}
    weakest = min(sorted(open_now), key=draw.topics.__getitem__)
    lowest = min(sorted(askable), key=draw.topics.__getitem__)
    return weakest, "weakest" if weakest == lowest else "next_weakest"


def topic_in(draw: _Draw, skill: str) -> str:
    """Topic of a skill that the draw holds. Raises UnknownSkillError."""
    if skill not in draw.skills:
        raise UnknownSkillError(skill)
    return draw.topic_of[skill]


def _skill(
    strength: Strength,
    draw: _Draw,
    topic: str,
    code: str,
    candidates: Sequence[Candidate],
    parameters: Parameters,
    exam_day: float | None,
) -> tuple[str, Reason]:
    skills = sorted({each.skill for each in candidates})
    skills = [skill for skill in skills if not strength.answers[strength.index(skill)]] or skills
    rested = _overdue(strength, skills, parameters, exam_day)
    if rested and exam_day is not None:
        skill = min(rested, key=draw.skills.__getitem__)
        return skill, Reason("rested", {"days_rested": rested[skill], "days_left": exam_day - strength.day})
    skill = min(skills, key=draw.skills.__getitem__)
    return skill, Reason(code, {"topic_chance": draw.topics[topic], "skill_chance": draw.skills[skill]})


def _overdue(
    strength: Strength, skills: Sequence[str], parameters: Parameters, exam_day: float | None
) -> dict[str, float]:
    """Practised skills that have rested longer than their share of the days left, with those days."""
    if exam_day is None or exam_day <= strength.day:
        return {}
    longest = parameters.spacing_share * (exam_day - strength.day)
    last = {skill: float(strength.last_day[strength.index(skill)]) for skill in skills}
    rested = {skill: strength.day - day for skill, day in last.items() if day >= 0}
    return {skill: days for skill, days in rested.items() if days > longest}


def _foundation(
    strength: Strength,
    items: Items,
    parameters: Parameters,
    skill: str,
    fresh: Sequence[Candidate],
    reason: Reason,
) -> tuple[str, Reason]:
    """Go down to a skill that `skill` rests on while one of those is askable and not yet there."""
    rests_on = {each.skill: each.rests_on for each in fresh}
    if not rests_on[skill]:
        return skill, reason
    layout = layout_of(strength.skills, strength.topics, items)
    chances = layout.skill_chances(strength.mean, parameters).tolist()
    chance = dict(zip(layout.skill_names, chances, strict=True))
    seen = {skill}
    while missing := [
        base for base in rests_on[skill]
        if base in rests_on and base not in seen and chance[base] < FOUNDATION_BELOW
    ]:  # fmt: skip
        skill = min(missing, key=chance.__getitem__)
        seen.add(skill)
        reason = Reason("foundation", {"skill_chance": chance[skill]})
    return skill, reason


def _in_band(
    strength: Strength, candidates: Sequence[Candidate], parameters: Parameters, rng: np.random.Generator
) -> tuple[Candidate, float]:
    """A candidate whose chance of success lies in the band, at random; else the one nearest to it."""
    chances = [candidate_success(strength, each, parameters) for each in candidates]
    distance = [abs(chance - parameters.band_centre) for chance in chances]
    inside = [place for place, away in enumerate(distance) if away <= parameters.band_half_width]
    place = inside[int(rng.integers(len(inside)))] if inside else int(np.argmin(distance))
    return candidates[place], chances[place]


def candidate_success(strength: Strength, candidate: Candidate, parameters: Parameters) -> float:
    """Expected chance of a right answer to `candidate`, doubt about strength and item included [chance]."""
    place, item = strength.index(candidate.skill), candidate.item
    margin = item.discrimination * (float(strength.mean[place]) - item.difficulty)
    variance = item.discrimination**2 * (float(strength.covariance[place, place]) + item.variance)
    return float(expected_success(margin, variance, candidate.guess, parameters.slip))
