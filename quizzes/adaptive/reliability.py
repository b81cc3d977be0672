"""Expected against observed: of the answers expected to be right in 7 of 10 cases, how many were?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape

import numpy as np

from quizzes.adaptive.step import Array

BINS = 10
SIZE, MARGIN = 360, 48


@dataclass(frozen=True, slots=True)
class Bin:
    """Mean expected chance, mean score and number of answers of one tenth of the scale."""

    expected: float
    observed: float
    answers: int


def bins_of(chance: Array, score: Array) -> tuple[Bin, ...]:
    """The tenths of the scale that hold any answer.

    >>> bins_of(np.array([0.71, 0.79]), np.array([1.0, 0.0]))
    (Bin(expected=0.75, observed=0.5, answers=2),)
    """
    place = np.minimum((chance * BINS).astype(int), BINS - 1).ravel()
    count = np.bincount(place, minlength=BINS)
    held = count > 0
    expected = np.bincount(place, weights=chance.ravel(), minlength=BINS)[held] / count[held]
    observed = np.bincount(place, weights=score.ravel(), minlength=BINS)[held] / count[held]
    rows = zip(expected.tolist(), observed.tolist(), count[held].tolist(), strict=True)
    return tuple(Bin(*row) for row in rows)


def calibration_error(bins: Sequence[Bin]) -> float:
    """Expected calibration error: mean distance of expected and observed, weighted by answers [chance].

    >>> calibration_error([Bin(0.75, 0.5, 10)])
    0.25
    """
    total = sum(each.answers for each in bins)
    return sum(abs(each.expected - each.observed) * each.answers for each in bins) / total


def reliability_svg(
    bins: Sequence[Bin], title: str, across: str = "expected chance", up: str = "observed share"
) -> str:
    """A drawing of `bins` as SVG: a dot for each, its area by the answers, against the line of equals."""
    most = max((each.answers for each in bins), default=1)
    dots = "\n".join(_dot(each, most) for each in bins)
    low, high = MARGIN, SIZE - MARGIN
    return f"""<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {SIZE} {SIZE}" role="img">
<title>{escape(title)}</title>
<rect width="{SIZE}" height="{SIZE}" fill="#ffffff"/>
<g stroke="#767676" fill="none"><path d="M{low} {low}V{high}H{high}"/>
<path d="M{low} {high}L{high} {low}" stroke-dasharray="4 4"/></g>
<g font-family="sans-serif" font-size="12" fill="#1a1a1a">
{_ticks()}
<text x="{SIZE / 2}" y="{SIZE - 10}" text-anchor="middle">{escape(across)}</text>
<text x="14" y="{SIZE / 2}" text-anchor="middle" transform="rotate(-90 14 {SIZE / 2})">{escape(up)}</text>
<text x="{SIZE / 2}" y="24" text-anchor="middle" font-size="14">{escape(title)}</text>
</g>
<g fill="#1f5f99" fill-opacity="0.75">
{dots}
</g>
</svg>
"""


def _x(chance: float) -> float:
    return round(MARGIN + chance * (SIZE - 2 * MARGIN), 1)


def _y(chance: float) -> float:
    return round(SIZE - MARGIN - chance * (SIZE - 2 * MARGIN), 1)


def _dot(each: Bin, most: int) -> str:
    radius = round(3 + 9 * (each.answers / most) ** 0.5, 1)
    words = f"{each.expected:.2f} / {each.observed:.2f} ({each.answers})"
    place = f'cx="{_x(each.expected)}" cy="{_y(each.observed)}"'
    return f'<circle {place} r="{radius}"><title>{words}</title></circle>'


def _ticks() -> str:
    marks = [0.0, 0.25, 0.5, 0.75, 1.0]
    below = [
        f'<text x="{_x(each)}" y="{SIZE - MARGIN + 16}" text-anchor="middle">{each:g}</text>'
        for each in marks
    ]
    left = [f'<text x="{MARGIN - 6}" y="{_y(each) + 4}" text-anchor="end">{each:g}</text>' for each in marks]
    return "\n".join(below + left)
