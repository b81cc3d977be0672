"""Cautions and what a cell may be used for."""

import pytest

from problems.cell import tables
from problems.cell.cautions import made
from problems.cell.evidence import evidence
from problems.cell.run import simulate
from problems.chemistry.formula import Formula

from .helpers import cell, strongest


def text(salt: str, molarity: float, electrodes: str = "graphite", **more) -> str:  # type: ignore[no-untyped-def]
    return " ".join(evidence(cell(salt, molarity, electrodes, **more)).cautions)


@pytest.mark.parametrize(
    ("salt", "molarity", "words"),
    [
        ("KNO3", 0.1, "Hydrogen explodes"),
        ("NaCl", 2.0, "Chlorine is poisonous"),
        ("NaCl", 0.1, "Chlorine is poisonous"),
        ("KBr", 0.1, "Bromine is poisonous"),
        ("KI", 0.1, "Iodine stains"),
        ("CuSO4", 0.1, "poison water life"),
        ("AgNO3", 0.1, "stains skin"),
        ("NaOH", 0.1, "Alkali destroys eyes"),
        ("NiSO4", 0.1, "Nickel salts"),
        ("(NH4)2SO4", 0.1, "some ammonia"),
        ("NaClO4", 0.1, "Perchlorate residues"),
        ("NH4Cl", 0.1, "never electrolysed"),
    ],
)
def test_each_danger_is_named(salt: str, molarity: float, words: str) -> None:
    assert words in text(salt, molarity)


def test_what_does_not_form_is_not_warned_of() -> None:
    assert "Hydrogen" not in text("CuSO4", 0.2, "copper")
    assert "one vessel" not in text("CuSO4", 0.2)
    assert "one vessel" in text("KNO3", 0.2)
    assert "Chlorine" not in text("KNO3", 0.2)


def test_hydrogen_of_a_later_stage_is_warned_of() -> None:
    assert "Hydrogen explodes" in text("CuSO4", 0.01, time=3600.0)


def test_no_caution_stands_twice_and_deference_is_last() -> None:
    for salt in tables.electrolytes():
        shown = evidence(cell(salt, strongest(salt, 0.2)))
        assert len(shown.cautions) == len(set(shown.cautions))
        assert "ask a qualified person" in shown.cautions[-1]


def test_every_sentence_of_the_table_is_used() -> None:
    used = {caution for row in tables.electrolytes().values() for caution in row.cautions}
    general = {
        "always",
        "supply",
        "hydrogen",
        "two_gases",
        "chlorine",
        "bromine",
        "iodine",
        "current",
        "deference",
    }
    assert used | general == set(tables.cautions())


def test_reasons_to_stay_on_paper() -> None:
    expected = {
        ("H2SO4", 3.0, "graphite", 0.1, 60.0): "at most 1.5 mol/L",
        ("NaClO4", 0.1, "graphite", 0.1, 60.0): "on paper only",
        ("KNO3", 0.1, "graphite", 1.0, 60.0): "0.5 A",
        ("NaCl", 0.005, "graphite", 0.1, 60.0): "no class cell",
        ("NaCl", 3.0, "graphite", 0.5, 600.0): "15 mL",
        ("KBr", 1.0, "graphite", 0.4, 600.0): "bromine",
        ("ZnSO4", 0.1, "platinum", 0.1, 60.0): "alloy",
        ("K2SO4", 0.1, "graphite:copper", 0.1, 60.0): "second kind of ion",
    }
    for (salt, molarity, electrodes, current, time), words in expected.items():
        shown = evidence(cell(salt, molarity, electrodes, current=current, time=time))
        assert shown.use == "paper", salt
        assert words in shown.use_reason
        assert not shown.allowed_in_class


def test_chlorine_made_by_the_charge() -> None:
    run = simulate(cell("NaCl", 2.0, current=0.1, time=300.0))
    assert made(run, Formula.parse("Cl2")) == pytest.approx(30 / 96485.33 / 2, rel=1e-6)
    assert made(run, Formula.parse("Br2")) == 0
    # In the mixed zone all of the current is counted, to be safe.
    zone = simulate(cell("NaCl", 0.5, current=0.1, time=300.0))
    assert made(zone, Formula.parse("Cl2")) == pytest.approx(30 / 96485.33 / 2, rel=1e-6)
