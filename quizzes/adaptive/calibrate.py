"""`calibrate`: how hard the items are and how students differ, from all stored answers.

Works on copies of what was stored, so it is safe while students answer; what it returns holds for
the answers that come after. On too little it refuses, and on little it moves little: every item is
pulled to the difficulty of its level, every parameter to its start.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass

import numpy as np

from quizzes.adaptive.fitting import fit, fit_items
from quizzes.adaptive.history import Answered, History, Table, go_through, log_loss
from quizzes.adaptive.items import Item, Items, Key
from quizzes.adaptive.parameters import Parameters
from quizzes.adaptive.reliability import Bin, bins_of
from quizzes.adaptive.structure import SkillMap

ENOUGH_ANSWERS, ENOUGH_STUDENTS = 200, 10
ENOUGH_FOR_ITEM, ENOUGH_FOR_KIND = 3, 60
"""First attempts and students before anything moves; answers before one item, one kind of setup does."""
KIND_VARIANCE = 0.1
"""Variance of difficulties between kinds of setup, before any answer [logit²]."""
SEEN_MOVE = 0.005


@dataclass(frozen=True, slots=True)
class ItemMove:
    """A difficulty that moved [logit], and on how many answers it rests."""

    key: Key
    before: float
    after: float
    answers: int


@dataclass(frozen=True, slots=True)
class Fit:
    """How well the answers were foretold: log-loss [nats an answer] and expected against observed."""

    log_loss: float
    bins: tuple[Bin, ...]


@dataclass(frozen=True, slots=True)
class Calibration:
    """What `calibrate` found. `refused` is "" or why nothing moved: `few_answers`, `few_students`.

    `changed` holds each parameter that moved with its value before and after. `before` judges the old
    values and `after` the new ones on the same answers, each foretold from those before it.
    """

    items: Items
    parameters: Parameters
    refused: str
    students: int
    answers: int
    moves: tuple[ItemMove, ...]
    changed: Mapping[str, tuple[float, float]]
    before: Fit | None
    after: Fit | None


def calibrate(
    answers: Iterable[Answered],
    skill_map: SkillMap,
    levels: Mapping[str, Iterable[str]],
    parameters: Parameters,
    items: Items,
    start: Parameters | None = None,
) -> Calibration:
    """Refit items and parameters to all `answers`, each student's in the order they were given.

    `levels` holds for each skill the levels it is asked at; `items` and `parameters` are those in
    force. The fit itself starts from `start` (the starting values) each time, so that the same
    answers always give the same calibration.
    """
    listed, first = list(answers), start or Parameters()
    cold = Items.cold(levels, first)
    history = History.of(listed, skill_map, list(cold.table))
    in_force = items.covering(levels, parameters)
    refused = _refusal(history)
    if refused:
        students = len(history.lengths)
        return Calibration(in_force, parameters, refused, students, history.answers, (), {}, None, None)
    found, tuned = _fitted(history, cold, first)
    kinds = _kinds(listed, skill_map, found, tuned)
    new = Items({**found.table, **kinds})
    return Calibration(
        new, tuned, "", len(history.lengths), history.answers,
        _moves(in_force, new, listed), _changed(parameters, tuned),
        _fit(listed, skill_map, in_force, parameters), _fit(listed, skill_map, new, tuned),
    )  # fmt: skip


def _refusal(history: History) -> str:
    if int((history.counted & (history.weight == 1)).sum()) < ENOUGH_ANSWERS:
        return "few_answers"
    return "few_students" if len(history.lengths) < ENOUGH_STUDENTS else ""


def table_of(items: Items, keys: Sequence[Key]) -> Table:
    """Items as arrays, in the order of `keys`."""
    listed = [items.table[key] for key in keys]
    return Table(
        np.array([each.difficulty for each in listed]),
        np.array([each.variance for each in listed]),
        np.array([each.discrimination for each in listed]),
    )


def _fitted(history: History, cold: Items, start: Parameters) -> tuple[Items, Parameters]:
    keys = list(cold.table)
    table, tuned = fit(history, table_of(cold, keys), start)
    return _items(keys, settled(table, table_of(cold, keys), history)), tuned


def settled(fitted: Table, cold: Table, history: History) -> Table:
    """The fitted items, cold ones where too few answers stand behind them."""
    few = history.answers_of_items(len(cold.difficulty)) < ENOUGH_FOR_ITEM
    return Table(
        np.where(few, cold.difficulty, fitted.difficulty),
        np.where(few, cold.variance, fitted.variance),
        np.where(few, cold.slope, fitted.slope),
    )


def _kinds(
    listed: Sequence[Answered], skill_map: SkillMap, found: Items, parameters: Parameters
) -> dict[Key, Item]:
    """Items of their own for kinds of setup with enough answers, pulled to the item of any kind."""
    seen = Counter((each.skill, each.level, each.kind) for each in listed if each.kind)
    split = [key for key, count in seen.items() if count >= ENOUGH_FOR_KIND and (*key[:2], "") in found.table]
    if not split:
        return {}
    keys = [*found.table, *split]
    base = {key: found.table[*key[:2], ""] for key in split}
    wide = {key: Item(each.difficulty, KIND_VARIANCE, each.discrimination) for key, each in base.items()}
    prior = Items({**found.table, **wide})
    history = History.of(listed, skill_map, keys)
    fitted = fit_items(history, table_of(prior, keys), parameters, slopes=np.zeros(len(keys), dtype=bool))
    everything = _items(keys, settled(fitted, table_of(prior, keys), history))
    return {key: everything.table[key] for key in split}


def _items(keys: Sequence[Key], table: Table) -> Items:
    rows = zip(table.difficulty.tolist(), table.variance.tolist(), table.slope.tolist(), strict=True)
    return Items({key: Item(*values) for key, values in zip(keys, rows, strict=True)})


def _moves(old: Items, new: Items, listed: Sequence[Answered]) -> tuple[ItemMove, ...]:
    seen = Counter((each.skill, each.level) for each in listed)
    of_kind = Counter((each.skill, each.level, each.kind) for each in listed)
    moves = []
    for key, item in new.table.items():
        before = old.item(*key).difficulty
        if abs(item.difficulty - before) >= SEEN_MOVE:
            count = of_kind[key] if key[2] else seen[key[0], key[1]]
            moves.append(ItemMove(key, before, item.difficulty, count))
    return tuple(moves)


def _changed(old: Parameters, new: Parameters) -> dict[str, tuple[float, float]]:
    before, after = asdict(old), asdict(new)
    return {name: (before[name], value) for name, value in after.items() if before[name] != value}


def _fit(listed: Sequence[Answered], skill_map: SkillMap, items: Items, parameters: Parameters) -> Fit:
    keys = list(items.table)
    history = History.of(listed, skill_map, keys)
    chance = go_through(history, table_of(items, keys), parameters).chance
    counted = history.counted & (history.weight == 1)
    loss = log_loss(chance[counted], history.score[counted])
    return Fit(loss, bins_of(chance[counted], history.score[counted]))
