"""Setups from text and numbers: what reads, what is refused, and that texts read back exactly."""

from dataclasses import FrozenInstanceError, replace
from math import inf, nan

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from problems.cell import units
from problems.cell.setup import LIMITS, Setup, SetupError
from problems.cell.tables import electrodes, electrolytes, indicators
from problems.errors import ProblemError

SHOWCASE = {
    "electrolyte": "KNO3",
    "concentration": "0.25 mol/L",
    "electrodes": "graphite",
    "indicator": "phenol red",
    "current": "0.40 A",
    "time": "12 min",
    "temperature": "21 °C",
    "pressure": "99.2 kPa",
    "arm_volume": "50 mL",
    "tube_volume": "50 mL",
}


def read(**changes: str | None) -> Setup:
    return Setup.from_text(**{**SHOWCASE, **changes})


def test_the_showcase_reads() -> None:
    assert read() == Setup(
        "KNO3", 250.0, "graphite", "graphite", "phenol red", 0.4, 720.0, 294.15, 99_200.0, 50e-6, 50e-6
    )


def test_what_may_be_left_out() -> None:
    for name in ("temperature", "pressure", "arm_volume", "tube_volume"):
        assert read(**{name: None}) == replace(
            read(), **{name: getattr(Setup("KNO3", 1.0, "graphite", "graphite", None, 1.0, 1.0), name)}
        )
    assert read(indicator=None).indicator is None
    assert read(indicator="none").indicator is None


@pytest.mark.parametrize(
    ("name", "text", "value"),
    [
        ("concentration", "250 mmol/L", 250.0),
        ("concentration", "0,25 mol/L", 250.0),
        ("concentration", "0.25M", 250.0),
        ("concentration", "250 mol/m3", 250.0),
        ("concentration", "0.25 mol/dm³", 250.0),
        ("concentration", "2.5e-1 mol/L", 250.0),
        ("current", "400 mA", 0.4),
        ("current", ".4 A", 0.4),
        ("time", "720 s", 720.0),
        ("time", "0.2 h", 720.0),
        ("temperature", "294.15 K", 294.15),
        ("temperature", "21 degC", 294.15),
        ("pressure", "992 hPa", 99_200.0),
        ("pressure", "0.992 bar", 99_200.0),
        ("pressure", "1 atm", 101_325.0),
        ("pressure", "760 torr", 101_325.0),
        ("arm_volume", "50 cm³", 50e-6),
        ("arm_volume", "0.05 L", 50e-6),
    ],
)
def test_units(name: str, text: str, value: float) -> None:
    assert getattr(read(**{name: text}), name) == pytest.approx(value, rel=1e-15)


def test_hydrates_name_their_salt() -> None:
    setup = read(electrolyte="CuSO4.5H2O")
    assert (setup.electrolyte, setup.hydrate) == ("CuSO4", "CuSO4.5H2O")
    assert setup.solid.molar_mass == pytest.approx(249.68, abs=0.02)
    assert read(electrolyte="CuSO4·5H2O") == setup
    assert read(electrolyte="CuSO4").solid.molar_mass == pytest.approx(159.60, abs=0.02)


def test_electrodes_of_two_kinds() -> None:
    setup = read(electrolyte="CuSO4", electrodes="graphite:copper")
    assert (setup.cathode, setup.anode) == ("graphite", "copper")
    assert read(electrodes=None, cathode="graphite", anode="Platinum").anode == "platinum"


BAD = [
    ({"electrolyte": ""}, "formula"),
    ({"electrolyte": "KNO4"}, "did you mean KNO3"),
    ({"electrolyte": "Xq9"}, "not in the table"),
    ({"electrolyte": "kno3"}, "did you mean KNO3"),
    ({"electrolyte": "CuSO4.6H2O"}, "did you mean CuSO4"),
    ({"electrolyte": "'; DROP TABLE"}, "not in the table"),
    ({"electrodes": "gold"}, "known are graphite"),
    ({"electrodes": ""}, "cathode"),
    ({"electrodes": "graphite:"}, "anode"),
    ({"electrodes": "graphite:copper:zinc"}, "copper:zinc"),
    ({"indicator": "tea"}, "known are"),
    ({"concentration": None}, "needs its concentration"),
    ({"current": None}, "needs its current"),
    ({"time": None}, "needs its time"),
    ({"concentration": "0.25"}, "no unit"),
    ({"concentration": "0.25 kg"}, "no unit"),
    ({"concentration": "lots"}, "not a number"),
    ({"concentration": ""}, "not a number"),
    ({"concentration": "0 mol/L"}, "greater than zero"),
    ({"concentration": "-1 mol/L"}, "greater than zero"),
    ({"concentration": "−1 mol/L"}, "greater than zero"),
    ({"concentration": "3 mol/L"}, "dissolves to about 2.7 mol/L"),
    ({"concentration": "1e-9 mol/L"}, "between 0.0001 mol/L"),
    ({"concentration": "nan mol/L"}, "not a number"),
    ({"current": "inf A"}, "not a number"),
    ({"current": "1e999 A"}, "must be a number"),
    ({"current": "0.4 V"}, "no unit"),
    ({"current": "6 A"}, "between 0.001 A and 5 A"),
    ({"current": "0 A"}, "greater than zero"),
    ({"time": "-3 min"}, "greater than zero"),
    ({"time": "25 h"}, "between"),
    ({"time": "12"}, "no unit"),
    ({"temperature": "-300 °C"}, "between"),
    ({"temperature": "80 °C"}, "between 5 °C and 45 °C"),
    ({"temperature": "70 F"}, "no unit"),
    ({"pressure": "2 bar"}, "between"),
    ({"arm_volume": "0 mL"}, "greater than zero"),
    ({"tube_volume": "5 L"}, "between"),
    ({"time": "__import__('os')"}, "not a number"),
    ({"time": "1" * 5000}, "not a number"),
    ({"voltage": "3 V"}, "no field"),
]


@pytest.mark.parametrize(("changes", "words"), BAD)
def test_bad_input_gets_one_clear_sentence(changes: dict[str, str | None], words: str) -> None:
    with pytest.raises(ProblemError) as error:
        read(**changes)
    sentence = str(error.value)
    assert words in sentence
    assert sentence.endswith((".", "?"))
    assert "\n" not in sentence
    assert len(sentence) < 400


@pytest.mark.parametrize("field", sorted(LIMITS))
@pytest.mark.parametrize("value", [nan, inf, -inf, -1.0, 0.0, 1e12, "5", None, True])
def test_numbers_that_are_none(field: str, value: float) -> None:
    with pytest.raises(SetupError) as error:
        replace(read(), **{field: value})
    assert error.value.field == field


def test_a_hydrate_must_belong_to_its_salt() -> None:
    with pytest.raises(SetupError, match="not a hydrate"):
        replace(read(), hydrate="CuSO4.5H2O")


def test_a_setup_does_not_change() -> None:
    with pytest.raises(FrozenInstanceError):
        read().current = 1.0  # type: ignore[misc]


@settings(max_examples=200)
@given(
    salt=st.sampled_from(sorted(electrolytes())),
    share=st.floats(0.001, 1.0),
    pair=st.tuples(st.sampled_from(sorted(electrodes())), st.sampled_from(sorted(electrodes()))),
    dye=st.sampled_from([None, *sorted(indicators())]),
    current=st.floats(*LIMITS["current"]),
    time=st.floats(*LIMITS["time"]),
    temperature=st.floats(*LIMITS["temperature"]),
    pressure=st.floats(*LIMITS["pressure"]),
    volumes=st.tuples(st.floats(*LIMITS["arm_volume"]), st.floats(*LIMITS["tube_volume"])),
)
def test_texts_read_back_exactly(
    salt, share, pair, dye, current, time, temperature, pressure, volumes
) -> None:  # type: ignore[no-untyped-def]
    molarity = max(electrolytes()[salt].solubility * share, 1e-3)
    setup = Setup(salt, molarity * 1000, *pair, dye, current, time, temperature, pressure, *volumes)
    assert Setup.from_json(setup.as_json()) == setup


def test_texts_are_friendly() -> None:
    texts = read().as_json()
    assert texts["concentration"] == "0.25 mol/L"
    assert texts["time"] == "12 min"
    assert texts["temperature"] == "21 °C"
    assert texts["pressure"] == "99.2 kPa"
    assert texts["arm_volume"] == "50 mL"
    assert texts["current"] == "0.4 A"


@pytest.mark.parametrize("kind", sorted(units.UNITS))
def test_every_unit_of_the_list_is_known_to_pint(kind: str) -> None:
    for unit in units.UNITS[kind]:
        assert units.read(kind, f"1 {unit}") > 0
    assert units.read(kind, units.example(kind)) > 0
