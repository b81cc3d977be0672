"""The tables: every row has its source, and what they say is consistent with chemistry."""

import re
from datetime import date

import pytest

from problems.cell import tables
from problems.cell.discharge import ANODE_COUPLES, CATHODE_COUPLES
from problems.chemistry.formula import Formula

OWN = (
    "electrolytes",
    "electrodes",
    "potentials",
    "indicators",
    "ions",
    "equilibria",
    "gases",
    "water",
    "rules",
    "cautions",
    "colours",
)
KEYS = frozenset(
    re.findall(r"^\| ([A-Za-z0-9_.]+) \|", (tables.DATA_DIR / "SOURCES.md").read_text("utf-8"), re.M)
)
# Standard potentials as printed in OpenStax Chemistry 2e, Appendix L (text of 2026-02-04), and Averill and
# Eldredge, Appendix E: the rows where the two agree to 1 mV.
PRINTED = {
    "H+/H2": 0.0,
    "H2O/H2,OH-": -0.8277,
    "O2/H2O": 1.229,
    "Cl2/Cl-": 1.35827,
    "Br2(aq)/Br-": 1.0873,
    "I2(s)/I-": 0.5355,
    "Cu+/Cu": 0.521,
    "Ag+/Ag": 0.7996,
    "Zn2+/Zn": -0.7618,
    "Ni2+/Ni": -0.257,
    "Fe2+/Fe": -0.447,
    "Sn2+/Sn": -0.1375,
    "Sn4+/Sn2+": 0.151,
    "Pb2+/Pb": -0.1262,
    "Al3+/Al": -1.662,
    "Mg2+/Mg": -2.372,
    "Na+/Na": -2.71,
    "K+/K": -2.931,
    "Fe3+/Fe2+": 0.771,
    "MnO4-/Mn2+": 1.507,
    "NO3-/NO": 0.957,
}


def rows() -> list[tuple[str, dict]]:
    found = []
    for name in OWN:
        for content in tables.document(name).values():
            found += [
                (name, row)
                for row in (content if isinstance(content, list) else [content])
                if isinstance(row, dict)
            ]
    return found


def test_every_row_has_source_certainty_and_date() -> None:
    every = rows()
    assert len(every) > 150
    for name, row in every:
        assert set(row["source"].split(", ")) <= KEYS, (name, row)
        assert row["certainty"] in tables.CERTAINTIES, (name, row)
        assert date(2026, 1, 1) <= date.fromisoformat(row["date"]) <= date(2030, 1, 1), (name, row)


def test_memory_is_never_called_found() -> None:
    for name, row in rows():
        if row["source"] == "memory":
            assert row["certainty"] == "from memory", (name, row)


def test_how_much_there_is() -> None:
    assert len(tables.electrolytes()) >= 25
    assert len(tables.indicators()) >= 14
    assert sum(indicator.mixed for indicator in tables.indicators().values()) == 2
    assert set(tables.electrodes()) == {"graphite", "platinum", "copper", "silver", "zinc", "nickel", "iron"}


@pytest.mark.parametrize("key", sorted(tables.electrolytes()))
def test_electrolytes_dissolve_into_their_atoms(key: str) -> None:
    row = tables.electrolytes()[key]
    assert sum(ion.charge * count for ion, count in row.ions.items()) == 0
    atoms: dict[str, int] = {}
    for ion, count in row.ions.items():
        for symbol, number in ion.atoms:
            atoms[symbol] = atoms.get(symbol, 0) + number * count
    assert atoms == dict(row.formula.atoms)
    assert all(ion in tables.ions() for ion in row.ions)
    for hydrate in row.hydrates:
        water = {
            "H": hydrate.count("H") - row.formula.count("H"),
            "O": hydrate.count("O") - row.formula.count("O"),
        }
        assert water["H"] == 2 * water["O"] > 0
        assert all(
            hydrate.count(symbol) == row.formula.count(symbol) for symbol in row.formula.elements - {"H", "O"}
        )


def test_every_equation_of_the_tables_balances() -> None:
    equations = [couple.reaction for couple in tables.potentials().values()]
    equations += [acid.reaction for acid in tables.acids().values()]
    for row in tables.electrolytes().values():
        equations += [*row.hydrolysis, *row.cathode, *row.anode]
    assert len(equations) > 70
    for equation in equations:
        assert equation.is_balanced, equation


def test_half_reactions_take_and_give_electrons_on_their_side() -> None:
    assert all(couple.reaction.electrons > 0 for couple in tables.potentials().values())
    for row in tables.electrolytes().values():
        assert all(half.electrons > 0 for half in row.cathode)
        assert all(half.electrons < 0 for half in row.anode)


@pytest.mark.parametrize(("key", "volt"), PRINTED.items())
def test_potentials_as_printed(key: str, volt: float) -> None:
    assert tables.potentials()[key].value == pytest.approx(volt, abs=1e-3)


def test_school_potentials_are_the_rounded_ones() -> None:
    for couple in tables.potentials().values():
        assert couple.school == pytest.approx(couple.value, abs=0.0051), couple.key


def test_disagreements_are_told() -> None:
    # Sources spread by more than 10 mV in these rows: the row must say which was chosen.
    for key in (
        "Ni2+/Ni",
        "Fe2+/Fe",
        "Al3+/Al",
        "Mg2+/Mg",
        "S2O8^2-/SO4^2-",
        "Cr2O7^2-/Cr3+",
        "ClO-/Cl-,OH-",
    ):
        assert len(tables.potentials()[key].conflict) > 20, key


def test_potentials_hang_together() -> None:
    # E is not additive but n E is: Fe3+/Fe from Fe3+/Fe2+ and Fe2+/Fe; water's two forms differ by pKw.
    volts = {key: couple.value for key, couple in tables.potentials().items()}
    assert 3 * volts["Fe3+/Fe"] == pytest.approx(volts["Fe3+/Fe2+"] + 2 * volts["Fe2+/Fe"], abs=0.02)
    assert volts["H2O/H2,OH-"] == pytest.approx(-0.05916 * 13.995, abs=1e-3)
    assert volts["O2/H2O"] - volts["O2/OH-"] == pytest.approx(0.05916 * 13.995, abs=1e-3)
    assert 2 * volts["Cu2+/Cu"] == pytest.approx(volts["Cu2+/Cu+"] + volts["Cu+/Cu"], abs=0.02)


def test_every_ion_that_could_be_discharged_has_a_couple() -> None:
    for row in tables.electrolytes().values():
        for ion in row.ions:
            if ion.plain in ("H^+", "OH^-", "NH4^+", "CO3^2-", "HCO3^-", "ClO4^-"):
                continue
            assert CATHODE_COUPLES.get(ion.plain) or ANODE_COUPLES.get(ion.plain), ion
    assert set(CATHODE_COUPLES.values()) | set(ANODE_COUPLES.values()) <= tables.potentials().keys()


@pytest.mark.parametrize("name", sorted(tables.indicators()))
def test_indicators_go_from_acid_to_base(name: str) -> None:
    dye = tables.indicators()[name]
    limits = list(dye.cuts) or [limit for step in dye.steps for limit in (step.low, step.high)]
    assert limits == sorted(limits)
    assert len(dye.colours) == (len(dye.cuts) or len(dye.steps)) + 1
    assert bool(dye.cuts) == dye.mixed
    for colour in (*dye.colours, *(step.colour for step in dye.steps)):
        assert colour in tables.colours()


# USP 32-NF 27 (2009), Indicators and Indicator Test Papers.
USP = {
    "bromothymol blue": (6.0, 7.6),
    "bromocresol purple": (5.2, 6.8),
    "bromophenol blue": (3.0, 4.6),
    "phenol red": (6.8, 8.2),
    "methyl red": (4.2, 6.2),
    "bromocresol green": (4.0, 5.4),
    "thymol blue": (8.0, 9.2),
}


@pytest.mark.parametrize(("name", "interval"), USP.items())
def test_intervals_against_the_pharmacopoeia(name: str, interval: tuple[float, float]) -> None:
    step = tables.indicators()[name].steps[-1]
    assert step.low == pytest.approx(interval[0], abs=0.2001)
    assert step.high == pytest.approx(interval[1], abs=0.4001)


def test_colours_are_paint() -> None:
    for colour in tables.colours().values():
        assert re.fullmatch(r"#[0-9a-f]{6}", colour.paint)


def test_conductivities_against_the_handbook() -> None:
    # CRC Handbook, Ionic Conductivity and Diffusion at Infinite Dilution; Marcus for tin.
    printed = (
        "H^+ 349.65, OH^- 198, K^+ 73.48, Na^+ 50.08, NH4^+ 73.5, Mg^2+ 53.0, Al^3+ 61, Cu^2+ 53.6, "
        "Ag^+ 61.9, "
        "Zn^2+ 52.8, Ni^2+ 49.6, Fe^2+ 54, NO3^- 71.42, ClO4^- 67.3, Cl^- 76.31, Br^- 78.1, I^- 76.8, "
        "SO4^2- 80.0, HSO4^- 52, CO3^2- 69.3, HCO3^- 44.5, Sn^2+ 75.45"
    )
    values = {Formula.parse(row.split()[0]): float(row.split()[1]) for row in printed.split(", ")}
    assert values.keys() == tables.ions().keys()
    for ion, value in values.items():
        assert tables.ions()[ion].conductivity == pytest.approx(value), ion


def test_solubilities_against_a_handbook_table() -> None:
    # Grams of anhydrous salt in 100 g of water at 20 °C, romek.info table 04-26; densities of the saturated
    # solutions are not in it, so a limit must lie between "no change of volume" and 0.55 of that. The table's
    # 43.5 for copper(II) chloride is the mass percentage of the CRC Handbook, so that row is left out.
    table = {
        "KNO3": 31.6,
        "CuSO4": 20.7,
        "NaHCO3": 9.6,
        "NaCl": 36.0,
        "NaNO3": 88.0,
        "Na2SO4": 19.4,
        "Na2CO3": 21.5,
        "MgSO4": 26.2,
        "ZnSO4": 54.4,
        "NH4Cl": 37.2,
        "AgNO3": 222.0,
    }
    for key, grams in table.items():
        most = grams / tables.electrolytes()[key].formula.molar_mass * 10
        assert 0.55 * most <= tables.electrolytes()[key].solubility <= 1.02 * most, key


def test_gases_dissolve_as_measured() -> None:
    # mol/L under 1 atm at 25 °C: CRC Handbook, Solubility of Selected Gases in Water (mole fractions
    # 1.412e-5, 2.292e-5), and IAPWS G7-04 for carbon dioxide (6.117e-4), times 55.34 mol/L of water.
    for gas, fraction in (("H2", 1.412e-5), ("O2", 2.292e-5), ("CO2", 6.117e-4)):
        row = tables.gases()[Formula.parse(gas)]
        assert row.henry * 101_325 / 1000 == pytest.approx(fraction * 55.34, rel=0.025)


def test_tables_cannot_be_changed() -> None:
    with pytest.raises(TypeError):
        tables.electrolytes()["KNO3"] = None  # type: ignore[index]
    with pytest.raises(AttributeError):
        tables.electrolytes()["KNO3"].name = "x"  # type: ignore[misc]
