"""Figures of merit, and their standard errors over schools."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TypeVar

import numpy as np

from quizzes.adaptive.step import Array

BINS = 10
T = TypeVar("T")


def auc(chance: Array, score: Array) -> float:
    """Chance that a right answer was expected to be likelier than a wrong one, equals counting half.

    Scores between 0 and 1 count as that share of a right and the rest of a wrong answer.

    >>> auc(np.array([0.2, 0.7, 0.9]), np.array([0.0, 1.0, 1.0]))
    1.0
    """
    values, place = np.unique(chance, return_inverse=True)
    right = np.bincount(place.ravel(), weights=score.ravel(), minlength=len(values))
    wrong = np.bincount(place.ravel(), weights=1 - score.ravel(), minlength=len(values))
    below = np.cumsum(wrong) - wrong
    return float((right * (below + wrong / 2)).sum() / (right.sum() * wrong.sum()))


def calibration_sums(chance: Array, score: Array) -> Array:
    """Of each tenth of the scale the sums of expected and observed scores, for pooling [2 x bins]."""
    place = np.minimum((chance * BINS).astype(int), BINS - 1).ravel()
    expected = np.bincount(place, weights=chance.ravel(), minlength=BINS)
    return np.stack([expected, np.bincount(place, weights=score.ravel(), minlength=BINS)])


def first_reaching(share: Array, goal: float = 0.8) -> int | None:
    """The first number of answers, from 1, at which `share` is at least `goal`."""
    reached = np.flatnonzero(share >= goal)
    return int(reached[0]) + 1 if len(reached) else None


def jackknife(results: Sequence[T], statistic: Callable[[Sequence[T]], float | None]) -> float | None:
    """Standard error of `statistic` over schools, leaving each out in turn; None for one school.

    Efron & Stein, The jackknife estimate of variance, Annals of Statistics 9 (1981).
    """
    count = len(results)
    left = (
        [statistic([*results[:place], *results[place + 1 :]]) for place in range(count)] if count > 1 else []
    )
    values = [value for value in left if value is not None]
    if len(values) < 2 or len(values) < len(left):
        return None
    return float(np.sqrt((count - 1) / count * np.sum((np.array(values) - np.mean(values)) ** 2)))
