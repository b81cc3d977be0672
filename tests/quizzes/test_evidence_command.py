"""The evidence command: the shape of its JSON, its text, its errors."""

import json
from io import StringIO
from typing import Any

import pytest
from django.core.management import CommandError, call_command

from problems.cell.evidence import evidence
from problems.cell.report import as_json
from problems.cell.setup import Setup
from problems.cell.tables import electrodes, electrolytes, indicators
from tests.problems.cell.helpers import cell

SHOWCASE = {
    "electrolyte": "KNO3",
    "concentration": "0.25 mol/L",
    "electrodes": "graphite",
    "indicator": "phenol red",
    "current": "0.40 A",
    "time": "12 min",
    "temperature": "21 °C",
    "pressure": "99.2 kPa",
}


def run(capsys: pytest.CaptureFixture[str], **options: Any) -> str:
    call_command("evidence", stdout=StringIO(), **{**SHOWCASE, **options})
    return capsys.readouterr().out


def read(capsys: pytest.CaptureFixture[str], **options: Any) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(run(capsys, json=True, **options))
    return found


def test_the_shape_of_the_json(capsys: pytest.CaptureFixture[str]) -> None:
    found = read(capsys)
    assert {
        "setup",
        "cathode",
        "anode",
        "start",
        "charge_c",
        "electrons_mol",
        "overall",
        "least_voltage",
        "ratio",
        "series",
        "cautions",
        "allowed_in_class",
        "use",
    } <= found.keys()
    for role in ("cathode", "anode"):
        assert {
            "half_reaction",
            "products",
            "gas_mol",
            "gas_ml",
            "gas_ml_dry",
            "deposit_g",
            "electrode_g",
            "ph",
            "colour",
            "why",
            "stages",
        } <= found[role].keys()
    assert found["cathode"]["half_reaction"] == "2 H2O + 2 e^- -> H2 + 2 OH^-"
    assert found["cathode"]["products"] == ["H2"]
    assert found["cathode"]["deposit_g"] is None
    assert found["cathode"]["electrode_g"] is None
    assert found["overall"] == "2 H2O -> 2 H2 + O2"
    assert found["ratio"] == "2:1"
    assert found["charge_c"] == pytest.approx(288.0)
    assert found["start"] == {"ph": 7.0, "colour": "orange"}
    assert found["allowed_in_class"] is True
    assert Setup.from_json(found["setup"]) == Setup.from_text(**SHOWCASE)


def test_volumes_by_hand(capsys: pytest.CaptureFixture[str]) -> None:
    # 288 C give 1.4925 mmol of hydrogen; RT/(p - 2488 Pa) and RT/p at 21 °C and 99.2 kPa.
    cathode = read(capsys)["cathode"]
    assert cathode["gas_mol"] == pytest.approx(288 / 96485.33212 / 2)
    assert cathode["gas_ml"] == pytest.approx(
        1.49245e-3 * 8.314463 * 294.15 / (99_200 - 2488.2) * 1e6, rel=1e-4
    )
    assert cathode["gas_ml_dry"] == pytest.approx(1.49245e-3 * 8.314463 * 294.15 / 99_200 * 1e6, rel=1e-4)


def test_series_in_the_json(capsys: pytest.CaptureFixture[str]) -> None:
    series = read(capsys)["series"]
    assert {"minutes", "cathode_ml", "anode_ml", "cathode_ph", "anode_ph"} <= series.keys()
    assert len({len(column) for column in series.values()}) == 1
    assert len(series["minutes"]) >= 25
    assert series["minutes"][0] == 0
    assert series["minutes"][-1] == pytest.approx(12.0)


def test_stages_and_mixed_zones(capsys: pytest.CaptureFixture[str]) -> None:
    stage = read(capsys)["anode"]["stages"][0]
    assert stage.keys() >= {"from_min", "until_min", "half_reaction", "products", "why"}
    assert (stage["from_min"], stage["until_min"]) == (0, pytest.approx(12.0))
    zone = read(capsys, electrolyte="NaCl")["anode"]
    assert zone["mixed"] is True
    assert zone["half_reaction"] is None
    assert set(zone["products"]) == {"Cl2", "O2"}
    assert zone["stages"][0]["mixed"] is True


def test_a_refused_setup(capsys: pytest.CaptureFixture[str]) -> None:
    found = read(capsys, electrolyte="NH4Cl")
    assert found["allowed_in_class"] is False
    assert found["use"] == "refused"
    assert "nitrogen trichloride" in found["reason"]
    known = {"setup", "allowed_in_class", "use", "reason"}
    assert all(value is None for key, value in found.items() if key not in known)


def test_own_metal_on_both_sides(capsys: pytest.CaptureFixture[str]) -> None:
    found = read(capsys, electrolyte="CuSO4.5H2O", electrodes="copper", indicator="none")
    assert found["setup"]["hydrate"] == "CuSO4.5H2O"
    assert found["cathode"]["deposit_g"] == pytest.approx(288 / 96485.33212 / 2 * 63.546, rel=1e-4)
    assert found["anode"]["electrode_g"] == pytest.approx(-found["cathode"]["deposit_g"])
    assert found["least_voltage"] == 0
    assert found["ratio"] is None
    assert found["overall"] is None


def refuse(constant: str) -> None:
    raise AssertionError(f"{constant} is no JSON")


def test_no_json_value_is_not_a_number(capsys: pytest.CaptureFixture[str]) -> None:
    for salt in sorted(electrolytes()):
        json.loads(run(capsys, json=True, electrolyte=salt, concentration="0.1 mol/L"), parse_constant=refuse)


def test_text_for_people(capsys: pytest.CaptureFixture[str]) -> None:
    text = run(capsys)
    assert "KNO₃, 0.25 mol/L, graphite (−) and graphite (+), 0.4 A for 12 min" in text
    assert "Cathode: 2 H₂O + 2 e⁻ → H₂ + 2 OH⁻" in text
    assert "37.7 mL over water" in text
    assert "Gas, cathode to anode: 2 : 1" in text
    assert text.rstrip().endswith("ask a qualified person.")
    assert "Refused:" in run(capsys, electrolyte="NH4Cl")
    silver = run(capsys, electrolyte="AgNO3", electrodes="silver", current="0.1 A")
    assert "deposit 0.0805 g" in silver
    assert "electrode −0.0805 g" in silver
    assert "not collected" in run(capsys, electrolyte="NaCl", concentration="2 mol/L")
    assert "from" in run(capsys, electrolyte="CuSO4", concentration="0.01 mol/L", time="1 h", current="0.1 A")


def test_list(capsys: pytest.CaptureFixture[str]) -> None:
    found = json.loads(run(capsys, list=True, json=True))
    assert [row["formula"] for row in found["electrolytes"]] == list(electrolytes())
    assert found["electrodes"] == list(electrodes())
    assert found["indicators"] == list(indicators())
    text = run(capsys, list=True)
    for word in ("CuSO4.5H2O", "potassium nitrate", "phenol red", "graphite"):
        assert word in text


@pytest.mark.parametrize(
    "options",
    [
        {"electrolyte": "KNO5"},
        {"electrolyte": None},
        {"concentration": "5"},
        {"concentration": None},
        {"current": "-1 A"},
        {"time": "nan min"},
        {"electrodes": "wood"},
        {"indicator": "ink"},
        {"pressure": "0 kPa"},
    ],
)
def test_errors_are_one_sentence_with_status_2(
    options: dict[str, Any], capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(CommandError) as error:
        run(capsys, **options)
    assert error.value.returncode == 2
    assert str(error.value).count("\n") == 0
    assert str(error.value).endswith((".", "?"))


def test_json_agrees_with_the_evidence() -> None:
    setup = cell("CuSO4", 0.1, "graphite", "litmus")
    found, shown = as_json(setup), evidence(setup)
    assert found["anode"]["gas_ml"] == pytest.approx(shown.anode.gas_volume * 1e6)
    assert found["cathode"]["deposit_g"] == pytest.approx(shown.cathode.deposit * 1e3)
    assert found["cathode"]["unfair"] == dict(sorted(shown.cathode.unfair.items()))
    assert sorted(shown.anode.fair) == found["anode"]["fair"]
