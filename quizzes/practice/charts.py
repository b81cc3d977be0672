"""A topic's chance over the days as a drawing: a band for the range, a line for the chance."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

LEFT, RIGHT, TOP, BOTTOM = 40.0, 312.0, 10.0, 110.0
"""Where the plot lies in its drawing of 320 by 132 [units of the drawing]."""


@dataclass(frozen=True, slots=True)
class Point:
    """A chance on a day, with the ends of its 90 % interval."""

    day: date
    mean: float
    low: float
    high: float

    def __post_init__(self) -> None:
        if not 0 <= self.low <= self.mean <= self.high <= 1:
            raise ValueError(f"{self.low}, {self.mean}, {self.high} are no chance in its interval.")


@dataclass(frozen=True, slots=True)
class Chart:
    """What the drawing is made of: the outline of the band, the line, and a dot for each day."""

    band: str
    line: str
    dots: Sequence[tuple[str, str]]
    first: date
    last: date


def chart_of(points: Sequence[Point]) -> Chart:
    """The drawing of at least one day; the days in order.

    >>> day = date(2026, 5, 4)
    >>> chart_of([Point(day, 0.5, 0.25, 1.0)]).dots
    [('312.0', '60.0')]
    """
    if not points:
        raise ValueError("A chart needs at least one day.")
    days = [point.day for point in points]
    across = [_across(day, days[0], days[-1]) for day in days]
    upper = [_place(x, point.high) for x, point in zip(across, points, strict=True)]
    lower = [_place(x, point.low) for x, point in zip(across, points, strict=True)]
    means = [_place(x, point.mean) for x, point in zip(across, points, strict=True)]
    dots = [(f"{x:.1f}", f"{y:.1f}") for x, y in means]
    return Chart(_path([*upper, *reversed(lower)]), _path(means), dots, days[0], days[-1])


def _across(day: date, first: date, last: date) -> float:
    """The place of a day; a single day stands at the end."""
    share = (day - first).days / (last - first).days if last > first else 1.0
    return LEFT + (RIGHT - LEFT) * share


def _place(x: float, chance: float) -> tuple[float, float]:
    return x, BOTTOM - (BOTTOM - TOP) * chance


def _path(places: Sequence[tuple[float, float]]) -> str:
    """The points of a line, always with decimal points, whatever the language."""
    return " ".join(f"{x:.1f},{y:.1f}" for x, y in places)
