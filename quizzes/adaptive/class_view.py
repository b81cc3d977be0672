"""Many students pooled: a class's chances per topic with their interval, and which topic is its weakest."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from quizzes.adaptive.choice import factor
from quizzes.adaptive.class_effect import class_effect, shared_map
from quizzes.adaptive.items import Items
from quizzes.adaptive.layout import layout_of
from quizzes.adaptive.parameters import Parameters
from quizzes.adaptive.report import (
    Chance,
    interval,
    leading_probability,
    normals,
    smallest_set,
    topic_answers,
)
from quizzes.adaptive.state import Strength
from quizzes.adaptive.step import Array

PAIRS = 64
ENOUGH_STUDENTS, ENOUGH_ANSWERS = 3, 30
POSSIBLE = (0.001, 0.999)


@dataclass(frozen=True, slots=True)
class ClassView:
    """Chances of a class per topic, pooled; `weakest` and `probability` as in `Weak`.

    `sure` tells whether one topic may be named as the class's weakest. Without `enough` answers none is.
    """

    topics: Mapping[str, Chance]
    weakest: tuple[str, ...]
    probability: float
    enough: bool
    sure: bool
    leading: Mapping[str, float]


def class_view(strengths: Sequence[Strength], items: Items, parameters: Parameters) -> ClassView:
    """The class's mean chance per topic with its 90 % interval, and which topic is its weakest."""
    layout = layout_of(*shared_map(strengths), items)
    draws = _class_draws(strengths, items, parameters)
    leading = leading_probability(draws)
    weakest, probability = smallest_set(layout.topic_names, leading, parameters.class_sure)
    answers = class_answers(strengths)
    enough = len(strengths) >= ENOUGH_STUDENTS and sum(answers.values()) >= ENOUGH_ANSWERS
    low, high = interval(draws)
    rows = zip(layout.topic_names, draws.mean(axis=0).tolist(), low.tolist(), high.tolist(), strict=True)
    return ClassView(
        {name: Chance(mean, start, end, answers[name]) for name, mean, start, end in rows},
        weakest,
        probability,
        enough,
        enough and len(weakest) == 1 and probability > parameters.class_sure,
        dict(zip(layout.topic_names, leading.tolist(), strict=True)),
    )


def class_answers(strengths: Sequence[Strength]) -> dict[str, int]:
    """First attempts of all students in each topic."""
    totals = dict.fromkeys(strengths[0].topic_names, 0)
    for strength in strengths:
        for topic, count in topic_answers(strength).items():
            totals[topic] += count
    return totals


def _class_draws(strengths: Sequence[Strength], items: Items, parameters: Parameters) -> Array:
    """Draws of the mean chance per topic: class effect and shared error are the same for all in a draw."""
    layout = layout_of(*shared_map(strengths), items)
    theta, shared = class_thetas(strengths, len(layout.topic_names), parameters)
    chances = layout.topic_chances(theta, parameters).mean(axis=0)
    return np.asarray(np.clip(chances + parameters.shared_error * shared, *POSSIBLE))


def class_thetas(strengths: Sequence[Strength], topics: int, parameters: Parameters) -> tuple[Array, Array]:
    """Draws of every student's strengths [students x draws x skills; logit], with the class's effect in
    them, and of the standard normal error that all share in a topic [draws x topics]."""
    effect = class_effect(strengths, parameters)
    covariances = np.stack([each.covariance for each in strengths])
    count, effects = len(effect.skills), effect.root.shape[1]
    noise = normals(PAIRS, effects + topics + len(strengths) * count)
    common, shared, own = np.split(noise, [effects, effects + topics], axis=1)
    pull = effect.pull + np.sqrt(parameters.inflation) * common @ effect.root.T
    means = np.stack([each.mean for each in strengths])[:, None, :] + pull @ covariances
    roots = factor(parameters.inflation * covariances)
    own = own.reshape(-1, len(strengths), count).transpose(1, 0, 2)
    return means + own @ roots.transpose(0, 2, 1), shared
