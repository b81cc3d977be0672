"""Indicators, colours of ions and halogens, by arm."""

import pytest

from problems.cell import arm, colours, tables
from problems.cell.evidence import evidence
from problems.cell.run import simulate
from problems.chemistry.formula import Formula

from .helpers import cell

# Colours: OpenStax Chemistry 2e, section 14.7 (methyl orange, phenolphthalein); USP 32-NF 27.
SHOWN = [
    ("bromothymol blue", 4.0, "yellow"),
    ("bromothymol blue", 7.0, "green"),
    ("bromothymol blue", 9.0, "blue"),
    ("phenolphthalein", 7.0, "colourless"),
    ("phenolphthalein", 9.0, "pale pink"),
    ("phenolphthalein", 11.0, "pink"),
    ("methyl orange", 2.0, "red"),
    ("methyl orange", 3.8, "orange"),
    ("methyl orange", 7.0, "yellow"),
    ("methyl red", 4.0, "red"),
    ("methyl red", 7.0, "yellow"),
    ("litmus", 3.0, "red"),
    ("litmus", 7.0, "purple"),
    ("litmus", 9.0, "blue"),
    ("phenol red", 5.0, "yellow"),
    ("phenol red", 9.0, "red"),
    ("phenol red", 0.1, "orange-red"),
    ("thymolphthalein", 8.0, "colourless"),
    ("thymolphthalein", 11.0, "blue"),
    ("bromocresol green", 3.0, "yellow"),
    ("bromocresol green", 6.0, "blue"),
    ("bromocresol purple", 4.0, "yellow"),
    ("bromocresol purple", 8.0, "purple"),
    ("bromophenol blue", 2.0, "yellow"),
    ("bromophenol blue", 6.0, "blue-violet"),
    ("cresol red", 5.0, "yellow"),
    ("universal indicator", 2.0, "red"),
    ("universal indicator", 7.0, "green"),
    ("universal indicator", 13.0, "violet"),
    ("red cabbage", 2.0, "pink"),
    ("red cabbage", 7.0, "purple"),
    ("red cabbage", 13.5, "yellow"),
]


@pytest.mark.parametrize(("dye", "ph", "colour"), SHOWN)
def test_indicator_colours(dye: str, ph: float, colour: str) -> None:
    assert colours.of_indicator(tables.indicators()[dye], ph) == colour


@pytest.mark.parametrize("name", sorted(tables.indicators()))
def test_limits_belong_to_the_middle(name: str) -> None:
    dye = tables.indicators()[name]
    for step, before, after in zip(dye.steps, dye.colours, dye.colours[1:], strict=False):
        assert colours.of_indicator(dye, step.low - 0.01) == before
        assert colours.of_indicator(dye, step.low) == step.colour == colours.of_indicator(dye, step.high)
        assert colours.of_indicator(dye, step.high + 0.01) == after


@pytest.mark.parametrize(
    ("dye", "start", "cathode", "anode"),
    [
        ("bromothymol blue", "green", "blue", "yellow"),
        ("litmus", "purple", "blue", "red"),
        ("phenolphthalein", "colourless", "pink", "colourless"),
        ("methyl red", "yellow", "yellow", "red"),
        ("phenol red", "orange", "red", "yellow"),
        ("universal indicator", "green", "violet", "red"),
        ("red cabbage", "purple", "green", "pink"),
    ],
)
def test_both_arms_of_a_neutral_salt(dye: str, start: str, cathode: str, anode: str) -> None:
    # The classic demonstration: base at the cathode, acid at the anode (common practice).
    shown = evidence(cell("KNO3", 0.1, indicator=dye))
    assert (shown.start_colour, shown.cathode.colour, shown.anode.colour) == (start, cathode, anode)


def test_chlorine_bleaches_bromine_and_iodine_colour() -> None:
    assert evidence(cell("NaCl", 2.0, indicator="litmus")).anode.colour == "colourless"
    assert evidence(cell("NaCl", 0.1, indicator="litmus")).anode.colour == "colourless"
    assert evidence(cell("KBr", 0.1, indicator="litmus")).anode.colour == "orange"
    assert evidence(cell("KI", 0.1, indicator="litmus")).anode.colour == "brown"
    assert evidence(cell("KI", 0.1)).anode.colour == "brown"


def test_what_is_not_there_is_none() -> None:
    shown = evidence(cell("KNO3", 0.1))
    assert (shown.start_colour, shown.cathode.colour, shown.anode.colour) == (None, None, None)
    tin = evidence(cell("SnCl2", 0.1, indicator="litmus"))
    assert (tin.start_colour, tin.cathode.colour) == (None, None)


def test_metal_ions_show_their_own_colour() -> None:
    assert evidence(cell("CuSO4", 0.1, indicator="litmus")).cathode.colour == "blue"
    assert evidence(cell("CuCl2", 2.0)).start_colour == "blue-green"
    assert evidence(cell("CuCl2", 0.5, indicator="litmus")).anode.colour == "blue"
    assert evidence(cell("NiSO4", 0.1, "nickel")).anode.colour == "green"
    run = simulate(cell("CuSO4", 0.01, time=3600.0))
    assert arm.coloured_ion(run, "cathode", run.moments[0]) == Formula.parse("Cu^2+")
    assert arm.coloured_ion(run, "cathode", run.end) is None


@pytest.mark.parametrize(
    ("salt", "molarity", "hydroxide"),
    [
        ("MgSO4", 0.1, "Mg(OH)2"),
        ("Al2(SO4)3", 0.05, "Al(OH)3"),
        ("KNO3", 0.1, None),
        ("H2SO4", 0.1, None),
        ("SnCl2", 0.1, None),
    ],
)
def test_clouds(salt: str, molarity: float, hydroxide: str | None) -> None:
    shown = evidence(cell(salt, molarity))
    assert shown.cathode.cloud == (Formula.parse(hydroxide) if hydroxide else None)
    assert shown.anode.cloud is None


def test_words_that_count_as_equal() -> None:
    assert "violet" in colours.same("purple")
    assert {"magenta", "fuchsia"} <= set(colours.same("pink"))
    assert colours.same("colourless")[:2] == ("colourless", "clear")


def test_a_colour_is_not_asked_where_two_models_differ() -> None:
    # 1.05e-5 mol/L of acid in 0.6 mol/L of sulfate: pH 5.0 if none of it is bound, pH 6.6 if it is.
    anode = evidence(cell("K2SO4", 0.6, indicator="methyl red", current=0.001, time=51.0)).anode
    assert anode.ph == pytest.approx(6.6, abs=0.08)
    assert anode.colour == "yellow"
    assert "Between" in anode.unfair["colour"]
    clear = evidence(cell("K2SO4", 0.1, indicator="litmus", current=0.1, time=900.0))
    assert "colour" in clear.anode.fair & clear.cathode.fair
