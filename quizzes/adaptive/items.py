"""`Item`, `Items`: how hard a skill's questions are at a level, frozen between two calibrations."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import isfinite
from typing import Any

from quizzes.adaptive.errors import UnknownSkillError, require
from quizzes.adaptive.parameters import Parameters

Key = tuple[str, str, str]
"""Skill, level, kind of setup; "" is any kind."""


@dataclass(frozen=True, slots=True)
class Item:
    """Difficulty [logit], its variance [logit²] and discrimination (slope, 1 for a plain item)."""

    difficulty: float
    variance: float
    discrimination: float = 1.0

    def __post_init__(self) -> None:
        require(isfinite(self.difficulty), "difficulty", self.difficulty, "must be a number")
        require(self.variance >= 0, "variance", self.variance, "must not be negative")
        require(
            0 < self.discrimination < 10, "discrimination", self.discrimination, "must be above 0, below 10"
        )


@dataclass(frozen=True, eq=False)
class Items:
    """The items of one calibration, keyed by skill, level and kind of setup ("" for any kind)."""

    table: Mapping[Key, Item]

    @classmethod
    def cold(cls, levels: Mapping[str, Iterable[str]], parameters: Parameters) -> Items:
        """Items before any answer: each at the difficulty of its level.

        `levels` holds for each skill the levels it is asked at.
        """
        return cls(
            {
                (skill, level, ""): cold_item(level, parameters)
                for skill, offered in levels.items()
                for level in offered
            }
        )

    def item(self, skill: str, level: str, kind: str = "") -> Item:
        """The item for a question: of its kind of setup if there is one, else of skill and level.

        Raises UnknownSkillError.
        """
        found = self.table.get((skill, level, kind)) or self.table.get((skill, level, ""))
        if found is None:
            raise UnknownSkillError(f"{skill} at {level}")
        return found

    def at_levels(self, levels: Iterable[str]) -> Items:
        """Only the items of these levels: a first-year class is reported on first-year questions."""
        allowed = set(levels)
        return Items({key: item for key, item in self.table.items() if key[1] in allowed})

    def without(self, skills: Iterable[str]) -> Items:
        """Only the items of other skills: what is not taught yet is not reported on."""
        left_out = set(skills)
        return Items({key: item for key, item in self.table.items() if key[0] not in left_out})

    def rows(self) -> list[dict[str, Any]]:
        """One plain row an item, for storing; `from_rows` reads them back."""
        return [
            {"skill": skill, "level": level, "kind": kind, "difficulty": item.difficulty,
             "variance": item.variance, "discrimination": item.discrimination}
            for (skill, level, kind), item in self.table.items()
        ]  # fmt: skip

    @classmethod
    def from_rows(cls, rows: Iterable[Mapping[str, Any]]) -> Items:
        """From `rows`."""
        return cls(
            {
                (row["skill"], row["level"], row["kind"]): Item(
                    row["difficulty"], row["variance"], row["discrimination"]
                )
                for row in rows
            }
        )

    def covering(self, levels: Mapping[str, Iterable[str]], parameters: Parameters) -> Items:
        """These items for the skills and levels offered now; what is new enters cold."""
        cold = Items.cold(levels, parameters).table
        kept = {key: item for key, item in self.table.items() if (key[0], key[1], "") in cold}
        return Items({**cold, **kept})


def cold_item(level: str, parameters: Parameters) -> Item:
    """An item nobody has answered yet."""
    return Item(parameters.difficulty_of(level), parameters.item_variance)
