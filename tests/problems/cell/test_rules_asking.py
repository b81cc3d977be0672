"""The rules for a fair question on a cell, of pH, amounts and care: one test a rule, by number."""

from math import log10

import pytest

from problems.cell import arm, colours, solution, tables, water
from problems.cell.evidence import evidence
from problems.cell.fairness import colour_reason
from problems.cell.run import simulate
from problems.cell.setup import SetupError
from problems.chemistry.formula import Formula

from .helpers import cell, strongest

# pH and colour


def test_rule_07_ph_only_where_nothing_interferes() -> None:
    shown = evidence(cell("KNO3", 0.1, current=0.05))
    assert {"ph"} <= shown.cathode.fair & shown.anode.fair
    # -log c with pKw 14.00: 30 C in 50 mL.
    made = 0.05 * 600 / 96485.33212 / 0.05
    assert shown.anode.ph_alone == pytest.approx(-log10(made), abs=1e-3)
    assert shown.cathode.ph_alone + shown.anode.ph_alone == pytest.approx(14.0, abs=1e-3)
    for salt in ("K2SO4", "H2SO4", "Na2CO3", "NaHCO3", "(NH4)2SO4", "Al2(SO4)3", "CuSO4", "MgSO4"):
        for electrode in evidence(cell(salt, 0.05)).electrodes:
            assert "ph" not in electrode.fair, (salt, electrode.role)
    for salt, molarity in (("NaCl", 2.0), ("HCl", 2.0), ("KBr", 0.1), ("KI", 0.1)):
        anode = evidence(cell(salt, molarity)).anode
        assert anode.ph is None
        assert "ph" not in anode.fair


def test_rule_07_not_where_the_current_carries_too_much() -> None:
    strong = evidence(cell("KNO3", 0.05, current=0.4, time=720))
    assert abs(strong.cathode.ph - strong.cathode.ph_alone) > 0.1
    assert "ph" not in strong.cathode.fair


def test_rule_08_precipitation_before_ph_before_colour() -> None:
    magnesium = evidence(cell("MgSO4", 0.1, indicator="thymol blue")).cathode
    assert magnesium.ph == pytest.approx(8.9, abs=0.15)
    assert magnesium.cloud == Formula.parse("Mg(OH)2")
    assert magnesium.colour == "green"
    aluminium = evidence(cell("Al2(SO4)3", 0.05, current=0.4)).cathode
    assert aluminium.ph == pytest.approx(4, abs=0.4)
    assert aluminium.cloud == Formula.parse("Al(OH)3")
    ammonium = evidence(cell("(NH4)2SO4", 0.1, current=0.4)).cathode
    assert ammonium.ph == pytest.approx(9, abs=0.4)
    content = {"Al^3+": 0.001, "K^+": 0.1}
    assert solution.ph(content) > 12  # all aluminium used up: the arm turns basic after all


def test_rule_09_no_colour_near_a_limit() -> None:
    dyes = tables.indicators()
    for name, value, near in [
        ("bromothymol blue", 5.75, True),
        ("bromothymol blue", 5.65, False),
        ("bromothymol blue", 7.85, True),
        ("bromothymol blue", 7.95, False),
        ("litmus", 4.05, True),
        ("litmus", 3.95, False),
        ("litmus", 8.75, True),
        ("thymolphthalein", 8.85, True),
        ("thymolphthalein", 10.95, True),
        ("phenolphthalein", 7.85, True),
        ("phenolphthalein", 7.75, False),
    ]:
        assert colours.near_limit(dyes[name], value) == near, (name, value)


def test_rule_09_no_colour_where_something_hides_it() -> None:
    for salt, molarity in (("CuSO4", 0.1), ("NiSO4", 0.1), ("SnCl2", 0.1)):
        for electrode in evidence(cell(salt, molarity, indicator="bromothymol blue")).electrodes:
            assert "colour" not in electrode.fair, salt
    for salt, molarity in (("KI", 0.1), ("KBr", 0.1), ("NaCl", 2.0), ("NaCl", 0.1)):
        assert "colour" not in evidence(cell(salt, molarity, indicator="bromothymol blue")).anode.fair
        assert "colour" in evidence(cell(salt, molarity, indicator="bromothymol blue")).cathode.fair
    for dye in ("methyl orange", "methyl red"):
        assert "colour" not in evidence(cell("KNO3", 0.1, indicator=dye)).cathode.fair
        assert "colour" in evidence(cell("KNO3", 0.1, indicator=dye)).anode.fair


def test_rule_10_two_changes_in_one_indicator() -> None:
    dyes = tables.indicators()
    for name in ("thymol blue", "cresol red", "phenol red"):
        assert len(dyes[name].steps) == 2
    assert colours.of_indicator(dyes["thymol blue"], 0.5) == "red"
    assert colours.of_indicator(dyes["thymol blue"], 5.0) == "yellow"
    assert colours.of_indicator(dyes["thymol blue"], 11.0) == "blue"
    assert set(colours.same("red", dyes["phenol red"])) >= {"red", "pink", "magenta", "fuchsia"}
    assert "pink" not in colours.same("red", dyes["litmus"])
    # Cut points of the mixtures lie half way between the bands.
    assert dyes["universal indicator"].cuts == (3.5, 6.5, 7.5, 10.5)
    assert dyes["red cabbage"].cuts == (3.5, 6.5, 7.5, 9.5, 12.5)


@pytest.mark.parametrize(("molarity", "asked"), [(0.001, True), (0.02, True), (0.06, False), (0.3, False)])
def test_rule_11_phenolphthalein_fades_in_strong_base(molarity: float, asked: bool) -> None:
    shown = evidence(cell("NaOH", molarity, "platinum", "phenolphthalein", current=0.001, time=60))
    assert shown.cathode.colour == "pink"
    assert ("colour" in shown.cathode.fair) == asked


def test_rule_11_nor_is_it_asked_just_above_its_interval() -> None:
    dye = tables.indicators()["phenolphthalein"]
    assert colour_reason(dye, [9.3])
    assert not colour_reason(dye, [11.0])
    assert not colour_reason(dye, [6.0])


def test_rule_12_neutral_salts_start_at_7() -> None:
    for salt in ("KNO3", "NaNO3", "K2SO4", "Na2SO4", "MgSO4", "NaCl", "KBr", "KI", "NaClO4"):
        shown = evidence(cell(salt, 0.1, indicator="bromothymol blue"))
        assert shown.start_ph == 7.0
        assert shown.start_colour == "green"
        assert "start_colour" in shown.fair, salt


def test_rule_13_copper_starts_acid_and_tin_without_ph() -> None:
    assert evidence(cell("CuSO4", 0.1)).start_ph == pytest.approx(4.4, abs=0.05)
    for salt in ("CuCl2", "Cu(NO3)2"):
        assert evidence(cell(salt, 0.1)).start_ph == pytest.approx(4.0, abs=0.1)
    tin = evidence(cell("SnCl2", 0.1))
    assert tin.start_ph is None
    assert tin.cathode.ph is None
    assert tin.anode.ph is None
    iodide = evidence(cell("KI", 0.1, indicator="phenolphthalein")).anode
    assert iodide.ph is None
    assert iodide.colour == "brown"


# Amounts


def test_rule_14_collected_over_water_or_made() -> None:
    brine = evidence(cell("NaCl", 2.0)).anode
    assert brine.gas == Formula.parse("Cl2")
    assert not brine.collected
    assert brine.gas_volume is None
    assert brine.gas_volume_dry > 0
    shown = evidence(cell("KNO3", 0.1, current=0.1, time=900, pressure=99_200.0))
    for electrode in shown.electrodes:
        assert electrode.collected
        share = 1 - water.vapour_pressure(294.15) / 99_200.0
        assert electrode.gas_volume_dry / electrode.gas_volume == pytest.approx(share)
    # 50 mL take up at most 1.0 mL of hydrogen and 1.6 mL of oxygen.
    room = evidence(cell("KNO3", 0.1, current=0.1, time=900, temperature=298.15))
    for electrode, most in zip(room.electrodes, (1.0e-6, 1.6e-6), strict=True):
        volume = water.gas_volume(electrode.dissolved, 298.15, 101_325, wet=False)
        assert volume == pytest.approx(most, abs=0.06e-6)
    assert "gas_volume" not in evidence(cell("KNO3", 0.1, current=0.001, time=60)).anode.fair


def test_rule_15_half_of_the_ion_a_fifth_of_the_acid() -> None:
    assert "deposit" in evidence(cell("CuSO4", 0.1, current=0.1, time=4800)).cathode.fair
    assert "deposit" not in evidence(cell("CuSO4", 0.1, current=0.1, time=4900)).cathode.fair
    acid = cell("HCl", 2.0, current=0.1, time=600)
    assert "ph" in evidence(acid).cathode.fair
    little = evidence(cell("NaOH", 0.2, "platinum", "bromothymol blue", current=0.1, time=600))
    much = evidence(cell("NaOH", 0.1, "platinum", "bromothymol blue", current=0.1, time=600))
    assert "ph" in little.anode.fair
    assert not much.anode.fair & {"ph", "colour"}
    # The cathode arm gains 12.4 mmol/L of base: an eighth of 0.1 mol/L, a quarter of 0.05 mol/L.
    assert "ph" in much.cathode.fair
    assert "ph" not in evidence(cell("NaOH", 0.05, "platinum", current=0.1, time=600)).cathode.fair
    for salt, solubility in [
        ("K2SO4", 0.6),
        ("NaHCO3", 1.1),
        ("CuSO4", 1.3),
        ("Na2SO4", 1.3),
        ("Na2CO3", 2.0),
        ("KNO3", 2.7),
        ("NaCl", 5.4),
    ]:
        assert cell(salt, solubility)
        with pytest.raises(SetupError, match="dissolves to about"):
            cell(salt, solubility * 1.01)


def test_rule_15_two_volumes() -> None:
    wide = simulate(cell("KNO3", 0.1, arm_volume=100e-6))
    narrow = simulate(cell("KNO3", 0.1))
    assert wide.end.ph["cathode"] < narrow.end.ph["cathode"] - 0.2
    assert wide.end.gas == narrow.end.gas
    small = simulate(cell("KNO3", 0.1, tube_volume=5e-6))
    assert small.ending == "cathode_tube"
    assert narrow.ending is None


def test_rule_16_currents_that_a_bench_can_drive() -> None:
    usual = evidence(cell("KNO3", 0.1, current=0.1))
    wide = evidence(cell("KNO3", 0.25, current=0.4))
    assert not any("porous plug" in sentence for sentence in usual.cautions)
    assert any("porous plug" in sentence for sentence in wide.cautions)
    assert usual.use == wide.use == "bench"
    assert evidence(cell("KNO3", 0.25, current=2.0)).use == "paper"


def test_rule_17_least_voltage() -> None:
    assert evidence(cell("CuSO4", 0.2, "copper")).least_voltage == 0
    assert evidence(cell("H2SO4", 0.5, "platinum")).least_voltage == pytest.approx(1.229, abs=1e-3)
    copper = evidence(cell("CuCl2", 1.0)).least_voltage
    # E(Cl2) - E(Cu) at 2 and 1 mol/L: 1.358 - 0.0592 log 2 - 0.34.
    assert copper == pytest.approx(1.358 - 0.0592 * 0.30103 - 0.34, abs=2e-3)
    assert evidence(cell("NaCl", 0.1)).least_voltage is None
    assert "least_voltage" not in evidence(cell("NaCl", 0.1)).fair


def test_rule_18_volumes_follow_temperature_and_pressure() -> None:
    base = evidence(cell("KNO3", 0.1)).cathode
    warm = evidence(cell("KNO3", 0.1, temperature=303.15)).cathode
    low = evidence(cell("KNO3", 0.1, pressure=95_000.0)).cathode
    assert base.gas_mol == warm.gas_mol == low.gas_mol
    assert warm.gas_volume_dry / base.gas_volume_dry == pytest.approx(303.15 / 294.15)
    assert low.gas_volume_dry / base.gas_volume_dry == pytest.approx(101_325 / 95_000)


# Care


@pytest.mark.parametrize(
    ("salt", "molarity", "use"),
    [
        ("KNO3", 1.0, "bench"),
        ("NaNO3", 1.0, "bench"),
        ("K2SO4", 0.5, "bench"),
        ("Na2SO4", 1.0, "bench"),
        ("MgSO4", 1.0, "bench"),
        ("H2SO4", 0.4, "bench"),
        ("H2SO4", 0.6, "hood"),
        ("H2SO4", 2.0, "paper"),
        ("NaOH", 0.1, "bench"),
        ("NaOH", 0.6, "hood"),
        ("KOH", 1.0, "hood"),
        ("NaCl", 2.0, "hood"),
        ("HCl", 2.0, "hood"),
        ("KBr", 0.1, "hood"),
        ("KI", 0.1, "bench"),
        ("KI", 0.5, "hood"),
        ("AgNO3", 0.1, "hood"),
        ("NiSO4", 0.1, "paper"),
        ("NaClO4", 0.1, "paper"),
        ("NH4Cl", 0.1, "refused"),
    ],
)
def test_rule_19_use(salt: str, molarity: float, use: str) -> None:
    shown = evidence(cell(salt, molarity))
    assert shown.use == use
    assert shown.allowed_in_class == (use in ("bench", "hood"))
    assert bool(shown.use_reason) == (use in ("hood", "paper"))


def test_rule_19_chlorine_by_amount() -> None:
    # 15 mL are one demonstration: 0.62 mmol at 21 °C and 1 atm, or 120 C.
    assert evidence(cell("NaCl", 4.0, current=0.1, time=1190)).use == "hood"
    assert evidence(cell("NaCl", 4.0, current=0.1, time=1210)).use == "paper"


def test_rule_20_cautions() -> None:
    words = " ".join(evidence(cell("KNO3", 0.1)).cautions)
    for part in (
        "eye protection",
        "spray",
        "low-voltage",
        "switch it off",
        "spark",
        "one vessel",
        "small tubes",
    ):
        assert part in words, part
    for salt in ("CuSO4", "ZnSO4", "Al2(SO4)3"):
        assert any("damages eyes" in sentence for sentence in evidence(cell(salt, 0.1)).cautions), salt
    assert any("irritates the eyes" in sentence for sentence in evidence(cell("Na2CO3", 0.1)).cautions)
    assert any("2 to 3 mol/L" in sentence for sentence in evidence(cell("HCl", 1.0)).cautions)
    assert any("0.5 mol/L" in sentence for sentence in evidence(cell("H2SO4", 0.1)).cautions)
    assert any("0.1 mol/L" in sentence for sentence in evidence(cell("AgNO3", 0.1)).cautions)
    for salt in tables.electrolytes():
        last = evidence(cell(salt, strongest(salt, 0.1))).cautions[-1]
        assert last == "Follow your school's rules and the safety data sheet; ask a qualified person."


def test_rule_21_salts_left_out() -> None:
    for salt in (
        "FeSO4",
        "MnSO4",
        "Pb(NO3)2",
        "CoSO4",
        "NaF",
        "Na2SO3",
        "Na2S2O3",
        "NaNO2",
        "K2CrO4",
        "CH3COONa",
    ):
        with pytest.raises(SetupError):
            cell(salt, 0.1)


def test_the_arm_of_a_halide_hides_what_its_ph_would_be() -> None:
    run = simulate(cell("KI", 0.1, indicator="phenolphthalein"))
    assert arm.halogen(run, "anode", run.end) == "I2"
    assert arm.halogen(run, "anode", run.moments[0]) is None
    assert arm.colour(run, "anode", run.moments[0]) == "colourless"
