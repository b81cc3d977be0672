"""Evidence over time."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from problems.cell.evidence import evidence
from problems.cell.series import series

from .helpers import cell


def test_a_series_ends_where_the_evidence_stands() -> None:
    for setup in (
        cell("KNO3", 0.1, indicator="litmus"),
        cell("CuSO4", 0.1),
        cell("MgSO4", 0.1),
        cell("NaOH", 0.2),
    ):
        shown, course = evidence(setup), series(setup)
        assert course.minutes[0] == 0
        assert course.minutes[-1] == pytest.approx(10.0)
        assert (course.cathode_ph[-1], course.anode_ph[-1]) == (shown.cathode.ph, shown.anode.ph)
        assert course.cathode_ph[0] == course.anode_ph[0] == shown.start_ph
        assert course.cathode_volumes[-1] == pytest.approx(shown.cathode.gas_volume)
        assert course.anode_volumes[-1] == pytest.approx(shown.anode.gas_volume)
        assert (course.cathode_colours[-1], course.anode_colours[-1]) == (
            shown.cathode.colour,
            shown.anode.colour,
        )
        assert course.cathode_colours[0] == shown.start_colour


def test_gas_grows_with_the_charge() -> None:
    course = series(cell("KNO3", 0.1))
    last = course.cathode_volumes[-1]
    for minute, volume in zip(course.minutes, course.cathode_volumes, strict=True):
        assert volume == pytest.approx(last * minute / 10, rel=1e-6, abs=1e-15)
    for hydrogen, oxygen in zip(course.cathode_volumes[1:], course.anode_volumes[1:], strict=True):
        assert hydrogen / oxygen == pytest.approx(2.0)


def test_what_is_not_collected_is_none_all_along() -> None:
    brine = series(cell("NaCl", 2.0))
    assert set(brine.anode_volumes) == {None}
    assert set(brine.anode_ph[1:]) == {None}
    copper = series(cell("CuSO4", 0.2, "copper"))
    assert set(copper.cathode_volumes) == set(copper.anode_volumes) == {None}
    assert set(series(cell("ZnSO4", 0.2)).cathode_volumes) == {None}
    assert set(series(cell("SnCl2", 0.2)).cathode_ph) == {None}
    # Zinc is used up at last, but nobody knows how much hydrogen came before.
    assert set(series(cell("ZnSO4", 0.01, time=7200.0)).cathode_volumes) == {None}


def test_gas_of_a_later_stage_starts_late() -> None:
    course = series(cell("CuSO4", 0.01, time=3600.0))
    assert course.cathode_volumes[0] == 0
    assert course.cathode_volumes[5] == 0
    assert course.cathode_volumes[-1] > 1e-6


def test_a_run_that_ends_has_its_last_point_there() -> None:
    setup = cell("KNO3", 0.25, current=0.4, time=3600.0)
    assert series(setup).minutes[-1] * 60 == pytest.approx(evidence(setup).ends_at)
    assert series(setup).cathode_volumes[-1] == pytest.approx(setup.tube_volume)


@settings(deadline=None, max_examples=30)
@given(points=st.integers(2, 60))
def test_number_of_points(points: int) -> None:
    course = series(cell("K2SO4", 0.1, indicator="litmus"), points)
    columns = (course.minutes, course.cathode_volumes, course.anode_ph, course.anode_colours)
    assert {len(column) for column in columns} == {points}


def test_what_has_no_course() -> None:
    with pytest.raises(ValueError, match="refused"):
        series(cell("NH4Cl", 0.1))
    with pytest.raises(ValueError, match="two points"):
        series(cell("KNO3", 0.1), 1)


@pytest.mark.parametrize("salt", ["KNO3", "K2SO4", "MgSO4", "(NH4)2SO4", "Na2CO3", "H2SO4", "NaOH"])
def test_ph_moves_one_way(salt: str) -> None:
    course = series(cell(salt, 0.1, "platinum"), 50)
    assert list(course.cathode_ph) == sorted(course.cathode_ph)
    assert list(course.anode_ph) == sorted(course.anode_ph, reverse=True)
