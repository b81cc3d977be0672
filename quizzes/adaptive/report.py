"""What a strength means in chances: per topic and skill with a 90 % interval, and which topic is weak."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from math import erf, sqrt

import numpy as np

from quizzes.adaptive.choice import factor
from quizzes.adaptive.items import Items
from quizzes.adaptive.layout import Layout, layout_of
from quizzes.adaptive.parameters import Parameters
from quizzes.adaptive.state import Strength
from quizzes.adaptive.step import Array, logit, sigmoid

PAIRS = 128
SEED = 20_260_131
NINETY = 1.6448536269514722
"""Standard normal quantile of 95 %: a central interval of 90 %."""
ENDS = np.array([[-NINETY], [NINETY]])
LEADING_SET = 0.8


@dataclass(frozen=True, slots=True)
class Chance:
    """Chance of getting a typical question right now, its 90 % interval and the first attempts behind it."""

    mean: float
    low: float
    high: float
    answers: int


@dataclass(frozen=True, slots=True)
class Weak:
    """What may be said of a student's weak topics.

    `flagged` topics are weak with enough certainty; `weakest` holds one topic if that is likely
    enough, else the smallest set that holds the weakest with 80 %, and `probability` is that set's.
    `below` is P(chance < weak_below) and `leading` P(weakest) of each topic. Without `enough` answers
    nothing is flagged.
    """

    flagged: tuple[str, ...]
    weakest: tuple[str, ...]
    probability: float
    enough: bool
    below: Mapping[str, float]
    leading: Mapping[str, float]


@lru_cache(maxsize=16)
def normals(pairs: int, size: int) -> Array:
    """The same standard normal draws for every report, each with its mirror image [2 pairs x size]."""
    half = np.random.default_rng(SEED).standard_normal((pairs, size))
    both = np.concatenate([half, -half])
    both.setflags(write=False)
    return both


def sampled_strengths(strength: Strength, parameters: Parameters) -> Array:
    """Draws of the strengths [draws x skills; logit] with the variance inflated as reports do."""
    root = factor(parameters.inflation * strength.covariance)
    return np.asarray(strength.mean + normals(PAIRS, len(strength.skills)) @ root.T)


def topic_chances(strength: Strength, items: Items, parameters: Parameters) -> dict[str, Chance]:
    """Chance and 90 % interval of each topic that has items, in the order of topics."""
    layout = layout_of(strength.skills, strength.topics, items)
    draws = layout.topic_chances(sampled_strengths(strength, parameters), parameters)
    return _chances(layout.topic_names, draws, topic_answers(strength))


def skill_chances(strength: Strength, items: Items, parameters: Parameters) -> dict[str, Chance]:
    """Chance and 90 % interval of each skill that has items, in the order of skills."""
    layout = layout_of(strength.skills, strength.topics, items)
    draws = layout.skill_chances(sampled_strengths(strength, parameters), parameters)
    counts = dict(zip(strength.skills, strength.answers.astype(int).tolist(), strict=True))
    return _chances(layout.skill_names, draws, counts)


def topic_answers(strength: Strength) -> dict[str, int]:
    """First attempts in each topic."""
    counts = dict.fromkeys(strength.topic_names, 0)
    for topic, count in zip(strength.topics, strength.answers.tolist(), strict=True):
        counts[topic] += int(count)
    return counts


def _chances(names: tuple[str, ...], draws: Array, answers: Mapping[str, int]) -> dict[str, Chance]:
    low, high = interval(draws)
    rows = zip(names, draws.mean(axis=0).tolist(), low.tolist(), high.tolist(), strict=True)
    return {name: Chance(mean, start, end, answers[name]) for name, mean, start, end in rows}


def interval(draws: Array) -> tuple[Array, Array]:
    """Ends of the 90 % interval of each column of chances, by a Gaussian on their logits."""
    centre, spread = _moments(draws)
    low, high = sigmoid(centre + ENDS * spread)
    return low, high


def _moments(draws: Array) -> tuple[Array, Array]:
    logits = logit(draws)
    centre = logits.mean(axis=0)
    return centre, np.sqrt(np.square(logits - centre).mean(axis=0))


def probability_below(draws: Array, threshold: float) -> Array:
    """P(chance < threshold) of each column of chances, by a Gaussian on their logits."""
    centre, spread = _moments(draws)
    distance = (logit(threshold) - centre) / np.maximum(spread, 1e-12)
    return np.array([0.5 * (1 + erf(each / sqrt(2))) for each in distance.tolist()])


def leading_probability(draws: Array) -> Array:
    """P(weakest) of each column: the share of draws in which it is the lowest."""
    lowest = draws.argmin(axis=1)
    return np.asarray(np.bincount(lowest, minlength=draws.shape[1]) / len(draws))


def smallest_set(names: tuple[str, ...], leading: Array, sure: float) -> tuple[tuple[str, ...], float]:
    """One name if its probability is above `sure`, else the fewest that hold 80 %; and their probability."""
    order = np.argsort(-leading, kind="stable")
    if leading[order[0]] > sure:
        return (names[order[0]],), float(leading[order[0]])
    total = np.cumsum(leading[order])
    count = int(np.argmax(total >= LEADING_SET - 1e-12)) + 1
    return tuple(names[place] for place in order[:count]), float(total[count - 1])


def weak_topics(strength: Strength, items: Items, parameters: Parameters) -> Weak:
    """Which topics are weak: flagged when P(chance < 0.6) > 0.8 on 10 answers, 2 of them in the topic."""
    layout = layout_of(strength.skills, strength.topics, items)
    draws = layout.topic_chances(sampled_strengths(strength, parameters), parameters)
    below, leading = probability_below(draws, parameters.weak_below), leading_probability(draws)
    answers = topic_answers(strength)
    enough = sum(answers.values()) >= parameters.enough_answers
    weakest, probability = smallest_set(layout.topic_names, leading, parameters.weakest_sure)
    return Weak(
        _flagged(layout, below, answers, parameters) if enough else (),
        weakest,
        probability,
        enough,
        dict(zip(layout.topic_names, below.tolist(), strict=True)),
        dict(zip(layout.topic_names, leading.tolist(), strict=True)),
    )


def _flagged(
    layout: Layout, below: Array, answers: Mapping[str, int], parameters: Parameters
) -> tuple[str, ...]:
    return tuple(
        name
        for name, probability in zip(layout.topic_names, below.tolist(), strict=True)
        if probability > parameters.weak_sure and answers[name] >= parameters.enough_in_topic
    )
