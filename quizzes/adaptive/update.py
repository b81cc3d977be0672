"""An answer, practice and days change a strength. Nothing else does."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import isfinite

import numpy as np

from quizzes.adaptive.errors import require
from quizzes.adaptive.items import Item
from quizzes.adaptive.parameters import Parameters
from quizzes.adaptive.state import Strength
from quizzes.adaptive.step import Array, Real, sigmoid, tilted

LIMIT = 6.0
"""Strengths are held within ±6 logits, where chances are 0.25 % and 99.75 %: no answer tells more apart."""
EASE = 1.5
"""Around this strength practice adds half of what it adds to a very weak skill [logit]."""
WORN = 10.0
"""After so many answers on a skill one more adds half as much as the first did."""
FULL = float(sigmoid(EASE))


@dataclass(frozen=True, slots=True)
class Observation:
    """One counted answer: its skill, item, score, guess (1/options of a choice), weight, shift and day.

    `shift` [logit] makes the question easier than its item (a second attempt); `day` is counted from
    the same date as the strength's [days].
    """

    skill: str
    item: Item
    score: float
    day: float
    guess: float
    weight: float = 1.0
    shift: float = 0.0

    def __post_init__(self) -> None:
        require(0 <= self.score <= 1, "score", self.score, "must be from 0 to 1")
        require(0 <= self.guess < 1, "guess", self.guess, "must be from 0 to below 1")
        require(0 <= self.weight <= 1, "weight", self.weight, "must be from 0 to 1")


@dataclass(frozen=True, slots=True)
class Evidence:
    """What one verdict says: the score that counts, its weight, and how much easier it was [logit]."""

    score: float
    weight: float
    shift: float


def evidence(score: float, retry: bool, hints: int, parameters: Parameters) -> Evidence:
    """What a verdict's `score` says about the skill.

    The first attempt counts in full, a later one little and as an easier question; a right answer
    after a hint counts half, a wrong one 0.

    >>> evidence(1, retry=False, hints=1, parameters=Parameters())
    Evidence(score=0.5, weight=1.0, shift=0.0)
    """
    counted = score * parameters.hint_share if hints else score
    if retry:
        return Evidence(counted, parameters.retry_weight, parameters.retry_shift)
    return Evidence(counted, 1.0, 0.0)


def update(strength: Strength, observation: Observation, parameters: Parameters) -> Strength:
    """The strength after the days since the last answer, then the answer, then the practice it was.

    The item is read, never written. Raises UnknownSkillError.
    """
    place = strength.index(observation.skill)
    current = move_to_day(strength, observation.day, parameters)
    mean, covariance = condition(current.mean, current.covariance, place, observation, parameters)
    drift, answers, last_day = current.drift.copy(), current.answers.copy(), current.last_day.copy()
    _practise(mean, covariance, drift, place, (observation.weight, float(answers[place])), parameters)
    answers[place] += observation.weight == 1
    last_day[place] = current.day
    return Strength(current.skills, current.topics, mean, covariance, drift, answers, last_day, current.day)


def replay(strength: Strength, observations: Iterable[Observation], parameters: Parameters) -> Strength:
    """`update` with each observation in turn: the same answers give the same bits."""
    for observation in observations:
        strength = update(strength, observation, parameters)
    return strength


def condition(
    mean: Array, covariance: Array, place: int, observation: Observation, parameters: Parameters
) -> tuple[Array, Array]:
    """The joint Gaussian after one answer on the skill at `place`.

    eta = a (m_k - b) + shift and v = a² (P_kk + vb) become m' and v' by `tilted`; then
    m += P[:,k] a (m' - eta) / v and P -= P[:,k] P[:,k]ᵀ a² (v - v') / v². An answer that surprises so
    much that v' is above v (a wrong one where almost any guess is right) leaves P as it was.
    """
    item = observation.item
    slope = item.discrimination
    eta = slope * (float(mean[place]) - item.difficulty) + observation.shift
    variance = slope**2 * (float(covariance[place, place]) + item.variance)
    seen = (observation.score, observation.guess, parameters.slip, parameters.sharpness * observation.weight)
    new_eta, new_variance = tilted(eta, variance, *seen)
    column = slope * covariance[:, place] / variance
    new_mean = np.minimum(np.maximum(mean + column * (new_eta - eta), -LIMIT), LIMIT)
    known = max(variance - float(new_variance), 0.0)
    return new_mean, covariance - column[:, None] * column * known


def practice_gain(mean: Real, answers: Real, parameters: Parameters) -> Array:
    """What one answer with feedback adds to a skill [logit]: less, the stronger and the more practised it is.

    gain x sigmoid(EASE - m) / sigmoid(EASE) / (1 + answers / WORN), so that answers, not practice, have
    the last word on somebody who does not learn.
    """
    return np.asarray(parameters.gain * sigmoid(EASE - mean) / FULL / (1 + answers / WORN))


def _practise(
    mean: Array,
    covariance: Array,
    drift: Array,
    place: int,
    step: tuple[float, float],
    parameters: Parameters,
) -> None:
    """`step`: the weight of the answer, and how many the skill had before."""
    weight, answers = step
    gain = weight * float(practice_gain(float(mean[place]), answers, parameters))
    mean[place] += gain
    drift[place] += gain
    covariance[place, place] += room(covariance[place, place], parameters.noise_answer * weight, parameters)


def room(variance: Real, noise: Real, parameters: Parameters) -> Array:
    """The part of `noise` [logit²] that leaves a variance at most where it was on the first day."""
    return np.asarray(np.minimum(np.maximum(parameters.prior_variance - variance, 0), noise))


def move_to_day(strength: Strength, day: float, parameters: Parameters) -> Strength:
    """The strength as it is expected on `day`: forgetting of practised skills, more doubt about all.

    m -= forgetting (log(1 + d + days) - log(1 + d)), d the days since last practised; P_kk grows by
    noise_day a day up to the prior's. A day before the strength's own changes nothing. On the exam's
    day it is the forecast. Raises SteeringError on a day that is no number.
    """
    require(isfinite(day), "day", day, "must be a number")
    if not day > strength.day:
        return strength
    days = day - strength.day
    rested = strength.day - strength.last_day
    loss = parameters.forgetting * (np.log1p(rested + days) - np.log1p(rested)) * (strength.last_day >= 0)
    covariance = strength.covariance.copy()
    diagonal = covariance.reshape(-1)[:: len(covariance) + 1]
    diagonal += room(diagonal, parameters.noise_day * days, parameters)
    mean, drift = strength.mean - loss, strength.drift - loss
    return Strength(
        strength.skills, strength.topics, mean, covariance, drift,
        strength.answers, strength.last_day, float(day),
    )  # fmt: skip
