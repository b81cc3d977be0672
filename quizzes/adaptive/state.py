"""`Strength`: what is known of one student, and nothing of anybody else."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from quizzes.adaptive.errors import SteeringError, UnknownSkillError, require
from quizzes.adaptive.parameters import Parameters
from quizzes.adaptive.step import Array, Places
from quizzes.adaptive.structure import SkillMap, same_topic

FORMAT = 1
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
        head = {"format": FORMAT, "skills": self.skills, "topics": self.topics, "day": self.day}
        upper = self.covariance[np.triu_indices(len(self.skills))]
        body = np.concatenate([self.mean, self.drift, self.answers, self.last_day, upper])
        return json.dumps(head, separators=(",", ":")).encode() + b"\n" + body.astype("<f8").tobytes()

    @classmethod
    def from_bytes(cls, data: bytes) -> Strength:
        """Read `to_bytes` back, bit for bit. Raises SteeringError on anything else."""
        try:
            head, _, body = bytes(data).partition(b"\n")
            names = json.loads(head)
            numbers = np.frombuffer(body, dtype="<f8").astype(float)
            require(names["format"] == FORMAT, "format", names["format"], f"must be {FORMAT}")
            require(bool(np.isfinite(numbers).all()), "strength", len(data), "must hold finite numbers")
            return cls(tuple(names["skills"]), tuple(names["topics"]),
                       *_unpack(numbers, len(names["skills"])), names["day"])  # fmt: skip
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
        names = renamed or {}
        current = tuple(names.get(skill, skill) for skill in self.skills)
        if self.skills == skill_map.skills and self.topics == skill_map.topics:
            return self
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


def _unpack(numbers: Array, count: int) -> tuple[Array, Array, Array, Array, Array]:
    vectors, upper = numbers[: 4 * count].reshape(4, count), numbers[4 * count :]
    covariance = np.zeros((count, count))
    rows, columns = np.triu_indices(count)
    covariance[rows, columns] = upper
    covariance[columns, rows] = upper
    return vectors[0].copy(), covariance, vectors[1].copy(), vectors[2].copy(), vectors[3].copy()


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
