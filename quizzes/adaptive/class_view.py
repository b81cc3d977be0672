"""Many students pooled: what a class has in common, and its chances with their interval.

A student's strength was pulled to a prior that knows no class. Let the class add c = Z gamma to that
prior, one gamma for all skills and one for each topic, gamma ~ N(0, class_spread²). With a student's
prior N(mu, V), posterior N(m, S) and drift d, linear Gaussian updating gives, for all students at once,
    precision of gamma = I / class_spread² + Zᵀ [sum V⁻¹ (V - S) V⁻¹] Z
    mean of gamma      = precision⁻¹ Zᵀ sum V⁻¹ (m - mu - d)
and a student's mean then moves by S V⁻¹ Z gamma: most where little is known of him. (Empirical Bayes
for sub-scores needs such shrinkage: Haberman, When can subscores have value?, 2008.)
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from quizzes.adaptive.choice import factor
from quizzes.adaptive.errors import require
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
from quizzes.adaptive.state import Strength, prior_covariance
from quizzes.adaptive.step import Array
from quizzes.adaptive.structure import membership

CLASS_PAIRS = 64
ENOUGH_STUDENTS = 3
ENOUGH_ANSWERS = 30


@dataclass(frozen=True, slots=True, eq=False)
class ClassEffect:
    """What a class adds to a student's prior: `shift` [skills; logit] and its covariance's root."""

    skills: tuple[str, ...]
    shift: Array
    root: Array


@dataclass(frozen=True, slots=True)
class ClassView:
    """Chances of a class per topic, pooled; `weakest` as in `Weak`.

    `sure` tells whether one topic may be named as the class's weakest. Without `enough` answers none is.
    """

    topics: Mapping[str, Chance]
    weakest: tuple[str, ...]
    probability: float
    enough: bool
    sure: bool
    leading: Mapping[str, float]


def class_effect(strengths: Sequence[Strength], parameters: Parameters) -> ClassEffect:
    """What these students have in common beyond the prior. All must share one skill map."""
    skills, topics = _common(strengths)
    prior = prior_covariance(topics, parameters)
    inverse = np.linalg.inv(prior)
    groups = np.concatenate([np.ones((len(skills), 1)), membership(topics)], axis=1)
    learned = sum((prior - each.covariance for each in strengths), np.zeros_like(prior))
    moved = sum((each.mean - each.drift - parameters.mean for each in strengths), np.zeros(len(skills)))
    weighted = inverse @ groups
    precision = np.eye(groups.shape[1]) / parameters.class_spread**2 + weighted.T @ learned @ weighted
    values, vectors = np.linalg.eigh(precision)
    root = vectors / np.sqrt(np.maximum(values, 1 / parameters.class_spread**2))
    return ClassEffect(skills, groups @ (root @ (root.T @ (weighted.T @ moved))), groups @ root)


def lean(strength: Strength, effect: ClassEffect, parameters: Parameters) -> Strength:
    """The strength as it reads with the class's effect in the prior; never to be stored."""
    require(strength.skills == effect.skills, "skills", strength.skills, "must be those of the class")
    share = np.linalg.solve(prior_covariance(strength.topics, parameters), strength.covariance).T
    carried = share @ effect.root
    return replace(
        strength,
        mean=strength.mean + share @ effect.shift,
        covariance=strength.covariance + carried @ carried.T,
    )


def class_view(strengths: Sequence[Strength], items: Items, parameters: Parameters) -> ClassView:
    """The class's mean chance per topic with its 90 % interval, and which topic is its weakest."""
    skills, topics = _common(strengths)
    layout = layout_of(skills, topics, items)
    draws = _class_draws(strengths, items, parameters)
    leading = leading_probability(draws)
    weakest, probability = smallest_set(layout.topic_names, leading, parameters.class_sure)
    answers = _class_answers(strengths)
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


def _class_draws(strengths: Sequence[Strength], items: Items, parameters: Parameters) -> Array:
    """Draws of the mean chance per topic: class effect and shared error are the same for all in a draw."""
    skills, topics = _common(strengths)
    layout = layout_of(skills, topics, items)
    effect = class_effect(strengths, parameters)
    covariances = np.stack([each.covariance for each in strengths])
    share = np.linalg.solve(prior_covariance(topics, parameters), covariances).transpose(0, 2, 1)
    groups, count, names = effect.root.shape[1], len(skills), len(layout.topic_names)
    noise = normals(CLASS_PAIRS, groups + names + len(strengths) * count)
    common, shared, own = np.split(noise, [groups, groups + names], axis=1)
    own = own.reshape(-1, len(strengths), count).transpose(1, 0, 2)
    shift = effect.shift + np.sqrt(parameters.inflation) * common @ effect.root.T
    roots = factor(parameters.inflation * covariances)
    means = np.stack([each.mean for each in strengths])
    theta = means[:, None, :] + shift @ share.transpose(0, 2, 1) + own @ roots.transpose(0, 2, 1)
    chances = layout.topic_chances(theta, parameters).mean(axis=0)
    return np.asarray(np.clip(chances + parameters.shared_error * shared, 0.001, 0.999))


def _common(strengths: Sequence[Strength]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    require(len(strengths) > 0, "strengths", list(strengths), "must hold at least one student")
    first = strengths[0]
    same = all(each.skills == first.skills and each.topics == first.topics for each in strengths)
    require(same, "strengths", len(strengths), "must share one skill map")
    return first.skills, first.topics


def _class_answers(strengths: Sequence[Strength]) -> dict[str, int]:
    totals = dict.fromkeys(strengths[0].topic_names, 0)
    for strength in strengths:
        for topic, count in topic_answers(strength).items():
            totals[topic] += count
    return totals
