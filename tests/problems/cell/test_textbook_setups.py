"""What textbooks say is discharged, setup by setup.

`found` rows rest on a text that was read; `common practice` rows follow the rule under test and were
reviewed by eye: they guard against change, they do not prove anything.
"""

import pytest

from problems.cell.evidence import evidence

from .helpers import cell

WATER_C, ACID_C = "2 H2O + 2 e^- -> H2 + 2 OH^-", "2 H^+ + 2 e^- -> H2"
WATER_A, BASE_A = "2 H2O -> O2 + 4 H^+ + 4 e^-", "4 OH^- -> O2 + 2 H2O + 4 e^-"
CHLORINE, BROMINE, IODINE = "2 Cl^- -> Cl2 + 2 e^-", "2 Br^- -> Br2 + 2 e^-", "2 I^- -> I2 + 2 e^-"
COPPER, COPPER_OFF = "Cu^2+ + 2 e^- -> Cu", "Cu -> Cu^2+ + 2 e^-"
SILVER, SILVER_OFF = "Ag^+ + e^- -> Ag", "Ag -> Ag^+ + e^-"
ZINC, ZINC_OFF = "Zn^2+ + 2 e^- -> Zn", "Zn -> Zn^2+ + 2 e^-"
NICKEL, NICKEL_OFF = "Ni^2+ + 2 e^- -> Ni", "Ni -> Ni^2+ + 2 e^-"

FOUND = [
    # Averill and Eldredge, section 19.7: nitrate, sulfate stay; hydrogen and oxygen on inert electrodes.
    ("KNO3", 0.1, "platinum", WATER_C, WATER_A),
    ("KNO3", 0.25, "graphite", WATER_C, WATER_A),
    ("Na2SO4", 0.1, "platinum", WATER_C, WATER_A),
    ("Na2SO4", 0.5, "graphite", WATER_C, WATER_A),
    # The same section and OpenStax Chemistry 2e, section 17.7: dilute sulfuric acid.
    ("H2SO4", 0.1, "platinum", ACID_C, WATER_A),
    ("H2SO4", 0.4, "graphite", ACID_C, WATER_A),
    # OpenStax, section 17.7: brine gives hydrogen, chlorine and hydroxide.
    ("NaCl", 1.0, "graphite", WATER_C, CHLORINE),
    ("NaCl", 5.0, "graphite", WATER_C, CHLORINE),
    ("NaCl", 2.0, "platinum", WATER_C, CHLORINE),
    # Averill, section 19.7, answer for an alkali iodide: hydrogen and iodine.
    ("KI", 0.1, "graphite", WATER_C, IODINE),
    ("KI", 0.5, "platinum", WATER_C, IODINE),
    # Averill, section 19.7: copper from copper sulfate; the answer for silver nitrate: Ag(s) and O2(g).
    ("CuSO4", 0.1, "platinum", COPPER, WATER_A),
    ("CuSO4", 0.5, "graphite", COPPER, WATER_A),
    ("CuSO4", 0.5, "copper", COPPER, COPPER_OFF),
    ("AgNO3", 0.1, "platinum", SILVER, WATER_A),
    ("AgNO3", 0.05, "graphite", SILVER, WATER_A),
    # OpenStax, example 17.9 and the text on silver plating: silver from a silver anode.
    ("AgNO3", 0.1, "silver", SILVER, SILVER_OFF),
    ("AgNO3", 0.1, "platinum:silver", SILVER, SILVER_OFF),
    # Two teaching pages: copper(II) chloride gives copper and chlorine.
    ("CuCl2", 0.5, "graphite", COPPER, CHLORINE),
    ("CuCl2", 1.0, "graphite", COPPER, CHLORINE),
]
COMMON_PRACTICE = [
    ("NaNO3", 0.1, "graphite", WATER_C, WATER_A),
    ("K2SO4", 0.1, "graphite", WATER_C, WATER_A),
    ("MgSO4", 0.1, "graphite", WATER_C, WATER_A),
    ("NaClO4", 0.1, "platinum", WATER_C, WATER_A),
    ("NaOH", 0.1, "graphite", WATER_C, BASE_A),
    ("NaOH", 1.0, "nickel", WATER_C, BASE_A),
    ("KOH", 0.1, "platinum", WATER_C, BASE_A),
    ("KOH", 1.0, "iron:nickel", WATER_C, BASE_A),
    ("HCl", 1.0, "graphite", ACID_C, CHLORINE),
    ("KBr", 0.1, "graphite", WATER_C, BROMINE),
    ("Cu(NO3)2", 0.1, "graphite", COPPER, WATER_A),
    ("Cu(NO3)2", 0.1, "copper", COPPER, COPPER_OFF),
    ("ZnSO4", 0.5, "zinc", ZINC, ZINC_OFF),
    ("ZnSO4", 0.5, "zinc:graphite", ZINC, WATER_A),
    ("NiSO4", 0.5, "nickel", NICKEL, NICKEL_OFF),
    ("CuSO4", 0.5, "graphite:copper", COPPER, COPPER_OFF),
    ("CuSO4", 0.5, "copper:platinum", COPPER, WATER_A),
    ("Na2CO3", 0.1, "platinum", WATER_C, WATER_A),
    ("NaHCO3", 0.1, "graphite", WATER_C, WATER_A),
    ("(NH4)2SO4", 0.1, "graphite", WATER_C, WATER_A),
    ("Al2(SO4)3", 0.05, "platinum", WATER_C, WATER_A),
]


def test_enough_rows_come_from_outside() -> None:
    assert len(FOUND) >= 20


@pytest.mark.parametrize(("salt", "molarity", "electrodes", "cathode", "anode"), FOUND)
def test_found_in_textbooks(salt: str, molarity: float, electrodes: str, cathode: str, anode: str) -> None:
    shown = evidence(cell(salt, molarity, electrodes))
    assert str(shown.cathode.half_reaction) == cathode
    assert str(shown.anode.half_reaction) == anode


@pytest.mark.parametrize(("salt", "molarity", "electrodes", "cathode", "anode"), COMMON_PRACTICE)
def test_common_practice(salt: str, molarity: float, electrodes: str, cathode: str, anode: str) -> None:
    shown = evidence(cell(salt, molarity, electrodes))
    assert str(shown.cathode.half_reaction) == cathode
    assert str(shown.anode.half_reaction) == anode


@pytest.mark.parametrize(
    ("salt", "molarity", "electrodes", "overall"),
    [
        # OpenStax Chemistry 2e, section 17.7.
        ("H2SO4", 0.1, "platinum", {"H2O": -2, "H2": 2, "O2": 1}),
        ("NaCl", 2.0, "graphite", {"H2O": -2, "Cl^-": -2, "H2": 1, "Cl2": 1, "OH^-": 2}),
        # Averill and Eldredge, section 19.7.
        ("AgNO3", 0.1, "platinum", {"Ag^+": -4, "H2O": -2, "Ag": 4, "O2": 1, "H^+": 4}),
        ("CuCl2", 1.0, "graphite", {"Cu^2+": -1, "Cl^-": -2, "Cu": 1, "Cl2": 1}),
    ],
)
def test_overall_reactions(salt: str, molarity: float, electrodes: str, overall: dict[str, int]) -> None:
    net = evidence(cell(salt, molarity, electrodes)).overall.net
    assert {species.plain: count for species, count in net.items()} == overall


@pytest.mark.parametrize(
    ("salt", "nature"),
    [
        # Averill and Eldredge, section 16.2, and OpenStax Chemistry 2e, sections 14.3 and 14.4.
        ("KNO3", "neutral"),
        ("KI", "neutral"),
        ("KBr", "neutral"),
        ("Na2CO3", "basic"),
        ("NaHCO3", "basic"),
        ("(NH4)2SO4", "acidic"),
        ("Al2(SO4)3", "acidic"),
    ],
)
def test_nature_of_the_solution(salt: str, nature: str) -> None:
    setup = cell(salt, 0.1, "platinum")
    shown = evidence(setup)
    assert setup.row.nature == nature
    assert "nature" in shown.fair
    value = shown.start_ph
    assert {"acidic": value < 6.5, "neutral": value == 7.0, "basic": value > 7.5}[nature]
