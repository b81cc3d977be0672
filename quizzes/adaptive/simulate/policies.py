"""Ways to choose the next question, for a whole cohort at once: at random, in turn, greedily, and ours."""

from __future__ import annotations

from abc import ABC, abstractmethod
from dataclasses import replace
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from quizzes.adaptive.batch import Asked, Batch
from quizzes.adaptive.choice import factor
from quizzes.adaptive.history import Table
from quizzes.adaptive.parameters import Parameters
from quizzes.adaptive.simulate.worlds import (
    ITEM_LEVEL,
    ITEM_SKILL,
    ITEMS,
    LEVELS,
    SKILL_MAP,
    SKILL_TOPIC,
    SKILLS,
    TOPICS,
)
from quizzes.adaptive.state import Strength
from quizzes.adaptive.step import SHRINK, Array, Places, expected_success, success

ITEMS_A_SKILL = ITEMS // SKILLS
RUN = 10
"""Questions of a run on the site."""
Marks: TypeAlias = NDArray[np.bool_]
NOT_NOW = 9.0
"""Above every chance: what must not be chosen."""
TO_TOPIC: Array = np.eye(TOPICS)[SKILL_TOPIC] / np.bincount(SKILL_TOPIC)


class Policy(ABC):
    """Chooses an item for each student, sees the scores, and names each student's weakest topic."""

    def __init__(self, count: int, rng: np.random.Generator) -> None:
        self.count, self.rng, self.rows = count, rng, np.arange(count)

    @abstractmethod
    def choose(self, day: float, exam_day: float | None = None) -> Places:
        """An item for each student."""

    @abstractmethod
    def observe(self, items: Places, scores: Array, day: float) -> None:
        """The scores on the chosen items."""

    @abstractmethod
    def topics(self) -> Array:
        """What is believed of each topic [students x topics; chance]."""

    def named(self) -> Places:
        """The topic each student would be told is his weakest; equals are told apart by chance."""
        believed = self.topics() + 1e-9 * self.rng.random((self.count, TOPICS))
        return np.asarray(np.argmin(believed, axis=1))


class Counting(Policy):
    """What the plain ways share: they believe percent correct, (right + 1) / (asked + 2)."""

    def __init__(self, count: int, rng: np.random.Generator) -> None:
        super().__init__(count, rng)
        self.right, self.asked = np.zeros((count, SKILLS)), np.zeros((count, SKILLS))

    def observe(self, items: Places, scores: Array, day: float) -> None:
        self.right[self.rows, ITEM_SKILL[items]] += scores
        self.asked[self.rows, ITEM_SKILL[items]] += 1

    def topics(self) -> Array:
        member = np.eye(TOPICS)[SKILL_TOPIC]
        return np.asarray((self.right @ member + 1) / (self.asked @ member + 2))

    def any_item(self, skill: Places) -> Places:
        """One of the items of each student's skill, at random."""
        return np.asarray(skill * ITEMS_A_SKILL + self.rng.integers(0, ITEMS_A_SKILL, self.count))


class AtRandom(Counting):
    """Any item."""

    def choose(self, day: float, exam_day: float | None = None) -> Places:
        return self.rng.integers(0, ITEMS, self.count)


class InTurn(Counting):
    """One topic after the other, and in each one skill after the other."""

    def choose(self, day: float, exam_day: float | None = None) -> Places:
        turn = self.asked.sum(axis=1).astype(np.int64)
        skill = (turn % TOPICS) * (SKILLS // TOPICS) + (turn // TOPICS) % (SKILLS // TOPICS)
        return self.any_item(skill)


class Greedy(Counting):
    """Always the topic with the least percent correct, and in it the skill with the least."""

    def choose(self, day: float, exam_day: float | None = None) -> Places:
        chance = (self.right + 1) / (self.asked + 2) + 1e-9 * self.rng.random((self.count, SKILLS))
        outside = self.named()[:, None] != SKILL_TOPIC
        return self.any_item(np.argmin(np.where(outside, NOT_NOW, chance), axis=1))


class Ours(Policy):
    """The rules of `choice_run.plan_run` and `choice.choose`, for a cohort: the topics of a run are laid out
    when it begins, in the order of the chain (here that of their numbers); the skill is chosen when asked."""

    def __init__(
        self,
        count: int,
        rng: np.random.Generator,
        parameters: Parameters,
        table: Table | None = None,
    ) -> None:
        super().__init__(count, rng)
        self.parameters = parameters
        self.table = table or cold_table(parameters)
        self.batch = Batch.prior(count, SKILL_MAP, parameters)
        self.recent: list[Places] = []
        self.plan: list[Places] = []
        self.slopes = self.table.slope / np.sqrt(1 + SHRINK * self.table.slope**2 * self.table.variance)
        self.guess = np.full(count, parameters.guess)

    def choose(self, day: float, exam_day: float | None = None) -> Places:
        self.batch.move_to_day(day)
        self.plan = self.plan or self._laid_out(day, exam_day)
        topic = self.plan.pop(0)
        chances = self._drawn_skills(factor(self.batch.covariance))
        skill = self._weakest(chances, self._too_recent(topic), topic, day, exam_day)
        self.recent.append(skill)
        return self._in_band(skill)

    def _laid_out(self, day: float, exam_day: float | None) -> list[Places]:
        """The topics of a run, each from a draw of its own, no skill twice."""
        known, root, topics = len(self.recent), factor(self.batch.covariance), []
        for place in range(RUN):
            closed = self._asked_lately(max(self.parameters.recent, place))
            chances = self._drawn_skills(root)
            topic = np.argmin(np.where(_full(closed), NOT_NOW, chances @ TO_TOPIC), axis=1)
            self.recent.append(self._weakest(chances, closed, topic, day, exam_day))
            topics.append(topic)
        del self.recent[known:]
        return list(np.sort(np.stack(topics), axis=0))

    def _too_recent(self, topic: Places) -> Marks:
        """Skills asked lately; where those are all of a topic, fewer."""
        closed = self._asked_lately(self.parameters.recent)
        for span in range(self.parameters.recent - 1, -1, -1):
            full = _full(closed)[self.rows, topic]
            closed[full] = self._asked_lately(span)[full]
        return closed

    def _weakest(
        self, chances: Array, closed: Marks, topic: Places, day: float, exam_day: float | None
    ) -> Places:
        """The weakest skill of a topic in a draw; never asked ones first, then overdue ones."""
        closed = closed | (topic[:, None] != SKILL_TOPIC)
        for first in (self.batch.answers == 0, self._overdue(day, exam_day)):
            some = (first & ~closed).any(axis=1)
            closed |= np.asarray(some)[:, None] & ~first
        return np.asarray(np.argmin(np.where(closed, NOT_NOW, chances), axis=1))

    def observe(self, items: Places, scores: Array, day: float) -> None:
        table, place = self.table, ITEM_SKILL[items]
        asked = Asked(place, table.difficulty[items], table.variance[items], table.slope[items], self.guess)
        self.batch.answer(asked, scores)

    def topics(self) -> Array:
        spread = np.einsum("nii->ni", self.batch.covariance)
        variance = spread[:, ITEM_SKILL] + self.table.variance
        margin = self.table.slope * (self.batch.mean[:, ITEM_SKILL] - self.table.difficulty)
        chances = expected_success(
            margin, self.table.slope**2 * variance, self.parameters.guess, self.parameters.slip
        )
        return np.asarray(chances.reshape(self.count, TOPICS, -1).mean(axis=2))

    def strengths(self) -> list[Strength]:
        """Each student's strength, as the site would store it."""
        return [self.batch.student(row, SKILL_MAP) for row in range(self.count)]

    def _drawn_skills(self, root: Array) -> Array:
        noise = self.rng.standard_normal((self.count, SKILLS, 1))
        theta = self.batch.mean + (root @ noise)[..., 0]
        margin = self.slopes * (theta[:, ITEM_SKILL] - self.table.difficulty)
        chances = success(margin, self.parameters.guess, self.parameters.slip)
        return np.asarray(chances.reshape(self.count, SKILLS, -1).mean(axis=2))

    def _asked_lately(self, span: int) -> Marks:
        lately = np.zeros((self.count, SKILLS), dtype=bool)
        for skill in self.recent[max(len(self.recent) - span, 0) :]:
            lately[self.rows, skill] = True
        return lately

    def _overdue(self, day: float, exam_day: float | None) -> Marks:
        if exam_day is None:
            return np.zeros((self.count, SKILLS), dtype=bool)
        rested = day - self.batch.last_day
        longest = self.parameters.spacing_share * (exam_day - day)
        return np.asarray((self.batch.last_day >= 0) & (rested > longest))

    def _in_band(self, skill: Places) -> Places:
        mean, variance = self.batch.mean[self.rows, skill], self.batch.covariance[self.rows, skill, skill]
        offered = skill[:, None] * ITEMS_A_SKILL + np.arange(ITEMS_A_SKILL)
        slope = self.table.slope[offered]
        margin = slope * (mean[:, None] - self.table.difficulty[offered])
        doubt = slope**2 * (variance[:, None] + self.table.variance[offered])
        chance = expected_success(margin, doubt, self.parameters.guess, self.parameters.slip)
        away = np.abs(chance - self.parameters.band_centre)
        inside = away <= self.parameters.band_half_width
        order = np.where(inside, self.rng.random(away.shape), 1 + away)
        return np.asarray(offered[self.rows, np.argmin(order, axis=1)])


def _full(closed: Marks) -> Marks:
    """Topics of which every skill is closed [students x topics]."""
    return np.asarray(closed.reshape(len(closed), TOPICS, -1).all(axis=2))


def cold_table(parameters: Parameters) -> Table:
    """The simulated items before any answer: each at the difficulty of its level."""
    levels = np.array([parameters.difficulty_of(level) for level in LEVELS])
    return Table(levels[ITEM_LEVEL], np.full(ITEMS, parameters.item_variance), np.ones(ITEMS))


def without_feedback(parameters: Parameters) -> Parameters:
    """For answers after which students are told nothing: they add no practice."""
    return replace(parameters, gain=0.0, noise_answer=0.0)


PLAIN: dict[str, type[Counting]] = {"random": AtRandom, "in_turn": InTurn, "greedy": Greedy}
