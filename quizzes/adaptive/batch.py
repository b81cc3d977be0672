"""The steps of `update` for many students at once: same equations, arrays with a student axis.

For `calibrate` and the simulation, which go through whole classes answer by answer.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from quizzes.adaptive.parameters import Parameters
from quizzes.adaptive.state import NEVER, Strength, prior_covariance
from quizzes.adaptive.step import Array, Places, tilted
from quizzes.adaptive.structure import SkillMap
from quizzes.adaptive.update import LIMIT, practice_gain, room


@dataclass(frozen=True, slots=True)
class Margins:
    """What is expected of each answer before it: mean [logit] and variance [logit²] of the margin,
    the strength's share of them, and the skill's column of the covariance."""

    mean: Array
    variance: Array
    strength: Array
    strength_variance: Array
    column: Array


@dataclass(frozen=True, slots=True)
class Asked:
    """One question for each student: place of its skill, its item, guess, and the shift of a retry."""

    place: Places
    difficulty: Array
    variance: Array
    slope: Array
    guess: Array
    shift: Array | float = 0.0


@dataclass(slots=True)
class Batch:
    """Strengths of students who share a skill map, changed in place [students x skills (x skills)]."""

    parameters: Parameters
    mean: Array
    covariance: Array
    drift: Array
    answers: Array
    last_day: Array
    day: Array

    @classmethod
    def prior(cls, count: int, skill_map: SkillMap, parameters: Parameters) -> Batch:
        """`count` students before their first answer."""
        size = (count, len(skill_map.skills))
        covariance = np.repeat(prior_covariance(skill_map.topics, parameters)[None], count, axis=0)
        mean, zeros = np.full(size, parameters.mean), np.zeros(size)
        return cls(parameters, mean, covariance, zeros, zeros.copy(), np.full(size, NEVER), np.zeros(count))

    def student(self, row: int, skill_map: SkillMap) -> Strength:
        """One student as a strength of his own."""
        return Strength(
            skill_map.skills, skill_map.topics,
            self.mean[row].copy(), self.covariance[row].copy(), self.drift[row].copy(),
            self.answers[row].copy(), self.last_day[row].copy(), float(self.day[row]),
        )  # fmt: skip

    def first(self, count: int) -> Batch:
        """The first `count` students: a view, so that changes reach this batch."""
        arrays = (self.mean, self.covariance, self.drift, self.answers, self.last_day, self.day)
        return Batch(self.parameters, *(array[:count] for array in arrays))

    def move_to_day(self, day: Array | float) -> None:
        """As `update.move_to_day`, for each student."""
        days = np.maximum(day - self.day, 0.0)
        if not days.any():
            return
        rested = self.day[:, None] - self.last_day
        loss = np.log1p(rested + days[:, None]) - np.log1p(rested)
        loss *= self.parameters.forgetting * (self.last_day >= 0)
        self.mean -= loss
        self.drift -= loss
        diagonal = np.einsum("nii->ni", self.covariance)
        diagonal += room(diagonal, self.parameters.noise_day * days[:, None], self.parameters)
        self.day += days

    def margins(self, asked: Asked) -> Margins:
        """What is expected of each student's answer."""
        rows = np.arange(len(self.mean))
        strength, column = self.mean[rows, asked.place], self.covariance[rows, asked.place]
        spread = column[rows, asked.place]
        mean = asked.slope * (strength - asked.difficulty) + asked.shift
        variance = asked.slope**2 * (spread + asked.variance)
        return Margins(mean, variance, strength, spread, column)

    def answer(self, asked: Asked, score: Array, weight: Array | float = 1.0) -> None:
        """As `update.update` on the day reached: the answer, then the practice it was."""
        margins = self.margins(asked)
        slip, sharpness = self.parameters.slip, self.parameters.sharpness
        weights = np.broadcast_to(weight, score.shape)
        mean, variance = tilted(margins.mean, margins.variance, score, asked.guess, slip, sharpness * weights)
        column = margins.column * (asked.slope / margins.variance)[:, None]
        self.mean += column * (mean - margins.mean)[:, None]
        np.clip(self.mean, -LIMIT, LIMIT, out=self.mean)
        scaled = column * np.maximum(margins.variance - variance, 0.0)[:, None]
        self.covariance -= column[:, :, None] * scaled[:, None, :]
        self._practise(asked.place, weights)

    def _practise(self, place: Places, weight: Array) -> None:
        rows = np.arange(len(self.mean))
        gain = weight * practice_gain(self.mean[rows, place], self.answers[rows, place], self.parameters)
        self.mean[rows, place] += gain
        self.drift[rows, place] += gain
        spread = self.covariance[rows, place, place]
        self.covariance[rows, place, place] += room(
            spread, self.parameters.noise_answer * weight, self.parameters
        )
        self.answers[rows, place] += weight == 1
        self.last_day[rows, place] = self.day
