"""`Answered`, `History`: all answers of many students, laid out so that all are gone through at once."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from quizzes.adaptive.batch import Asked, Batch
from quizzes.adaptive.errors import require
from quizzes.adaptive.items import Key
from quizzes.adaptive.parameters import Parameters
from quizzes.adaptive.step import Array, Places, expected_success
from quizzes.adaptive.structure import SkillMap


@dataclass(frozen=True, slots=True)
class Answered:
    """One counted answer of one student, as stored. `guess` None is a free answer; `day` in days."""

    student: Hashable
    skill: str
    level: str
    score: float
    day: float
    guess: float | None = None
    kind: str = ""
    weight: float = 1.0
    shift: float = 0.0

    def __post_init__(self) -> None:
        require(0 <= self.score <= 1, "score", self.score, "must be from 0 to 1")
        require(0 <= self.weight <= 1, "weight", self.weight, "must be from 0 to 1")


@dataclass(frozen=True, slots=True, eq=False)
class Table:
    """Items as arrays: difficulty [logit], variance [logit²] and slope of each."""

    difficulty: Array
    variance: Array
    slope: Array


@dataclass(frozen=True, slots=True, eq=False)
class History:
    """Answers [students x turns], most answered first; only the first `lengths[i]` of row i count.

    `free` marks free answers, whose guess is the model's.
    """

    skill_map: SkillMap
    lengths: Places
    place: Places
    item: Places
    score: Array
    guess: Array
    weight: Array
    shift: Array
    day: Array

    @property
    def counted(self) -> NDArray[np.bool_]:
        """Where an answer stands."""
        return np.asarray(np.arange(self.place.shape[1]) < self.lengths[:, None])

    @property
    def answers(self) -> int:
        return int(self.lengths.sum())

    def answers_of_items(self, items: int) -> Places:
        """How many answers each item has."""
        return np.bincount(self.item[self.counted], minlength=items).astype(np.int64)

    def guesses(self, parameters: Parameters) -> Array:
        """Guess of each answer, free answers filled in."""
        return np.where(np.isnan(self.guess), parameters.guess, self.guess)

    def students(self, count: int) -> History:
        """The `count` students with most answers."""
        return replace(
            self,
            lengths=self.lengths[:count], place=self.place[:count], item=self.item[:count],
            score=self.score[:count], guess=self.guess[:count], weight=self.weight[:count],
            shift=self.shift[:count], day=self.day[:count],
        )  # fmt: skip

    @classmethod
    def of(cls, answers: Iterable[Answered], skill_map: SkillMap, keys: Sequence[Key]) -> History:
        """Lay out `answers`, each student's in the order given; `keys` number the items.

        Answers to retired skills or unknown items are left out.
        """
        places = {skill: place for place, skill in enumerate(skill_map.skills)}
        numbers = {key: number for number, key in enumerate(keys)}
        rows: dict[Hashable, list[tuple[float, ...]]] = {}
        for each in answers:
            number = numbers.get(
                (each.skill, each.level, each.kind), numbers.get((each.skill, each.level, ""))
            )
            if number is None or each.skill not in places:
                continue
            guess = np.nan if each.guess is None else each.guess
            row = (places[each.skill], number, each.score, guess, each.weight, each.shift, each.day)
            rows.setdefault(each.student, []).append(row)
        return cls._padded(sorted(rows.values(), key=len, reverse=True), skill_map)

    @classmethod
    def _padded(cls, rows: Sequence[Sequence[tuple[float, ...]]], skill_map: SkillMap) -> History:
        lengths = np.array([len(row) for row in rows], dtype=np.int64)
        grid = np.zeros((len(rows), int(lengths.max(initial=0)), 7))
        for target, row in zip(grid, rows, strict=True):
            target[: len(row)] = row
        place, item = grid[..., 0].astype(np.int64), grid[..., 1].astype(np.int64)
        return cls(skill_map, lengths, place, item, *(grid[..., column] for column in range(2, 7)))


@dataclass(frozen=True, slots=True, eq=False)
class Forward:
    """Expected before each answer [students x turns]: strength [logit], its variance [logit²], chance."""

    strength: Array
    variance: Array
    chance: Array


def go_through(history: History, table: Table, parameters: Parameters) -> Forward:
    """Follow every student from the first answer to the last under frozen items."""
    shape = history.place.shape
    found = Forward(np.zeros(shape), np.ones(shape), np.full(shape, 0.5))
    batch = Batch.prior(shape[0], history.skill_map, parameters)
    guesses = history.guesses(parameters)
    for turn in range(shape[1]):
        active = int((history.lengths > turn).sum())
        now, item = batch.first(active), history.item[:active, turn]
        now.move_to_day(history.day[:active, turn])
        asked = Asked(
            history.place[:active, turn], table.difficulty[item], table.variance[item], table.slope[item],
            guesses[:active, turn], history.shift[:active, turn],
        )  # fmt: skip
        margins = now.margins(asked)
        found.strength[:active, turn] = margins.strength
        found.variance[:active, turn] = margins.strength_variance
        found.chance[:active, turn] = expected_success(
            margins.mean, margins.variance, asked.guess, parameters.slip
        )
        now.answer(asked, history.score[:active, turn], history.weight[:active, turn])
    return found


def log_loss(chance: Array, score: Array, weight: Array | float = 1.0) -> float:
    """Mean of -[y log p + (1 - y) log(1 - p)], weighted [nats an answer].

    >>> round(log_loss(np.array([0.5]), np.array([1.0])), 3)
    0.693
    """
    held = np.clip(chance, 1e-6, 1 - 1e-6)
    losses = -(score * np.log(held) + (1 - score) * np.log1p(-held))
    return float(np.average(losses, weights=np.broadcast_to(weight, losses.shape)))
