"""What may be asked, and the reasons against the rest."""

import pytest

from problems.cell.evidence import CELL_ASKS, ELECTRODE_ASKS, evidence
from problems.cell.fairness import colour_reason, sort_out
from problems.cell.tables import electrolytes, indicators

from .helpers import cell, strongest


def reasons(salt: str, molarity: float, role: str, electrodes: str = "graphite", **more) -> dict[str, str]:  # type: ignore[no-untyped-def]
    return dict(getattr(evidence(cell(salt, molarity, electrodes, **more)), role).unfair)


def test_the_showcase_is_worth_asking_about() -> None:
    shown = evidence(cell("KNO3", 0.1, indicator="phenol red", current=0.1))
    usual = {"half_reaction", "product", "ph", "colour", "gas_amount", "gas_volume"}
    assert shown.cathode.fair == shown.anode.fair == usual
    assert shown.fair == {"overall", "ratio", "nature", "least_voltage"}


def test_everything_is_fair_or_has_a_reason() -> None:
    for salt in electrolytes():
        shown = evidence(cell(salt, strongest(salt, 0.2), indicator="litmus"))
        assert shown.fair | shown.unfair.keys() == CELL_ASKS
        for electrode in shown.electrodes:
            assert electrode.fair | electrode.unfair.keys() == ELECTRODE_ASKS
            for sentence in electrode.unfair.values():
                assert sentence.endswith(".")
                assert len(sentence) > 15


def test_sort_out() -> None:
    fair, unfair = sort_out(frozenset({"a", "b"}), {"a": "", "b": "No."})
    assert fair == {"a"}
    assert dict(unfair) == {"b": "No."}


@pytest.mark.parametrize(
    ("salt", "molarity", "electrodes", "role", "ask", "words"),
    [
        ("KNO3", 0.1, "graphite", "cathode", "deposit", "No metal"),
        ("KNO3", 0.1, "graphite", "anode", "mass_change", "keeps its mass"),
        ("CuSO4", 0.2, "copper", "cathode", "mass_change", "deposit"),
        ("CuSO4", 0.2, "copper", "anode", "gas_amount", "No gas"),
        ("NaCl", 2.0, "graphite", "anode", "gas_volume", "dissolves and reacts"),
        ("NaCl", 2.0, "graphite", "anode", "ph", "halogen"),
        ("NaCl", 0.5, "graphite", "anode", "product", "both chlorine and oxygen"),
        ("NaCl", 0.005, "graphite", "anode", "half_reaction", "mostly oxygen"),
        ("NaOH", 0.2, "graphite", "anode", "gas_amount", "graphite away"),
        ("Na2CO3", 0.2, "platinum", "anode", "gas_amount", "Carbon dioxide"),
        ("CuCl2", 1.0, "graphite", "cathode", "deposit", "copper(I)"),
        ("K2SO4", 0.1, "graphite", "cathode", "ph", "buffer"),
        ("Na2CO3", 0.1, "graphite", "cathode", "ph", "buffer"),
        ("Cu(NO3)2", 0.1, "graphite", "anode", "ph", "Metal ions"),
        ("SnCl2", 0.1, "graphite", "cathode", "ph", "Acid is added"),
        ("KI", 0.1, "graphite", "anode", "ph", "halogen"),
        ("AgNO3", 0.1, "graphite", "cathode", "ph", "Neither acid nor base"),
        ("K2SO4", 0.1, "graphite:copper", "anode", "product", "second kind of ion"),
    ],
)
def test_reasons(salt: str, molarity: float, electrodes: str, role: str, ask: str, words: str) -> None:
    assert words in reasons(salt, molarity, role, electrodes)[ask]


def test_a_first_stage_that_is_soon_over_is_not_what_the_cell_shows() -> None:
    long, short = (evidence(cell("CuSO4", 0.01, time=time)).cathode for time in (1500.0, 3600.0))
    assert len(long.stages) == len(short.stages) == 2
    assert "half_reaction" in long.fair
    assert "changes during the run" in short.unfair["half_reaction"]
    assert "changes during the run" in evidence(cell("CuSO4", 0.01, time=3600.0)).unfair["overall"]


def test_reasons_about_time_and_current() -> None:
    assert "changes during the run" in reasons("CuSO4", 0.01, "cathode", time=3600.0)["deposit"]
    assert "More than half" in reasons("CuSO4", 0.02, "cathode", time=1000.0)["deposit"]
    assert "stay dissolved" in reasons("KNO3", 0.1, "anode", time=30.0)["gas_volume"]
    assert "carries so much" in reasons("KNO3", 0.02, "cathode", current=0.2)["ph"]
    assert "water's own" in reasons("KNO3", 0.1, "cathode", current=0.001, time=20.0)["ph"]
    assert "acid or base changes" in reasons("HCl", 0.1, "cathode", current=0.2)["ph"]


@pytest.mark.parametrize(
    ("salt", "molarity", "dye", "role", "words"),
    [
        ("KNO3", 0.1, None, "cathode", "no indicator"),
        ("CuSO4", 0.1, "litmus", "cathode", "metal ion"),
        ("KI", 0.1, "litmus", "anode", "hides or bleaches"),
        ("KNO3", 0.1, "methyl red", "cathode", "bleach this dye"),
        ("SnCl2", 0.1, "litmus", "cathode", "Tin(II)"),
        ("NaCl", 0.1, "litmus", "anode", "hides or bleaches"),
    ],
)
def test_reasons_about_colour(salt: str, molarity: float, dye: str | None, role: str, words: str) -> None:
    assert words in reasons(salt, molarity, role, indicator=dye)["colour"]


def test_a_colour_needs_every_reasonable_ph_to_agree() -> None:
    dye = indicators()["bromothymol blue"]
    assert colour_reason(dye, [3.0, 4.0]) == ""
    assert "Between" in colour_reason(dye, [3.0, 9.0])
    assert "near a limit" in colour_reason(dye, [3.0, 5.8])
    assert colour_reason(indicators()["phenolphthalein"], [12.4]) == ""
    assert "fades" in colour_reason(indicators()["phenolphthalein"], [12.6])
    assert "fades" in colour_reason(indicators()["thymolphthalein"], [13.0])


def test_start_colours() -> None:
    assert "start_colour" in evidence(cell("NaOH", 0.1, indicator="litmus")).fair
    assert "near a limit" in evidence(cell("KNO3", 0.1, indicator="phenol red")).unfair["start_colour"]
    assert "metal ion" in evidence(cell("NiSO4", 0.1, indicator="litmus")).unfair["start_colour"]
    assert "no indicator" in evidence(cell("KNO3", 0.1)).unfair["start_colour"]
    assert "Tin" in evidence(cell("SnCl2", 0.1, indicator="litmus")).unfair["start_colour"]


def test_indicators_inside_their_interval_at_the_start_are_asked_only_far_from_its_limits() -> None:
    # Ammonium sulfate starts at pH 5.5, and the interval of bromocresol purple at 5.2.
    shown = evidence(cell("(NH4)2SO4", 0.1, indicator="bromocresol purple"))
    assert "start_colour" in shown.unfair


def test_ratio_and_overall() -> None:
    assert "do not both give gas" in evidence(cell("CuSO4", 0.1)).unfair["ratio"]
    assert "exchange their metal" in evidence(cell("CuSO4", 0.1, "copper")).unfair["overall"]
    assert evidence(cell("NaCl", 2.0)).ratio == (1, 1)
    assert evidence(cell("KNO3", 0.1)).ratio == (2, 1)
    assert evidence(cell("NaCl", 0.1)).ratio is None
