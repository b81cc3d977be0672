"""`SkillMap`: the skills of the course and the topic of each."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from quizzes.adaptive.errors import require
from quizzes.adaptive.step import Array


@dataclass(frozen=True, slots=True)
class SkillMap:
    """Skills in order, and beside each its topic.

    >>> SkillMap(("redox.halves", "redox.sum", "balance.atoms"), ("redox", "redox", "balance")).topic_names
    ('redox', 'balance')
    """

    skills: tuple[str, ...]
    topics: tuple[str, ...]

    def __post_init__(self) -> None:
        require(len(self.skills) > 0, "skills", self.skills, "must name at least one skill")
        require(len(set(self.skills)) == len(self.skills), "skills", self.skills, "must differ")
        require(len(self.topics) == len(self.skills), "topics", self.topics, "must be one for each skill")

    @classmethod
    def of(cls, pairs: Iterable[tuple[str, str]]) -> SkillMap:
        """From pairs of (skill, topic)."""
        listed = tuple(pairs)
        return cls(tuple(skill for skill, _ in listed), tuple(topic for _, topic in listed))

    @property
    def topic_names(self) -> tuple[str, ...]:
        """Each topic once, in the order of its first skill."""
        return tuple(dict.fromkeys(self.topics))


@lru_cache(maxsize=256)
def same_topic(topics: tuple[str, ...]) -> Array:
    """1 where two skills share a topic, else 0 [skills x skills]."""
    names = np.array(topics)
    return np.asarray(names[:, None] == names[None, :], dtype=np.float64)


@lru_cache(maxsize=256)
def membership(topics: tuple[str, ...]) -> Array:
    """1 where a skill belongs to a topic, topics in `topic_names` order [skills x topics]."""
    names = tuple(dict.fromkeys(topics))
    return np.array([[float(topic == name) for name in names] for topic in topics])
