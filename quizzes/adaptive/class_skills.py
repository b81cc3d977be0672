"""The skills of a class, pooled over its students: which are weak, and how sure that is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from quizzes.adaptive.class_effect import shared_map
from quizzes.adaptive.class_view import ENOUGH_STUDENTS, POSSIBLE, class_thetas
from quizzes.adaptive.items import Items
from quizzes.adaptive.layout import Layout, layout_of
from quizzes.adaptive.parameters import Parameters
from quizzes.adaptive.report import Chance, interval, probability_below
from quizzes.adaptive.state import Strength
from quizzes.adaptive.step import Array

ENOUGH_ON_SKILL = 10
"""First attempts of the whole class on one skill before anything is claimed of it."""


@dataclass(frozen=True, slots=True)
class ClassSkill:
    """One skill of a class: its mean chance, P(that chance < weak_below), and how many students tried it.

    `is_weak` only on `enough` answers of enough students, where that probability is above `weak_sure`.
    """

    skill: str
    chance: Chance
    below: float
    students: int
    enough: bool
    is_weak: bool


def class_skills(
    strengths: Sequence[Strength], items: Items, parameters: Parameters
) -> tuple[ClassSkill, ...]:
    """Every skill of the class, the weakest first. Raises SteeringError for a class of nobody."""
    layout = layout_of(*shared_map(strengths), items)
    draws = _skill_draws(strengths, layout, parameters)
    low, high = interval(draws)
    below = probability_below(draws, parameters.weak_below)
    counts = np.stack([each.answers for each in strengths])
    place_of = {skill: place for place, skill in enumerate(strengths[0].skills)}
    found = []
    for column, skill in enumerate(layout.skill_names):
        tried = counts[:, place_of[skill]]
        mean, ends = float(draws[:, column].mean()), (float(low[column]), float(high[column]))
        found.append(
            _skill(skill, Chance(mean, *ends, int(tried.sum())), float(below[column]), tried, parameters)
        )
    return tuple(sorted(found, key=lambda each: each.chance.mean))


def _skill(skill: str, chance: Chance, below: float, tried: Array, parameters: Parameters) -> ClassSkill:
    students = int(np.count_nonzero(tried))
    enough = chance.answers >= ENOUGH_ON_SKILL and students >= ENOUGH_STUDENTS
    return ClassSkill(skill, chance, below, students, enough, enough and below > parameters.weak_sure)


def _skill_draws(strengths: Sequence[Strength], layout: Layout, parameters: Parameters) -> Array:
    """Draws of the class's mean chance per skill [draws x skills], each with an error all share in it."""
    theta, shared = class_thetas(strengths, len(layout.skill_names), parameters)
    chances = layout.skill_chances(theta, parameters).mean(axis=0)
    return np.asarray(np.clip(chances + parameters.shared_error_skill * shared, *POSSIBLE))
