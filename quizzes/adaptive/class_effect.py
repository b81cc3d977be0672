"""What a class has in common, laid over its students' strengths when the class is read as a whole.

A student's strength was pulled to a prior that knows no class. Let the class add c = Z gamma to that
prior, one gamma for all skills and one for each topic, gamma ~ N(0, class_spread²). With a student's
prior N(mu, V), posterior N(m, S) and drift d, linear Gaussian updating gives, for all students at once,
    precision of gamma = I / class_spread² + Zᵀ [sum V⁻¹ (V - S) V⁻¹] Z
    mean of gamma      = precision⁻¹ Zᵀ sum V⁻¹ (m - mu - d)
and a student's mean then moves by S V⁻¹ Z gamma: most where little is known of him. (Empirical Bayes
for sub-scores needs such shrinkage: Haberman, When can subscores have value?, 2008.) A class of one
is pulled nowhere by others; a new student of a known class starts where the class is.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from quizzes.adaptive.errors import require
from quizzes.adaptive.parameters import Parameters
from quizzes.adaptive.state import Strength, prior_covariance
from quizzes.adaptive.step import Array
from quizzes.adaptive.structure import membership


@dataclass(frozen=True, slots=True, eq=False)
class ClassEffect:
    """V⁻¹ Z gamma [skills], and V⁻¹ Z times a root of gamma's covariance [skills x effects]."""

    skills: tuple[str, ...]
    pull: Array
    root: Array


def class_effect(strengths: Sequence[Strength], parameters: Parameters) -> ClassEffect:
    """What these students have in common beyond the prior. All must share one skill map."""
    skills, topics = shared_map(strengths)
    count, nothing = len(strengths), np.zeros(len(skills))
    moved = sum((each.mean - each.drift for each in strengths), nothing)
    left = sum((each.covariance for each in strengths), np.zeros((len(skills), len(skills))))
    weighted = _weighted_groups(topics, *_spreads(parameters))
    learned = count * prior_covariance(topics, parameters) - left
    least = 1 / parameters.class_spread**2
    precision = least * np.eye(weighted.shape[1]) + weighted.T @ learned @ weighted
    values, vectors = np.linalg.eigh(precision)
    root = vectors / np.sqrt(np.maximum(values, least))
    gamma = root @ (root.T @ (weighted.T @ (moved - count * parameters.mean)))
    return ClassEffect(skills, weighted @ gamma, weighted @ root)


def shared_map(strengths: Sequence[Strength]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Skills and topics that all of `strengths` have. Raises SteeringError if there is none."""
    require(len(strengths) > 0, "strengths", list(strengths), "must hold at least one student")
    first = strengths[0]
    same = all(each.skills == first.skills and each.topics == first.topics for each in strengths)
    require(same, "strengths", len(strengths), "must share one skill map")
    return first.skills, first.topics


def _spreads(parameters: Parameters) -> tuple[float, float, float]:
    return parameters.spread_overall, parameters.spread_topic, parameters.spread_skill


@lru_cache(maxsize=64)
def _weighted_groups(topics: tuple[str, ...], overall: float, topic: float, skill: float) -> Array:
    """V⁻¹ Z: what a unit of each effect of the class does to the prior [skills x effects]."""
    groups = np.concatenate([np.ones((len(topics), 1)), membership(topics)], axis=1)
    spreads = Parameters(spread_overall=overall, spread_topic=topic, spread_skill=skill)
    return np.asarray(np.linalg.solve(prior_covariance(topics, spreads), groups))
