"""The rules for a fair question on a cell, of discharge and electrodes: one test a rule, by number."""

import pytest

from problems.cell import tables
from problems.cell.evidence import evidence
from problems.cell.shown import Evidence
from problems.chemistry.formula import Formula

from .helpers import cell, strongest

METALS = ("copper", "silver", "zinc", "nickel", "iron")
WATER_C, ACID_C = "2 H2O + 2 e^- -> H2 + 2 OH^-", "2 H^+ + 2 e^- -> H2"
WATER_A, BASE_A = "2 H2O -> O2 + 4 H^+ + 4 e^-", "4 OH^- -> O2 + 2 H2O + 4 e^-"


def accepted(shown: Evidence, role: str) -> set[str]:
    return {str(half) for half in getattr(shown, role).accepted}


def refused(salt: str, electrodes: str, molarity: float = 0.1) -> str:
    shown = evidence(cell(salt, strongest(salt, molarity), electrodes))
    assert (shown.use == "refused") == (shown.refused_reason is not None)
    return shown.refused_reason or ""


# What is discharged


def test_rule_01_no_number_contains_an_overpotential() -> None:
    # Summed with overpotentials water would need 2.4 to 2.8 V, and platinum would give peroxodisulfate.
    shown = evidence(cell("KNO3", 0.1, "platinum"))
    assert shown.least_voltage == pytest.approx(1.229, abs=1e-3)
    assert evidence(cell("KNO3", 0.1, "graphite")).least_voltage == shown.least_voltage
    assert evidence(cell("K2SO4", 0.1, "platinum")).anode.products == (Formula.parse("O2"),)
    assert evidence(cell("NaCl", 0.005, "platinum")).anode.products == (Formula.parse("O2"),)
    for electrodes in ("graphite", "platinum"):
        water_entry = evidence(cell("KNO3", 0.1, electrodes)).anode.candidates[0]
        assert water_entry.potential == pytest.approx(0.815, abs=1e-3)


@pytest.mark.parametrize(
    ("salt", "molarity", "cathode", "anode"),
    [
        ("HCl", 0.01, ACID_C, None),
        ("HCl", 0.005, WATER_C, None),
        ("H2SO4", 0.01, ACID_C, WATER_A),
        ("NaOH", 0.01, WATER_C, BASE_A),
        ("NaOH", 0.005, WATER_C, WATER_A),
        ("KNO3", 0.1, WATER_C, WATER_A),
        ("Na2CO3", 0.1, WATER_C, WATER_A),
    ],
)
def test_rule_02_water_or_its_ions(salt: str, molarity: float, cathode: str, anode: str | None) -> None:
    shown = evidence(cell(salt, molarity))
    assert str(shown.cathode.half_reaction) == cathode
    if anode:
        assert str(shown.anode.half_reaction) == anode


def test_rule_02_salts_that_hydrolyse_accept_both_forms() -> None:
    assert {WATER_C, ACID_C} <= accepted(evidence(cell("(NH4)2SO4", 0.1)), "cathode")
    assert {WATER_C, ACID_C} <= accepted(evidence(cell("Al2(SO4)3", 0.05)), "cathode")
    assert {WATER_A, BASE_A} <= accepted(evidence(cell("Na2CO3", 0.1)), "anode")
    assert {WATER_A, BASE_A} <= accepted(evidence(cell("NaHCO3", 0.1)), "anode")
    neutral = evidence(cell("KNO3", 0.1))
    assert accepted(neutral, "cathode") == {WATER_C}
    assert accepted(neutral, "anode") == {WATER_A}
    assert accepted(evidence(cell("H2SO4", 0.1)), "cathode") == {ACID_C}


def test_rule_03_nitrate_and_sulfate_stay() -> None:
    for electrodes in ("graphite", "platinum"):
        shown = evidence(cell("KNO3", 0.1, electrodes))
        nitrate = next(entry for entry in shown.cathode.candidates if "NO3" in str(entry.half_reaction))
        assert not nitrate.won
        assert nitrate.potential > shown.cathode.candidates[0].potential
        assert "Nitrate stays" in nitrate.why
        sulfate = evidence(cell("Na2SO4", 0.1, electrodes)).anode.candidates[-1]
        assert "Sulfate stays" in sulfate.why
    for salt in ("KNO3", "NaNO3"):
        for metal in METALS:
            assert "nitrite" in refused(salt, f"{metal}:platinum"), (salt, metal)


@pytest.mark.parametrize(
    ("chloride", "products", "asked", "use"),
    [
        (5.0, {"Cl2"}, True, "hood"),
        (1.0, {"Cl2"}, True, "hood"),
        (0.999, {"Cl2", "O2"}, False, "hood"),
        (0.01, {"Cl2", "O2"}, False, "hood"),
        (0.0099, {"O2"}, False, "paper"),
        (0.001, {"O2"}, False, "paper"),
    ],
)
def test_rule_04_chloride_by_its_concentration(
    chloride: float, products: set[str], asked: bool, use: str
) -> None:
    shown = evidence(cell("NaCl", chloride, current=0.05))
    assert {product.plain for product in shown.anode.products} == products
    assert ("half_reaction" in shown.anode.fair) == asked
    assert (shown.anode.half_reaction is None) == shown.anode.mixed == (len(products) == 2)
    assert shown.use == use


def test_rule_04_counts_chloride_ions_not_formula_units() -> None:
    assert not evidence(cell("CuCl2", 0.5)).anode.mixed
    assert evidence(cell("CuCl2", 0.49)).anode.mixed


def test_rule_04_overpotential_explains_chlorine() -> None:
    anode = evidence(cell("NaCl", 1.0)).anode
    water_entry = next(entry for entry in anode.candidates if "O2" in str(entry.half_reaction))
    assert water_entry.potential == pytest.approx(0.815, abs=2e-3)
    assert anode.candidates[0].potential == pytest.approx(1.36, abs=2e-3)
    assert "overpotential" in anode.why


def test_rule_05_several_right_forms() -> None:
    iodide = accepted(evidence(cell("KI", 0.1)), "anode")
    assert iodide == {"2 I^- -> I2 + 2 e^-", "3 I^- -> I3^- + 2 e^-"}
    rows = tables.electrolytes()
    forms = {str(equation) for equation in rows["NaHCO3"].hydrolysis}
    assert forms == {"HCO3^- -> CO2 + OH^-", "HCO3^- + H2O -> H2CO3 + OH^-"}
    aluminium = {str(equation) for equation in rows["Al2(SO4)3"].hydrolysis}
    assert any("Al(H2O)6" in form for form in aluminium)
    assert any(form.startswith("Al^3+ ") for form in aluminium)


def test_rule_06_what_is_never_asked() -> None:
    for salt in ("ZnSO4", "NiSO4"):
        for electrodes in ("graphite", "platinum"):
            cathode = evidence(cell(salt, 0.5, electrodes)).cathode
            assert cathode.mixed
            assert not cathode.fair & {"half_reaction", "product", "deposit", "gas_amount"}
    assert not evidence(cell("SnCl2", 0.2)).anode.fair
    for salt in ("Na2SO4", "K2SO4", "MgSO4", "AgNO3"):
        assert "nature" not in evidence(cell(salt, 0.1)).fair, salt
    assert "nature" not in evidence(cell("NaHCO3", 0.1, indicator="phenolphthalein")).fair
    assert "nature" in evidence(cell("NaHCO3", 0.1, indicator="bromothymol blue")).fair
    for salt in ("NaOH", "KOH"):
        assert "ratio" not in evidence(cell(salt, 0.1, "graphite")).fair
        assert "ratio" in evidence(cell(salt, 0.1, "platinum")).fair
    for salt in ("Na2CO3", "NaHCO3"):
        for electrodes in ("graphite", "platinum"):
            assert "ratio" not in evidence(cell(salt, 0.1, electrodes)).fair
    assert "deposit" not in evidence(cell("CuCl2", 1.0)).cathode.fair
    assert "deposit" in evidence(cell("CuSO4", 1.0)).cathode.fair


# Electrodes


@pytest.mark.parametrize(
    ("salt", "metal"),
    [
        ("CuSO4", "copper"),
        ("Cu(NO3)2", "copper"),
        ("AgNO3", "silver"),
        ("ZnSO4", "zinc"),
        ("NiSO4", "nickel"),
    ],
)
def test_rule_electrodes_active_anodes(salt: str, metal: str) -> None:
    shown = evidence(cell(salt, 0.2, metal))
    assert shown.use == ("paper" if salt == "NiSO4" else "bench" if salt != "AgNO3" else "hood")
    assert {"half_reaction", "product", "mass_change"} <= shown.anode.fair
    assert shown.anode.mass_change == pytest.approx(-shown.cathode.deposit)
    assert shown.least_voltage == 0
    assert shown.overall is None
    assert "overall" not in shown.fair


def test_rule_electrodes_inert_metals() -> None:
    for salt in ("NaOH", "KOH"):
        for metal in ("nickel", "iron"):
            assert not refused(salt, metal)
            assert evidence(cell(salt, 0.1, metal)).anode.products == (Formula.parse("O2"),)
    for salt in ("K2SO4", "NaCl", "Na2CO3", "ZnSO4", "(NH4)2SO4"):
        for metal in ("nickel", "iron"):
            assert "anode" in refused(salt, f"graphite:{metal}")
    # Plating zinc or tin on platinum, and long runs in chloride, stay on paper.
    for salt in ("ZnSO4", "SnCl2"):
        assert evidence(cell(salt, 0.1, "platinum")).use == "paper"
    assert evidence(cell("NaCl", 2.0, "platinum", current=0.01, time=3600)).use == "paper"
    assert evidence(cell("NaCl", 2.0, "platinum", current=0.01, time=300)).use == "hood"


@pytest.mark.parametrize(
    ("metal", "salts"),
    [
        ("zinc", ["CuSO4", "CuCl2", "Cu(NO3)2", "AgNO3", "SnCl2", "H2SO4", "HCl", "Al2(SO4)3", "NiSO4"]),
        ("iron", ["CuSO4", "CuCl2", "Cu(NO3)2", "AgNO3", "SnCl2", "H2SO4", "HCl", "Al2(SO4)3", "NiSO4"]),
        ("nickel", ["CuSO4", "CuCl2", "Cu(NO3)2", "AgNO3", "SnCl2"]),
        ("copper", ["AgNO3", "CuCl2", "(NH4)2SO4", "NH4Cl"]),
    ],
)
def test_rule_electrodes_attacked_without_current(metal: str, salts: list[str]) -> None:
    for salt in salts:
        for electrodes in (metal, f"{metal}:platinum", f"platinum:{metal}"):
            assert refused(salt, electrodes), (salt, electrodes)


def test_rule_electrodes_attack_follows_potentials() -> None:
    assert "goes into this solution" in refused("CuSO4", "zinc:graphite")
    assert "acid" in refused("H2SO4", "iron:graphite")
    # A little metal in solution is enough: nickel holds only against acid weaker than its own trace.
    assert "acid" in refused("Al2(SO4)3", "nickel:graphite", 0.05)
    for salt in ("NaOH", "KOH", "Na2CO3", "NaHCO3"):
        assert "alkaline" in refused(salt, "zinc:graphite")
    # The other way round nothing happens, as with copper in zinc sulfate.
    for salt, metal in (("ZnSO4", "copper"), ("CuSO4", "silver"), ("MgSO4", "zinc"), ("H2SO4", "copper")):
        assert not refused(salt, f"{metal}:graphite"), (salt, metal)


def test_rule_electrodes_layers_and_complexes() -> None:
    for salt in ("NaCl", "HCl", "KBr", "KI", "NaOH", "KOH", "Na2CO3", "NaHCO3"):
        for metal in ("silver", "copper"):
            assert refused(salt, f"graphite:{metal}"), (salt, metal)


def test_rule_electrodes_danger() -> None:
    for electrodes in (*METALS, "graphite", "platinum"):
        assert refused("NH4Cl", electrodes)
    assert "explosive" in refused("NH4Cl", "graphite")
    assert "explosive" in refused("(NH4)2SO4", "silver")
    assert evidence(cell("NaClO4", 0.1)).use == "paper"
