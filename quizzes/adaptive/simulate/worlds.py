"""Simulated students: who they are, how they answer, what practice and time do to them.

25 skills, 5 a topic; two levels of 3 items each, so 150 items; classes of 30 share a topic effect. A
topic's true chance is the expected score over its items. `a ± b` below is a normal of mean a, spread b.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from dataclasses import dataclass

import numpy as np

from quizzes.adaptive.errors import SteeringError
from quizzes.adaptive.step import Array, Places, sigmoid
from quizzes.adaptive.structure import SkillMap

TOPICS, SKILLS_A_TOPIC, ITEMS_A_LEVEL, CLASS_SIZE = 5, 5, 3, 30
SKILLS = TOPICS * SKILLS_A_TOPIC
LEVELS = ("first_year", "second_year")
SKILL_MAP = SkillMap.of(
    (f"topic{topic}.skill{skill}", f"topic{topic}")
    for topic in range(TOPICS)
    for skill in range(SKILLS_A_TOPIC)
)
ITEM_SKILL: Places = np.repeat(np.arange(SKILLS), len(LEVELS) * ITEMS_A_LEVEL)
ITEM_LEVEL: Places = np.tile(np.repeat(np.arange(len(LEVELS)), ITEMS_A_LEVEL), SKILLS)
ITEMS = len(ITEM_SKILL)
SKILL_TOPIC: Places = np.repeat(np.arange(TOPICS), SKILLS_A_TOPIC)
SIDE: Array = np.where(ITEM_LEVEL == 0, -1.0, 1.0)


class World(ABC):
    """A cohort of `count` students with their items, both drawn from `rng`."""

    def __init__(self, count: int, rng: np.random.Generator) -> None:
        self.count = count
        self.rows = np.arange(count)
        self.classes = self.rows // CLASS_SIZE

    @abstractmethod
    def chances(self) -> Array:
        """Expected score of each student on each item now [students x items]."""

    @abstractmethod
    def answer(self, items: Places, rng: np.random.Generator) -> Array:
        """A score for each student's item [students]."""

    @abstractmethod
    def practise(self, items: Places, day: float, rng: np.random.Generator) -> None:
        """What one answer with feedback does."""

    @abstractmethod
    def rest(self, days: float, rng: np.random.Generator) -> None:
        """What `days` without practice do."""

    def topic_truth(self) -> Array:
        """True chance of each topic [students x topics]."""
        return np.asarray(self.chances().reshape(self.count, TOPICS, -1).mean(axis=2))

    def class_effect(self, spread: float, rng: np.random.Generator) -> Array:
        """An effect each class shares, for each skill of a topic the same [students x skills]."""
        each = rng.normal(0, spread, (self.classes[-1] + 1, TOPICS))
        return np.asarray(each[self.classes][:, SKILL_TOPIC])


class Own(World):
    """Logistic students: theta = .3 + 0 ± 1 + topic ± .6 + class and topic ± .3 + skill ± .5;
    b = ∓ .7 by level ± .5. An answer adds .45 sigmoid(2.2 - theta); gains fade over 60 days."""

    fading = 60.0

    def __init__(self, count: int, rng: np.random.Generator) -> None:
        super().__init__(count, rng)
        self.difficulty = 0.7 * SIDE + rng.normal(0, 0.5, ITEMS)
        self.base = 0.3 + rng.normal(0, 1, (count, 1)) + self.class_effect(0.3, rng)
        self.base = self.base + rng.normal(0, 0.6, (count, TOPICS))[:, SKILL_TOPIC]
        self.base = self.base + rng.normal(0, 0.5, (count, SKILLS))
        self.gained = np.zeros((count, SKILLS))

    def chances(self) -> Array:
        return sigmoid((self.base + self.gained)[:, ITEM_SKILL] - self.difficulty)

    def chance(self, items: Places) -> Array:
        skills = ITEM_SKILL[items]
        theta = self.base[self.rows, skills] + self.gained[self.rows, skills]
        return sigmoid(theta - self.difficulty[items])

    def answer(self, items: Places, rng: np.random.Generator) -> Array:
        return (rng.random(self.count) < self.chance(items)).astype(float)

    def practise(self, items: Places, day: float, rng: np.random.Generator) -> None:
        skills = ITEM_SKILL[items]
        theta = self.base[self.rows, skills] + self.gained[self.rows, skills]
        self.gained[self.rows, skills] += 0.45 * sigmoid(2.2 - theta) * self.share(items)

    def share(self, items: Places) -> Array:
        """How much of the full gain an item brings."""
        return np.ones(self.count)

    def rest(self, days: float, rng: np.random.Generator) -> None:
        self.gained *= np.exp(-days / self.fading)


class OwnBand(Own):
    """As `Own`, but practice helps most near 70 % success: gain x exp(-((p - .7) / .2)² / 2)."""

    def share(self, items: Places) -> Array:
        return np.asarray(np.exp(-(((self.chance(items) - 0.7) / 0.2) ** 2) / 2))


@dataclass(frozen=True, slots=True)
class Stages:
    """Spreads of the log-odds of knowing a skill in `Stepwise`."""

    overall: float = 1.2
    class_topic: float = 0.4
    topic: float = 0.9
    skill: float = 0.5


class Stepwise(World):
    """Each skill is known or not, by log-odds student ± 1.2 + class and topic ± .4 + topic ± .9 + skill ± .5;
    guess .12-.30 and slip .03-.10 at the first level, .03-.15 and .12-.28 at the second. An answer
    makes an unknown skill known with its chance of .05-.18; a day loses a known one with .005."""

    forgetting = 0.005
    spreads = Stages()

    def __init__(self, count: int, rng: np.random.Generator) -> None:
        super().__init__(count, rng)
        first = ITEM_LEVEL == 0
        self.guess = np.where(first, rng.uniform(0.12, 0.30, ITEMS), rng.uniform(0.03, 0.15, ITEMS))
        self.slip = np.where(first, rng.uniform(0.03, 0.10, ITEMS), rng.uniform(0.12, 0.28, ITEMS))
        self.offset = rng.normal(0, self.spreads.skill, SKILLS)
        self.learning = rng.uniform(0.05, 0.18, SKILLS)
        odds = rng.normal(0, self.spreads.overall, (count, 1)) + self.class_effect(
            self.spreads.class_topic, rng
        )
        odds = odds + rng.normal(0, self.spreads.topic, (count, TOPICS))[:, SKILL_TOPIC] + self.offset
        self.known = rng.random((count, SKILLS)) < sigmoid(odds)

    def chances(self) -> Array:
        return np.where(self.known[:, ITEM_SKILL], 1 - self.slip, self.guess)

    def answer(self, items: Places, rng: np.random.Generator) -> Array:
        known = self.known[self.rows, ITEM_SKILL[items]]
        chance = np.where(known, 1 - self.slip[items], self.guess[items])
        return (rng.random(self.count) < chance).astype(float)

    def practise(self, items: Places, day: float, rng: np.random.Generator) -> None:
        skills = ITEM_SKILL[items]
        self.known[self.rows, skills] |= rng.random(self.count) < self.learning[skills]

    def rest(self, days: float, rng: np.random.Generator) -> None:
        kept = (1 - self.forgetting) ** days
        self.known &= rng.random(self.known.shape) < kept


class Misfit(World):
    """What our model does not assume: theta = .3 + 1.2 x correlated topics + class and topic ± .35 + .4 t(4)
    a skill; the score is the mean of two steps at ± .5; discrimination exp(± .3), b = ∓ .6 ± .8, guess
    0-.15, slip .02-.10. An answer adds .2 exp(± .5) of the student's own, a tenth of it to the rest of
    the topic; what was gained decays over 14 days, 1.5 times as slowly after each spaced repetition."""

    steps = (-0.5, 0.5)
    fading, strengthening, spill = 14.0, 1.5, 0.1

    def __init__(self, count: int, rng: np.random.Generator) -> None:
        super().__init__(count, rng)
        self.slope = np.exp(rng.normal(0, 0.3, ITEMS))
        self.difficulty = 0.6 * SIDE + rng.normal(0, 0.8, ITEMS)
        self.guess, self.slip = rng.uniform(0, 0.15, ITEMS), rng.uniform(0.02, 0.10, ITEMS)
        self.correlation = random_correlation(rng)
        topics = rng.multivariate_normal(np.zeros(TOPICS), self.correlation, count)
        self.base = 0.3 + 1.2 * topics[:, SKILL_TOPIC] + self.class_effect(0.35, rng)
        self.base = self.base + 0.4 * rng.standard_t(4, (count, SKILLS))
        self.gain = 0.2 * np.exp(rng.normal(0, 0.5, count))
        self.gained = np.zeros((count, SKILLS))
        self.lasting = np.full((count, SKILLS), self.fading)
        self.practised = np.full((count, SKILLS), -np.inf)

    def step_chances(self, theta: Array, items: Places | slice) -> list[Array]:
        """Chance of each of the two steps of an item at strength `theta` [logit]."""
        guess, room = self.guess[items], 1 - self.guess[items] - self.slip[items]
        margins = [self.slope[items] * (theta - self.difficulty[items] - step) for step in self.steps]
        return [guess + room * sigmoid(margin) for margin in margins]

    def chances(self) -> Array:
        first, second = self.step_chances((self.base + self.gained)[:, ITEM_SKILL], slice(None))
        return (first + second) / 2

    def answer(self, items: Places, rng: np.random.Generator) -> Array:
        skills = ITEM_SKILL[items]
        theta = self.base[self.rows, skills] + self.gained[self.rows, skills]
        steps = [rng.random(self.count) < chance for chance in self.step_chances(theta, items)]
        return np.asarray(np.mean(steps, axis=0), dtype=np.float64)

    def practise(self, items: Places, day: float, rng: np.random.Generator) -> None:
        skills = ITEM_SKILL[items]
        same = SKILL_TOPIC[skills][:, None] == SKILL_TOPIC
        self.gained += self.spill * self.gain[:, None] * same
        self.gained[self.rows, skills] += (1 - self.spill) * self.gain
        last = self.practised[self.rows, skills]
        spaced = np.isfinite(last) & (day - last >= 1)
        self.lasting[self.rows, skills] *= np.where(spaced, self.strengthening, 1.0)
        self.practised[self.rows, skills] = day

    def rest(self, days: float, rng: np.random.Generator) -> None:
        self.gained *= np.exp(-days / self.lasting)


def random_correlation(rng: np.random.Generator) -> Array:
    """Correlations between topics, about .5: one common factor with squared loadings from .3 to .7."""
    loading = np.sqrt(rng.uniform(0.3, 0.7, TOPICS))
    matrix: Array = np.outer(loading, loading)
    np.fill_diagonal(matrix, 1.0)
    return np.asarray(matrix)


WORLDS: dict[str, type[World]] = {"own": Own, "own_band": OwnBand, "stepwise": Stepwise, "misfit": Misfit}


def world(name: str, count: int, rng: np.random.Generator) -> World:
    """`count` students of the named world with items of their own. Raises SteeringError."""
    if name not in WORLDS:
        raise SteeringError("learners", name, f"must be among {', '.join(WORLDS)}")
    return WORLDS[name](count, rng)
