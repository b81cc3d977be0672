"""The logistic link and the one-answer step. Numbers or arrays: everything broadcasts.

An answer of score y in [0, 1] and evidence weight w has the likelihood [p^y (1-p)^(1-y)]^w with
p = guess + (1 - guess - slip) sigmoid(ability - difficulty). The step replaces the product of a
Gaussian and this likelihood by the Gaussian with the same mean and variance (assumed-density
filtering: Minka, A family of algorithms for approximate Bayesian inference, 2001).
"""

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

Array: TypeAlias = NDArray[np.float64]
Real: TypeAlias = float | Array
Places: TypeAlias = NDArray[np.int64]

NODE_COUNT = 11
_nodes, _weights = np.polynomial.hermite_e.hermegauss(NODE_COUNT)
NODES: Array = _nodes
WEIGHTS: Array = _weights / _weights.sum()
SQUARES: Array = NODES**2
ONES: Array = np.ones(NODE_COUNT)
EDGE = 1e-9
HELD = 1 - 2 * EDGE
SHRINK = np.pi / 8
"""A Gaussian of variance v flattens a logistic curve as if divided by sqrt(1 + pi v / 8):
MacKay, The evidence framework applied to classification networks, Neural Computation 4 (1992)."""


def sigmoid(value: Real) -> Array:
    """1 / (1 + exp(-value)), for any size of `value` [logit].

    >>> float(sigmoid(0.0))
    0.5
    """
    return np.asarray(0.5 + 0.5 * np.tanh(0.5 * np.asarray(value)))


def logit(chance: Real) -> Array:
    """log(chance / (1 - chance)) [logit], chances closer than 1e-9 to 0 or 1 held there."""
    held = np.minimum(np.maximum(chance, EDGE), 1 - EDGE)
    return np.asarray(np.log(held / (1 - held)))


def success(margin: Real, guess: Real, slip: Real) -> Array:
    """Chance of a right answer at `margin` = strength - difficulty [logit]."""
    return np.asarray(guess + (1 - guess - slip) * sigmoid(margin))


def expected_success(mean: Real, variance: Real, guess: Real, slip: Real) -> Array:
    """`success` averaged over a Gaussian margin of `mean` [logit] and `variance` [logit²], by the 11 nodes.

    >>> round(float(expected_success(1.0, 4.0, 0.0, 0.0)), 3)
    0.648
    """
    chances = 0.5 + 0.5 * np.tanh(0.5 * _spaced(mean, np.sqrt(variance)))
    return np.asarray(guess + (1 - guess - slip) * (chances @ WEIGHTS))


def tilted(
    mean: Real, variance: Real, score: Real, guess: Real, slip: Real, weight: Real
) -> tuple[Array, Array]:
    """Mean [logit] and variance [logit²] of a Gaussian margin after an answer.

    11-point Gauss-Hermite rule on the product of the Gaussian and the likelihood above. A `score`
    of 1 raises the mean, 0 lowers it; a `weight` of 0 changes nothing beyond rounding.

    >>> mean, variance = tilted(0.0, 1.0, 1.0, 0.0, 0.0, 1.0)
    >>> round(float(mean), 3), round(float(variance), 3)
    (0.413, 0.829)
    """
    spread = np.sqrt(variance)
    mass = WEIGHTS * _likelihood(_spaced(mean, spread), score, guess, slip, weight)
    total = mass @ ONES
    first, second = mass @ NODES / total, mass @ SQUARES / total
    return mean + spread * first, variance * (second - first * first)


def _spaced(mean: Real, spread: Real) -> Array:
    """The nodes of the rule around `mean`, on a new last axis."""
    return np.asarray(_column(mean) + _column(spread) * NODES)


def _likelihood(points: Array, score: Real, guess: Real, slip: Real, weight: Real) -> Array:
    floor = _column(guess)
    right = HELD * (floor + (1 - floor - _column(slip)) * (0.5 + 0.5 * np.tanh(0.5 * points))) + EDGE
    score = _column(score)
    return np.asarray(np.exp(_column(weight) * (score * np.log(right) + (1 - score) * np.log1p(-right))))


def _column(value: Real) -> Real:
    """Arrays get a last axis of 1 to meet the nodes; plain numbers stay, which keeps one answer cheap."""
    return value[..., None] if isinstance(value, np.ndarray) else value
