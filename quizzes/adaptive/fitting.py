"""Fit items and parameters to a history, by what was expected before each answer.

With z_j the chance of answer j averaged over the strength expected before it, the items maximise
sum log z_j + log prior. For a margin of mean eta and variance v that becomes m', v' after the answer,
    d log z / d eta = (m' - eta) / v          d² log z / d eta² = (v' - v) / v²
    d log z / d v   = ((d log z / d eta)² + d² log z / d eta²) / 2
so that the same step that updates a student gives Newton's step for his items: all answers' joint
steps at once, repeated until they agree. Free of the future: each answer is judged by its past alone
(prequential: Dawid, Statistical theory: the prequential approach, 1984).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from quizzes.adaptive.history import Forward, History, Table, go_through, log_loss
from quizzes.adaptive.parameters import Parameters
from quizzes.adaptive.step import Array, Places, tilted

ROUNDS, NEWTON_STEPS, LONGEST_STEP = 3, 4, 0.7
VARIANCE_FLOOR = 0.01
SLOPE_SPREAD = 0.15
"""Spread of the logarithm of discriminations between items, before any answer."""
SEARCH_STUDENTS, SEARCH_ROUNDS = 400, 2


@dataclass(frozen=True, slots=True, eq=False)
class _Flat:
    """The counted answers in one row: strength expected, its variance, item, score, guess, weight, shift."""

    strength: Array
    variance: Array
    item: Places
    score: Array
    guess: Array
    weight: Array
    shift: Array

    @classmethod
    def of(cls, history: History, forward: Forward, parameters: Parameters) -> _Flat:
        counted = history.counted
        weight = parameters.sharpness * history.weight
        return cls(
            forward.strength[counted], forward.variance[counted], history.item[counted],
            history.score[counted], history.guesses(parameters)[counted],
            weight[counted], history.shift[counted],
        )  # fmt: skip

    def slopes_of_log(self, table: Table, slip: float) -> tuple[Array, Array, Array, Array]:
        """First and second derivative of each log z by its margin, then centre and slope of the margin."""
        slope = table.slope[self.item]
        centre = self.strength - table.difficulty[self.item]
        mean, variance = slope * centre + self.shift, slope**2 * self.variance
        new_mean, new_variance = tilted(mean, variance, self.score, self.guess, slip, self.weight)
        return (new_mean - mean) / variance, (new_variance - variance) / variance**2, centre, slope

    def summed(self, values: Array, count: int) -> Array:
        """Sum of `values` over the answers to each item."""
        return np.bincount(self.item, weights=values, minlength=count).astype(float)


ENOUGH_FOR_PARAMETERS, ENOUGH_FOR_SLOPE = 30, 200
"""Students before parameters move: a class. Answers before an item gets a discrimination of its own:
on fewer, discriminations fit noise and make predictions too sure (NOTES.md)."""


def fit(history: History, prior: Table, start: Parameters) -> tuple[Table, Parameters]:
    """Items and parameters that foretell the answers best, each pulled to `prior` and `start`."""
    counts = history.answers_of_items(len(prior.difficulty))
    plain, tuned = np.zeros(len(counts), dtype=bool), start
    if len(history.lengths) >= ENOUGH_FOR_PARAMETERS:
        tuned = fit_parameters(history, fit_items(history, prior, start, plain), start)
    return fit_items(history, prior, tuned, counts >= ENOUGH_FOR_SLOPE), tuned


def fit_items(history: History, prior: Table, parameters: Parameters, slopes: NDArray[np.bool_]) -> Table:
    """Difficulties, their variances and discriminations from all answers.

    `prior` holds each item's difficulty and variance before the answers; items without answers keep
    them. Only items marked in `slopes` get a discrimination of their own.
    """
    table = prior
    for _ in range(ROUNDS):
        flat = _Flat.of(history, go_through(history, table, parameters), parameters)
        for _ in range(NEWTON_STEPS):
            table = _difficulty_step(flat, table, prior, parameters.slip)
            if slopes.any():
                stepped = _slope_step(flat, table, parameters.slip)
                table = replace(table, slope=np.where(slopes, stepped.slope, table.slope))
    return table


def _difficulty_step(flat: _Flat, table: Table, prior: Table, slip: float) -> Table:
    first, second, _, slope = flat.slopes_of_log(table, slip)
    count = len(table.difficulty)
    precision = 1 / prior.variance + np.maximum(-flat.summed(slope**2 * second, count), 0)
    push = -flat.summed(slope * first, count) - (table.difficulty - prior.difficulty) / prior.variance
    step = np.clip(push / precision, -LONGEST_STEP, LONGEST_STEP)
    variance = np.minimum(
        np.maximum(1 / precision, VARIANCE_FLOOR), np.maximum(prior.variance, VARIANCE_FLOOR)
    )
    return replace(table, difficulty=table.difficulty + step, variance=variance)


def _slope_step(flat: _Flat, table: Table, slip: float) -> Table:
    first, second, centre, slope = flat.slopes_of_log(table, slip)
    by_variance = (first**2 + second) / 2
    push = slope * (first * centre + by_variance * 2 * slope * flat.variance)
    count, held = len(table.slope), np.log(table.slope)
    total = flat.summed(push, count) - held / SLOPE_SPREAD**2
    curvature = flat.summed(push**2, count) + 1 / SLOPE_SPREAD**2
    step = np.clip(total / curvature, -LONGEST_STEP / 2, LONGEST_STEP / 2)
    return replace(table, slope=np.exp(np.clip(held + step, -1.2, 1.2)))


@dataclass(frozen=True, slots=True)
class Knob:
    """A parameter calibration may turn: factor of one try, spread of its logarithm a priori, limits."""

    name: str
    factor: float
    spread: float
    low: float
    high: float


KNOBS = (
    Knob("spread_overall", 1.25, 0.3, 0.4, 2.0),
    Knob("spread_topic", 1.25, 0.3, 0.3, 2.0),
    Knob("spread_skill", 1.25, 0.4, 0.3, 3.0),
    Knob("gain", 1.4, 0.5, 0.05, 0.30),
    Knob("sharpness", 1.2, 0.2, 0.7, 2.0),
    Knob("guess", 1.7, 0.7, 0.01, 0.25),
    Knob("slip", 1.7, 0.7, 0.01, 0.25),
)
MEAN_STEP, MEAN_SPREAD = 0.15, 0.5


def fit_parameters(history: History, table: Table, start: Parameters) -> Parameters:
    """Coordinate search on predictive log-loss plus a pull to `start`, worth one typical answer each.

    Tries each knob up and down in turn and keeps what helps.
    """
    sample = history.students(SEARCH_STUDENTS)
    best, least = start, _objective(sample, table, start, start)
    for turn in range(SEARCH_ROUNDS):
        for change in _changes(0.5**turn):
            while (tried := change(best)) != best:
                value = _objective(sample, table, tried, start)
                if value >= least:
                    break
                best, least = tried, value
    return best


def _changes(scale: float) -> Iterator[Callable[[Parameters], Parameters]]:
    for knob in KNOBS:
        for direction in (1, -1):
            yield _turned(knob, knob.factor ** (direction * scale))
    for direction in (1, -1):
        yield _shifted(direction * MEAN_STEP * scale)


def _turned(knob: Knob, factor: float) -> Callable[[Parameters], Parameters]:
    def change(parameters: Parameters) -> Parameters:
        now = getattr(parameters, knob.name)
        value = min(max(now * factor, knob.low), knob.high) if now else now
        return replace(parameters, **{knob.name: value})

    return change


def _shifted(step: float) -> Callable[[Parameters], Parameters]:
    return lambda parameters: replace(parameters, mean=parameters.mean + step)


def _objective(history: History, table: Table, parameters: Parameters, start: Parameters) -> float:
    forward = go_through(history, table, parameters)
    counted = history.counted
    loss = log_loss(forward.chance[counted], history.score[counted], history.weight[counted])
    pull = ((parameters.mean - start.mean) / MEAN_SPREAD) ** 2
    for knob in KNOBS:
        now, first = getattr(parameters, knob.name), getattr(start, knob.name)
        pull += (np.log(now / first) / knob.spread) ** 2 if first else 0.0
    return loss + float(pull) / 2 / history.answers
