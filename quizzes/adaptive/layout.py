"""Which items stand for which skill and topic, as arrays, so that a report is a few products.

The chance of a topic is the mean over its skills, that of a skill the mean over its levels: what a
typical question of it, picked blindly, would bring.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from quizzes.adaptive.errors import require
from quizzes.adaptive.items import Item, Items
from quizzes.adaptive.parameters import Parameters
from quizzes.adaptive.step import SHRINK, Array, Places, success
from quizzes.adaptive.structure import membership


@dataclass(frozen=True, eq=False)
class Layout:
    """Items of a set of skills: place of the skill, difficulty and slope of each; weights that average them.

    Topics without any item are left out of `topic_names`, skills without any of `skill_names`.
    """

    places: Places
    difficulty: Array
    slope: Array
    to_skill: Array
    to_topic: Array
    skill_names: tuple[str, ...]
    topic_names: tuple[str, ...]
    topic_of: dict[str, str]

    def item_chances(self, strengths: Array, parameters: Parameters) -> Array:
        """Chance on each item [..., items] of strengths [..., skills; logit]."""
        margin = self.slope * (strengths[..., self.places] - self.difficulty)
        return success(margin, parameters.guess, parameters.slip)

    def skill_chances(self, strengths: Array, parameters: Parameters) -> Array:
        """Chance of each skill [..., skills] of strengths [..., skills; logit]."""
        return np.asarray(self.item_chances(strengths, parameters) @ self.to_skill)

    def topic_chances(self, strengths: Array, parameters: Parameters) -> Array:
        """Chance of each topic [..., topics] of strengths [..., skills; logit]."""
        return np.asarray(self.item_chances(strengths, parameters) @ self.to_topic)


@lru_cache(maxsize=64)
def layout_of(skills: tuple[str, ...], topics: tuple[str, ...], items: Items) -> Layout:
    """The layout of these skills under one calibration. Raises SteeringError if no item fits."""
    position = {skill: place for place, skill in enumerate(skills)}
    any_kind = [(key[0], item) for key, item in items.table.items() if not key[2]]
    listed = [(position[skill], item) for skill, item in any_kind if skill in position]
    require(bool(listed), "items", len(items.table), "must hold an item for at least one skill")
    places = np.array([place for place, _ in listed])
    slope = np.array([_narrowed(item) for _, item in listed])
    per_skill = _averaging(np.asarray(places[:, None] == np.arange(len(skills)), dtype=np.float64))
    asked: NDArray[np.bool_] = per_skill.sum(axis=0) > 0
    per_topic = _averaging(membership(topics) * asked[:, None])
    held: NDArray[np.bool_] = per_topic.sum(axis=0) > 0
    names = tuple(dict.fromkeys(topics))
    return Layout(
        places, np.array([item.difficulty for _, item in listed]), slope,
        per_skill[:, asked], (per_skill @ per_topic)[:, held],
        tuple(name for name, kept in zip(skills, asked, strict=True) if kept),
        tuple(name for name, kept in zip(names, held, strict=True) if kept),
        dict(zip(skills, topics, strict=True)),
    )  # fmt: skip


def _narrowed(item: Item) -> float:
    """Slope of an item averaged over the doubt about its difficulty, as in `expected_success`."""
    return float(item.discrimination / np.sqrt(1 + SHRINK * item.discrimination**2 * item.variance))


def _averaging(belongs: Array) -> Array:
    """Columns of ones and zeros to columns of weights that sum to 1 (or stay all 0)."""
    return np.asarray(belongs / np.maximum(belongs.sum(axis=0), 1))
