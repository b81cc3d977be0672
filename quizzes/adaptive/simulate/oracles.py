"""The best any method could do on the same answers: the posterior under the true items and spreads.

For `Own` our own step with the truth put in; for `Misfit` the same with the exact likelihood of its
two-step scores; for `Stepwise` exact sums over a grid. What stays approximate is named beside each.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from quizzes.adaptive.errors import SteeringError
from quizzes.adaptive.simulate.worlds import (
    ITEM_SKILL,
    SKILL_TOPIC,
    SKILLS,
    TOPICS,
    Misfit,
    Own,
    Stepwise,
    World,
)
from quizzes.adaptive.step import NODES, WEIGHTS, Array, Places, sigmoid

GRID = np.linspace(-5.0, 5.0, 41)
OVERALL_GRID = np.linspace(-3.6, 3.6, 19)
T4_VARIANCE = 2.0
"""Variance of Student's t with 4 degrees of freedom: 4 / (4 - 2)."""


def predict(world: World, items: Places, scores: Array) -> Array:
    """Expected score of each answer from those before it [students x turns]. Raises SteeringError."""
    if isinstance(world, Stepwise):
        return _stepwise(world, items, scores)
    if isinstance(world, Misfit):
        return _gaussian(0.3, _misfit_covariance(world), items, scores, _misfit_chances(world))
    if isinstance(world, Own):
        return _gaussian(0.3, _own_covariance(), items, scores, _own_chances(world))
    raise SteeringError("learners", type(world).__name__, "must have an oracle")


ScoreChances = Callable[[Places, Array], tuple[Array, Array]]
"""Items [students] and strengths [students x nodes] to P(score = 0) and P(score = 1)."""


def _own_covariance() -> Array:
    same = SKILL_TOPIC[:, None] == SKILL_TOPIC
    return np.asarray(1.0 + (0.6**2 + 0.3**2) * same + 0.5**2 * np.eye(SKILLS))


def _misfit_covariance(world: Misfit) -> Array:
    """The t(4) part of a skill is taken as a Gaussian of the same variance."""
    same = SKILL_TOPIC[:, None] == SKILL_TOPIC
    topics = 1.2**2 * world.correlation[np.ix_(SKILL_TOPIC, SKILL_TOPIC)]
    return np.asarray(topics + 0.35**2 * same + 0.4**2 * T4_VARIANCE * np.eye(SKILLS))


def _own_chances(world: Own) -> ScoreChances:
    def chances(items: Places, theta: Array) -> tuple[Array, Array]:
        right = sigmoid(theta - world.difficulty[items][:, None])
        return 1 - right, right

    return chances


def _misfit_chances(world: Misfit) -> ScoreChances:
    def chances(items: Places, theta: Array) -> tuple[Array, Array]:
        first, second = (steps.T for steps in world.step_chances(theta.T, items))
        return (1 - first) * (1 - second), first * second

    return chances


def _gaussian(mean: float, prior: Array, items: Places, scores: Array, chances: ScoreChances) -> Array:
    """Assumed-density filtering with the true likelihood, integrated over 11 nodes."""
    count, rows = len(items), np.arange(len(items))
    means, covariances = np.full((count, SKILLS), mean), np.repeat(prior[None], count, axis=0)
    expected = np.zeros(items.shape)
    for turn in range(items.shape[1]):
        item = items[:, turn]
        place = ITEM_SKILL[item]
        centre, column = means[rows, place], covariances[rows, place]
        variance = column[rows, place]
        theta = centre[:, None] + np.sqrt(variance)[:, None] * NODES
        zero, full = chances(item, theta)
        half = 1 - zero - full
        expected[:, turn] = (full + half / 2) @ WEIGHTS
        score = scores[:, turn, None]
        mass = WEIGHTS * np.where(score == 1, full, np.where(score == 0, zero, half))
        mass /= mass.sum(axis=1, keepdims=True)
        new_mean = (mass * theta).sum(axis=1)
        new_variance = (mass * (theta - new_mean[:, None]) ** 2).sum(axis=1)
        column = column / variance[:, None]
        means += column * (new_mean - centre)[:, None]
        scaled = column * (variance - new_variance)[:, None]
        covariances -= column[:, :, None] * scaled[:, None, :]
    return expected


def _stepwise(world: Stepwise, items: Places, scores: Array) -> Array:
    """Exact up to the grids: log-odds u of a topic given the student's level s; skills known given u."""
    spreads = world.spreads
    level = _normalised(np.exp(-((OVERALL_GRID / spreads.overall) ** 2) / 2))
    around = np.hypot(spreads.topic, spreads.class_topic)
    given = np.exp(-(((GRID[None, :] - OVERALL_GRID[:, None]) / around) ** 2) / 2)
    given /= given.sum(axis=1, keepdims=True)
    knows = sigmoid(GRID[:, None] + world.offset)
    ratio, expected, rows = np.ones((len(items), SKILLS)), np.zeros(items.shape), np.arange(len(items))
    for turn in range(items.shape[1]):
        item = items[:, turn]
        skill = ITEM_SKILL[item]
        known = _known(skill, ratio, level, given, knows)
        right_if_known, right_if_not = 1 - world.slip[item], world.guess[item]
        expected[:, turn] = known * right_if_known + (1 - known) * right_if_not
        right = scores[:, turn] == 1
        ratio[rows, skill] *= np.where(
            right, right_if_known / right_if_not, (1 - right_if_known) / (1 - right_if_not)
        )
    return expected


def _known(skill: Places, ratio: Array, level: Array, given: Array, knows: Array) -> Array:
    """P(known) of one skill for each student, from the likelihood ratios of all skills."""
    rows = np.arange(len(skill))
    terms = 1 + knows[None] * (ratio[:, None, :] - 1)
    by_topic = terms.reshape(len(skill), len(GRID), TOPICS, -1).prod(axis=3)
    evidence = np.einsum("su,nut->nst", given, by_topic)
    topic = SKILL_TOPIC[skill]
    others = evidence.prod(axis=2) / evidence[rows, :, topic]
    weight = (level * others) @ given * by_topic[rows, :, topic]
    knowing = knows[:, skill].T
    share = knowing * ratio[rows, skill][:, None] / terms[rows, :, skill]
    return np.asarray((weight * share).sum(axis=1) / weight.sum(axis=1))


def _normalised(weights: Array) -> Array:
    return np.asarray(weights / weights.sum())
