"""A small course and helpers that several tests share."""

from collections.abc import Sequence

import numpy as np

from quizzes.adaptive.items import Item, Items
from quizzes.adaptive.parameters import Parameters
from quizzes.adaptive.state import Strength
from quizzes.adaptive.structure import SkillMap
from quizzes.adaptive.update import Observation, update

LEVELS = ("first_year", "second_year")
COURSE = SkillMap.of((f"{topic}.{skill}", topic) for topic in ("redox", "acid", "mass") for skill in "abcd")
PARAMETERS = Parameters()
ITEMS = Items.cold(dict.fromkeys(COURSE.skills, LEVELS), PARAMETERS)
PLAIN_ITEM = Item(0.0, 0.25)


def fresh(skill_map: SkillMap = COURSE, parameters: Parameters = PARAMETERS) -> Strength:
    return Strength.prior(skill_map, parameters)


def seen(
    skill: str, score: float, day: float = 0.0, item: Item = PLAIN_ITEM, guess: float = 0.02
) -> Observation:
    return Observation(skill, item, score, day, guess)


def after(
    scores: Sequence[tuple[str, float]], parameters: Parameters = PARAMETERS, day: float = 0.0
) -> Strength:
    """A fresh student after these (skill, score)."""
    strength = fresh(parameters=parameters)
    for skill, score in scores:
        strength = update(strength, seen(skill, score, day), parameters)
    return strength


def certain(means: Sequence[float], parameters: Parameters = PARAMETERS, answers: float = 5) -> Strength:
    """A student whose strengths are known almost exactly, every skill practised on day 0."""
    prior = fresh(parameters=parameters)
    size = len(prior.skills)
    return Strength(
        prior.skills, prior.topics, np.array(means, dtype=float), np.eye(size) * 1e-8,
        np.zeros(size), np.full(size, float(answers)), np.zeros(size),
    )  # fmt: skip


def same(first: Strength, second: Strength) -> bool:
    """Whether two strengths are equal bit for bit."""
    return first.to_bytes() == second.to_bytes()
