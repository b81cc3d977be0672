"""The values of the drawing, and its words."""

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from problems.cell.picture import of_run, picture
from problems.cell.run import simulate
from problems.cell.tables import electrolytes

from .helpers import cell, strongest


def test_the_showcase_at_the_end() -> None:
    drawn = picture(cell("KNO3", 0.25, indicator="phenol red", current=0.4, time=720.0), 720.0)
    assert drawn.title == "Potassium nitrate solution after 12.0 min"
    cathode, anode = drawn.cathode, drawn.anode
    assert (cathode.sign, anode.sign) == ("−", "+")
    assert (cathode.liquid, anode.liquid) == ("red", "yellow")
    assert cathode.gas_level == pytest.approx(36.93 / 50, abs=0.002)
    assert anode.gas_level == pytest.approx(cathode.gas_level / 2, rel=1e-6)
    assert cathode.gas_text == "36.9 mL"
    assert cathode.bubbles == anode.bubbles == 3
    assert cathode.deposit == 0
    assert (
        cathode.words
        == "Cathode (−) of graphite: the liquid is red. A gas bubbles up; 36.9 mL stand in the tube."
    )
    assert "A gas bubbles up; 18.5 mL" in anode.words


def test_what_a_question_asks_for_can_be_held_back() -> None:
    setup = cell("KNO3", 0.25, indicator="phenol red", current=0.4, time=720.0)
    whole = picture(setup, 720.0)
    veiled = picture(setup, 720.0, frozenset({"colour"}))
    assert veiled.cathode.paint == veiled.anode.paint not in (whole.cathode.paint, whole.anode.paint)
    assert "red" not in veiled.cathode.words
    assert "yellow" not in veiled.anode.words
    assert re.search(r"the pH of the liquid is 1[23]\.\d\.", veiled.cathode.words)
    assert veiled.cathode.gas_text == whole.cathode.gas_text
    empty = picture(setup, 720.0, frozenset({"gas"}))
    assert (empty.cathode.gas_level, empty.cathode.gas_text) == (0.0, "? mL")
    assert "A gas bubbles up." in empty.cathode.words
    assert not re.search(r"\d", empty.cathode.words)
    assert empty.cathode.liquid == "red"


def test_the_words_show_and_do_not_name() -> None:
    """Common practice: what is seen is a gas or a coat; which one, the student finds."""
    for salt in ("KNO3", "CuSO4", "AgNO3", "NaCl"):
        drawn = picture(cell(salt, strongest(salt, 0.2), time=600.0), 600.0)
        for word in ("ydrogen", "xygen", "hlorine", "opper"):
            assert word not in drawn.cathode.words + drawn.anode.words


def test_before_the_current_is_on() -> None:
    drawn = picture(cell("KNO3", 0.1, indicator="litmus"), 0.0)
    for arm in (drawn.cathode, drawn.anode):
        assert (arm.liquid, arm.gas_level, arm.bubbles, arm.deposit) == ("purple", 0.0, 0, 0.0)
        assert "bubbles" not in arm.words


def test_copper_coats_the_cathode() -> None:
    setup = cell("CuSO4", 0.5)
    shown = [picture(setup, at).cathode.deposit for at in (0.0, 200.0, 400.0, 600.0)]
    assert shown[0] == 0
    assert shown[0] < shown[1] < shown[2] < shown[3] < 1
    drawn = picture(setup, 600.0)
    assert "A pink-brown coat grows on the electrode." in drawn.cathode.words
    assert drawn.cathode.deposit_paint is not None
    assert drawn.anode.deposit_paint is None
    assert drawn.cathode.bubbles == 0
    assert drawn.title.startswith("Copper(II) sulfate")


def test_clouds_and_halogens() -> None:
    assert picture(cell("MgSO4", 0.1), 600.0).cathode.cloud is not None
    assert "white cloud" in picture(cell("MgSO4", 0.1), 600.0).cathode.words
    iodide = picture(cell("KI", 0.1), 300.0).anode
    assert iodide.liquid == "brown"
    assert iodide.bubbles == 0
    brine = picture(cell("NaCl", 2.0), 300.0).anode
    assert brine.gas_level == 0
    assert "A gas bubbles up." in brine.words


def test_after_the_run_nothing_bubbles() -> None:
    setup = cell("KNO3", 0.25, current=0.4, time=3600.0)
    run = simulate(setup)
    assert of_run(run, run.end.time).cathode.bubbles == 3
    late = of_run(run, 3600.0)
    assert late.time == run.end.time
    assert late.cathode.bubbles == 0
    assert late.cathode.gas_level == pytest.approx(1.0)


@pytest.mark.parametrize("current", [0.001, 0.05, 0.2])
def test_more_current_more_bubbles(current: float) -> None:
    bubbles = picture(cell("KNO3", 0.1, current=current, time=60.0), 30.0).cathode.bubbles
    assert bubbles == {0.001: 1, 0.05: 2, 0.2: 3}[current]


@settings(deadline=None, max_examples=60)
@given(salt=st.sampled_from(sorted(electrolytes().keys() - {"NH4Cl"})), at=st.floats(0.0, 2000.0))
def test_every_picture_can_be_drawn(salt: str, at: float) -> None:
    drawn = picture(cell(salt, strongest(salt, 0.2), indicator="universal indicator", time=900.0), at)
    for arm in (drawn.cathode, drawn.anode):
        assert re.fullmatch(r"#[0-9a-f]{6}", arm.paint)
        assert 0 <= arm.gas_level <= 1
        assert 0 <= arm.deposit <= 1
        assert arm.bubbles in (0, 1, 2, 3)
        assert arm.words.endswith(".")
        assert arm.liquid_name in arm.words


def test_what_is_not_drawn() -> None:
    with pytest.raises(ValueError, match="not drawn"):
        picture(cell("NH4Cl", 0.1), 10.0)
    for time in (-1.0, float("nan")):
        with pytest.raises(ValueError, match="not negative"):
            picture(cell("KNO3", 0.1), time)
