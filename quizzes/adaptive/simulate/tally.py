"""Sums of one school, added up over schools: the mean of a measure and its standard error."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from quizzes.adaptive.simulate.measures import first_reaching, jackknife
from quizzes.adaptive.step import Array

Path = tuple[str, ...]
Tally = dict[Path, tuple[Array | float, float]]
"""Of each measure, by its place in the output, a sum and what it is divided by.

A sum that is a row is a share after 1, 2, ... answers; its measure is when that reaches 80 %. Two rows
are sums of expected and observed scores over a scale; their measure is the expected calibration error.
"""


def value_of(path: Path, tallies: Sequence[Tally]) -> float | None:
    """The measure at `path` over these schools; None where it does not exist."""
    sums = [tally[path] for tally in tallies]
    total, count = sum(np.asarray(each[0]) for each in sums), sum(each[1] for each in sums)
    total = np.asarray(total)
    if total.ndim == 2:
        return float(np.abs(total[0] - total[1]).sum()) / count
    if total.ndim == 1:
        return first_reaching(total / count)
    return float(total) / count if count else None


def standard_error(path: Path, tallies: Sequence[Tally]) -> float | None:
    """Standard error of the measure over schools, None if it cannot be told."""
    return jackknife(tallies, lambda some: value_of(path, some))


def nested(paths: Sequence[Path], values: Sequence[Any]) -> dict[str, Any]:
    """Values as a tree.

    >>> nested([("a", "b"), ("a", "c")], [1, 2])
    {'a': {'b': 1, 'c': 2}}
    """
    tree: dict[str, Any] = {}
    for path, value in zip(paths, values, strict=True):
        branch = tree
        for name in path[:-1]:
            branch = branch.setdefault(name, {})
        branch[path[-1]] = value
    return tree
