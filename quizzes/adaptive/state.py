"""`Strength`: what is known of one student, and nothing of anybody else."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

import numpy as np

from quizzes.adaptive.errors import SteeringError, UnknownSkillError, require
from quizzes.adaptive.parameters import Parameters
from quizzes.adaptive.step import Array, Places
from quizzes.adaptive.structure import SkillMap, same_topic

FORMAT = 1
DAY = b',"day":'
"""What parts the head of a row: before it the names, the same in every row; behind it the day."""
NEVER = -1.0
"""`last_day` of a skill that was never practised."""


@dataclass(frozen=True, slots=True, eq=False)
class Strength:
    """A Gaussian over the strengths of all skills [logit], and what practice and days need.

    `drift` is the part of `mean` that practice and forgetting put there [logit], `answers` counts
    first attempts, `last_day` is when a skill was last practised, `day` how far days have been
    counted [days since any fixed date, 0 or later].
    """

    skills: tuple[str, ...]
    topics: tuple[str, ...]
    mean: Array
    covariance: Array
    drift: Array
    answers: Array
    last_day: Array
    day: float = 0.0

    def __post_init__(self) -> None:
        count = len(self.skills)
        vectors = (self.mean, self.drift, self.answers, self.last_day)
        fits = all(vector.shape == (count,) for vector in vectors) and len(self.topics) == count
        require(fits, "skills", count, "must match every vector")
        require(
            self.covariance.shape == (count, count), "covariance", self.covariance.shape, "must be square"
        )

    @classmethod
    def prior(cls, skill_map: SkillMap, parameters: Parameters) -> Strength:
        """Before the first answer: N(mean, overall² + topic² [same topic] + skill² [same skill])."""
        count = len(skill_map.skills)
        return cls(
            skill_map.skills,
            skill_map.topics,
            np.full(count, parameters.mean),
            prior_covariance(skill_map.topics, parameters).copy(),
            np.zeros(count),
            np.zeros(count),
            np.full(count, NEVER),
        )

    @property
    def skill_map(self) -> SkillMap:
        return SkillMap(self.skills, self.topics)

    @property
    def topic_names(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(self.topics))

    def index(self, skill: str) -> int:
        """Where `skill` stands. Raises UnknownSkillError."""
        try:
            return self.skills.index(skill)
        except ValueError:
            raise UnknownSkillError(skill) from None

    def to_bytes(self) -> bytes:
        """One row's worth: a JSON line with the names, then little-endian float64."""
        head = _head(self.skills, self.topics) + DAY + json.dumps(self.day).encode() + b"}\n"
        upper = self.covariance.take(_triangle(len(self.skills)).places)
        body = np.concatenate([self.mean, self.drift, self.answers, self.last_day, upper])
        return head + body.astype("<f8", copy=False).tobytes()

    @classmethod
    def from_bytes(cls, data: bytes) -> Strength:
        """Read `to_bytes` back, bit for bit. Raises SteeringError on anything else."""
        try:
            head, _, body = bytes(data).partition(b"\n")
            names, _, day = head.rpartition(DAY)
            skills, topics = _read_head(names)
            numbers = np.frombuffer(body, dtype="<f8").astype(float)
            require(bool(np.isfinite(numbers).all()), "strength", len(data), "must hold finite numbers")
            return cls(skills, topics, *_unpack(numbers, len(skills)), json.loads(day[:-1]))
        except (ValueError, KeyError, TypeError, IndexError) as fault:
            raise SteeringError("strength", len(data), "must be the bytes of a stored strength") from fault

    def aligned(
        self, skill_map: SkillMap, parameters: Parameters, renamed: Mapping[str, str] | None = None
    ) -> Strength:
        """The same student under a new skill map; `renamed` maps old names to new ones.

        Retired skills are dropped. New ones enter with their prior given what is known of the
        others: the Gaussian conditional, which is what they would have now had they stood there
        from the start. Nothing else moves.
        """
        if self.skills == skill_map.skills and self.topics == skill_map.topics:
            return self
        names = renamed or {}
        current = tuple(names.get(skill, skill) for skill in self.skills)
        known = [name for name in skill_map.skills if name in current]
        old = np.array([current.index(name) for name in known], dtype=int)
        new = np.array([skill_map.skills.index(name) for name in known], dtype=int)
        return _transferred(self, skill_map, parameters, old, new)


@lru_cache(maxsize=64)
def _prior_covariance(topics: tuple[str, ...], overall: float, topic: float, skill: float) -> Array:
    matrix = overall**2 + topic**2 * same_topic(topics) + skill**2 * np.eye(len(topics))
    matrix.setflags(write=False)
    return np.asarray(matrix)


def prior_covariance(topics: tuple[str, ...], parameters: Parameters) -> Array:
    """Covariance of strengths between students before any answer [logit², skills x skills]."""
    return _prior_covariance(
        topics, parameters.spread_overall, parameters.spread_topic, parameters.spread_skill
    )


@lru_cache(maxsize=16)
def _head(skills: tuple[str, ...], topics: tuple[str, ...]) -> bytes:
    head = {"format": FORMAT, "skills": skills, "topics": topics}
    return json.dumps(head, separators=(",", ":")).encode().removesuffix(b"}")


@lru_cache(maxsize=16)
def _read_head(names: bytes) -> tuple[tuple[str, ...], tuple[str, ...]]:
    head = json.loads(names + b"}")
    require(head["format"] == FORMAT, "format", head["format"], f"must be {FORMAT}")
    return tuple(head["skills"]), tuple(head["topics"])


class _Triangle(NamedTuple):
    """Places of the upper half of a flat symmetric matrix, and for each cell its place in that half."""

    places: Places
    of_cell: Places


@lru_cache(maxsize=16)
def _triangle(count: int) -> _Triangle:
    rows, columns = np.triu_indices(count)
    of_cell = np.empty((count, count), dtype=np.int64)
    of_cell[rows, columns] = of_cell[columns, rows] = np.arange(len(rows))
    return _Triangle(rows * count + columns, of_cell)


def _unpack(numbers: Array, count: int) -> tuple[Array, Array, Array, Array, Array]:
    triangle = _triangle(count)
    upper = numbers[4 * count :]
    require(len(upper) == len(triangle.places), "strength", len(numbers), "must hold each number once")
    mean, drift, answers, last_day = numbers[: 4 * count].reshape(4, count)
    return mean, upper.take(triangle.of_cell), drift, answers, last_day


def _transferred(
    strength: Strength, skill_map: SkillMap, parameters: Parameters, old: Places, new: Places
) -> Strength:
    fresh = Strength.prior(skill_map, parameters)
    prior = fresh.covariance.copy()
    pull = np.linalg.solve(prior[np.ix_(new, new)], prior[new, :]).T
    learned = strength.mean[old] - strength.drift[old] - parameters.mean
    kept = strength.covariance[np.ix_(old, old)]
    mean = fresh.mean + pull @ learned
    covariance = prior + pull @ (kept - prior[np.ix_(new, new)]) @ pull.T
    covariance = (covariance + covariance.T) / 2
    mean[new], covariance[np.ix_(new, new)] = strength.mean[old], kept
    for target, source in (
        (fresh.drift, strength.drift), (fresh.answers, strength.answers), (fresh.last_day, strength.last_day)
    ):  # fmt: skip
        target[new] = source[old]
    return Strength(
        fresh.skills, fresh.topics, mean, covariance, fresh.drift, fresh.answers, fresh.last_day, strength.day
    )
