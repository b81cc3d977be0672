"""The drawing of chances over days: time goes right, chances go up, a band never crosses its line."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quizzes.practice.charts import BOTTOM, LEFT, RIGHT, TOP, Point, chart_of

DAY = date(2026, 5, 4)


def places(path: str) -> list[tuple[float, float]]:
    return [(float(x), float(y)) for x, _, y in (place.partition(",") for place in path.split())]


def test_first_day_left_last_day_right_and_days_between_to_scale() -> None:
    points = [Point(DAY + timedelta(days=days), 0.5, 0.4, 0.6) for days in (0, 1, 4)]
    across = [x for x, _ in places(chart_of(points).line)]
    assert across == [LEFT, LEFT + (RIGHT - LEFT) / 4, RIGHT]


def test_none_is_at_the_bottom_and_certainty_at_the_top() -> None:
    chart = chart_of([Point(DAY, 0, 0, 0), Point(DAY + timedelta(days=1), 1, 1, 1)])
    assert [y for _, y in places(chart.line)] == [BOTTOM, TOP]


def test_a_single_day_is_a_dot_at_the_end() -> None:
    chart = chart_of([Point(DAY, 0.5, 0.2, 0.8)])
    assert chart.dots == [(f"{RIGHT:.1f}", "60.0")]
    assert chart.first == chart.last == DAY


@given(st.lists(st.tuples(*[st.floats(0, 1)] * 3).map(sorted), min_size=1, max_size=20))
def test_the_line_lies_in_its_band_and_the_band_in_the_plot(rows: list[list[float]]) -> None:
    points = [
        Point(DAY + timedelta(days=place), mean, low, high) for place, (low, mean, high) in enumerate(rows)
    ]
    chart = chart_of(points)
    band, line = places(chart.band), places(chart.line)
    upper, lower = band[: len(rows)], band[: len(rows) - 1 : -1]
    for (x, y), (high_x, high_y), (low_x, low_y) in zip(line, upper, lower, strict=True):
        assert x == high_x == low_x
        assert TOP <= high_y <= y <= low_y <= BOTTOM


@pytest.mark.parametrize("numbers", [(0.5, 0.6, 0.7), (0.5, 0.2, 0.4), (0.5, -0.1, 0.6), (0.5, 0.2, 1.1)])
def test_a_chance_outside_its_range_is_refused(numbers: tuple[float, float, float]) -> None:
    with pytest.raises(ValueError, match="no chance"):
        Point(DAY, *numbers)


def test_no_day_is_no_chart() -> None:
    with pytest.raises(ValueError, match="at least one day"):
        chart_of([])
