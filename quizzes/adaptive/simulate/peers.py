"""The usual methods beside ours: Elo, PFA, BKT, each tuned on the same students as ours is.

Each predicts a score from the answers before it. `Turns` are answers [students x turns] of the
simulated skills and items.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from quizzes.adaptive.history import log_loss
from quizzes.adaptive.simulate.worlds import ITEM_LEVEL, ITEM_SKILL, ITEMS, SKILL_TOPIC, SKILLS, TOPICS
from quizzes.adaptive.step import Array, Places, sigmoid


@dataclass(frozen=True, slots=True, eq=False)
class Turns:
    """Items asked and scores given [students x turns]."""

    items: Places
    scores: Array

    @property
    def skills(self) -> Places:
        return np.asarray(ITEM_SKILL[self.items])


class Elo:
    """Ratings of the student overall and per topic against one of each item; steps shrink as answers come.

    theta += K (y - p), K = start / (1 + slowing n): Pelanek, Applications of the Elo rating system in
    adaptive educational systems, Computers & Education 98 (2016).
    """

    starts, slowings = (0.4, 0.7, 1.0, 1.5), (0.02, 0.05, 0.15)

    def __init__(self) -> None:
        self.start, self.slowing = 0.7, 0.05
        self.difficulty, self.seen = np.zeros(ITEMS), np.zeros(ITEMS)

    def fit(self, turns: Turns) -> Elo:
        """Item ratings from these students, and the steps with the least log-loss on them."""
        pairs = [(start, slowing) for start in self.starts for slowing in self.slowings]
        losses = [log_loss(Elo()._with(*pair).follow(turns, learn=True), turns.scores) for pair in pairs]
        self._with(*pairs[int(np.argmin(losses))]).follow(turns, learn=True)
        return self

    def predict(self, turns: Turns) -> Array:
        return self.follow(turns, learn=False)

    def _with(self, start: float, slowing: float) -> Elo:
        self.start, self.slowing = start, slowing
        return self

    def follow(self, turns: Turns, learn: bool) -> Array:
        """Expected scores; `learn` lets the items' ratings move as well."""
        count, rows = len(turns.items), np.arange(len(turns.items))
        overall, topics, seen = np.zeros(count), np.zeros((count, TOPICS)), np.zeros((count, TOPICS))
        expected = np.zeros(turns.items.shape)
        for turn in range(turns.items.shape[1]):
            item = turns.items[:, turn]
            topic = SKILL_TOPIC[ITEM_SKILL[item]]
            chance = sigmoid(overall + topics[rows, topic] - self.difficulty[item])
            expected[:, turn] = chance
            error = turns.scores[:, turn] - chance
            overall += self._step(turn) * error / 2
            topics[rows, topic] += self._step(seen[rows, topic]) * error
            seen[rows, topic] += 1
            if learn:
                np.add.at(self.difficulty, item, -self._step(self.seen[item]) * error)
                np.add.at(self.seen, item, 1)
        return expected

    def _step(self, seen: Array | float) -> Array:
        return np.asarray(self.start / (1 + self.slowing * np.asarray(seen)))


class PFA:
    """Logistic regression on counts of successes and failures so far, in the skill and, to give it its best
    chance, in the topic and overall; an intercept for each skill and level.

    Pavlik, Cen & Koedinger, Performance factors analysis (2009).
    """

    ridge, rounds = 1.0, 12

    def __init__(self) -> None:
        self.weights = np.zeros(SKILLS + 2 + 6)

    def fit(self, turns: Turns) -> PFA:
        """Ridge-penalised maximum likelihood by Newton's method."""
        features = self.features(turns).reshape(-1, len(self.weights))
        scores = turns.scores.ravel()
        for _ in range(self.rounds):
            chance = sigmoid(features @ self.weights)
            slope = features.T @ (scores - chance) - self.ridge * self.weights
            bend = (features * (chance * (1 - chance))[:, None]).T @ features
            self.weights = self.weights + np.linalg.solve(bend + self.ridge * np.eye(len(slope)), slope)
        return self

    def predict(self, turns: Turns) -> Array:
        return sigmoid(self.features(turns) @ self.weights)

    def features(self, turns: Turns) -> Array:
        """Skill, level, and logarithms of 1 + counts before each answer."""
        shape = turns.items.shape
        found = np.zeros((*shape, len(self.weights)))
        rows, skills = np.arange(shape[0]), turns.skills
        right, wrong = np.zeros((shape[0], SKILLS)), np.zeros((shape[0], SKILLS))
        for turn in range(shape[1]):
            skill, now = skills[:, turn], found[:, turn]
            now[rows, skill] = 1
            now[rows, SKILLS + ITEM_LEVEL[turns.items[:, turn]]] = 1
            same = SKILL_TOPIC[skill][:, None] == SKILL_TOPIC
            for place, count in enumerate((right, wrong)):
                counts = (count[rows, skill], (count * same).sum(axis=1), count.sum(axis=1))
                for kind, number in enumerate(counts):
                    now[:, SKILLS + 2 + 2 * kind + place] = np.log1p(number)
            right[rows, skill] += turns.scores[:, turn]
            wrong[rows, skill] += 1 - turns.scores[:, turn]
        return found


@dataclass(frozen=True, slots=True, eq=False)
class Skills:
    """Parameters of BKT for each skill: known at first, learnt by an answer, guess, slip."""

    known: Array
    learn: Array
    guess: Array
    slip: Array


class BKT:
    """Each skill known or not, a hidden chain of two states for each student and skill, fitted by EM.

    Corbett & Anderson, Knowledge tracing (1995). A score between 0 and 1 counts as that share of a
    right answer. Guess and slip are held below one half, so that known means known.
    """

    rounds, ceiling = 40, 0.45

    def __init__(self, skills: Skills | None = None) -> None:
        each = np.ones(SKILLS)
        self.skills = skills or Skills(0.4 * each, 0.1 * each, 0.2 * each, 0.15 * each)

    def fit(self, turns: Turns) -> BKT:
        """Expectation and maximisation, all skills at once."""
        for _ in range(self.rounds):
            self.skills = self._maximised(turns, *self._smoothed(turns))
        return self

    def predict(self, turns: Turns) -> Array:
        return self._filtered(turns)[0]

    def _likelihood(self, skill: Places, score: Array) -> tuple[Array, Array]:
        slip, guess = self.skills.slip[skill], self.skills.guess[skill]
        return (1 - slip) ** score * slip ** (1 - score), guess**score * (1 - guess) ** (1 - score)

    def _filtered(self, turns: Turns) -> tuple[Array, Array, Array]:
        """Expected scores, and P(known) before and after each answer."""
        rows, found = np.arange(len(turns.items)), np.zeros((3, *turns.items.shape))
        known = np.repeat(self.skills.known[None], len(rows), axis=0)
        for turn in range(turns.items.shape[1]):
            skill, score = turns.skills[:, turn], turns.scores[:, turn]
            before = known[rows, skill]
            slip, guess = self.skills.slip[skill], self.skills.guess[skill]
            if_known, if_not = self._likelihood(skill, score)
            after = before * if_known / (before * if_known + (1 - before) * if_not)
            found[:, :, turn] = before * (1 - slip) + (1 - before) * guess, before, after
            known[rows, skill] = after + (1 - after) * self.skills.learn[skill]
        return found[0], found[1], found[2]

    def _smoothed(self, turns: Turns) -> tuple[Array, Array, Array]:
        """P(known) at each answer from all answers, P(learnt after it), where an answer has a successor."""
        _, _, after = self._filtered(turns)
        rows = np.arange(len(turns.items))
        known, learnt, followed = after.copy(), np.zeros_like(after), np.zeros_like(after)
        later = np.full((len(rows), SKILLS), np.nan)
        for turn in reversed(range(turns.items.shape[1])):
            skill = turns.skills[:, turn]
            future, rate, now = later[rows, skill], self.skills.learn[skill], after[:, turn]
            has = ~np.isnan(future)
            ahead = now + (1 - now) * rate
            by_known = np.where(has, future * now / np.maximum(ahead, 1e-12), now)
            learning = np.where(has, future * (1 - now) * rate / np.maximum(ahead, 1e-12), 0)
            known[:, turn], learnt[:, turn], followed[:, turn] = by_known, learning, has
            later[rows, skill] = by_known
        return known, learnt, followed

    def _maximised(self, turns: Turns, known: Array, learnt: Array, followed: Array) -> Skills:
        skill, score = turns.skills.ravel(), turns.scores.ravel()
        knows, first = known.ravel(), _first_of_skill(turns.skills).ravel()

        def total(values: Array) -> Array:
            return np.bincount(skill, weights=values, minlength=SKILLS).astype(np.float64) + 1e-3

        return Skills(
            np.clip(total(knows * first) / total(first), 0.01, 0.99),
            np.clip(total(learnt.ravel()) / total((1 - knows) * followed.ravel()), 0.001, 0.9),
            np.clip(total((1 - knows) * score) / total(1 - knows), 0.01, self.ceiling),
            np.clip(total(knows * (1 - score)) / total(knows), 0.01, self.ceiling),
        )


def _first_of_skill(skills: Places) -> Array:
    """1 where a student meets a skill for the first time."""
    rows, met = np.arange(len(skills)), np.zeros((len(skills), SKILLS), dtype=bool)
    first = np.zeros(skills.shape)
    for turn in range(skills.shape[1]):
        first[:, turn] = ~met[rows, skills[:, turn]]
        met[rows, skills[:, turn]] = True
    return first
