"""Candidates, their order, and the reasons that come with them."""

from dataclasses import replace

import pytest

from problems.cell import tables
from problems.cell.discharge import CATHODE_COUPLES, Choice, choose, nernst
from problems.cell.evidence import evidence
from problems.chemistry.formula import Formula

from .helpers import cell

F = Formula.parse
NEUTRAL = {F("H^+"): 1e-7, F("OH^-"): 1e-7}


def discharged(role: str, salt: str, material: str, **ions: float) -> Choice:
    """What goes at an electrode; ions are named like Cu2 for Cu^2+ in `ALIASES`."""
    amounts = {**NEUTRAL, **{ALIASES[name]: amount for name, amount in ions.items()}}
    return choose(role, tables.electrolytes()[salt], tables.electrodes()[material], amounts, 7.0)


ALIASES = {
    "Cu": F("Cu^2+"),
    "Ag": F("Ag^+"),
    "Zn": F("Zn^2+"),
    "K": F("K^+"),
    "Cl": F("Cl^-"),
    "Br": F("Br^-"),
    "I": F("I^-"),
    "SO4": F("SO4^2-"),
    "NO3": F("NO3^-"),
}


def test_series_of_metals_on_one_cathode() -> None:
    # The more noble ion first: silver before copper (activity series of any textbook).
    choice = discharged("cathode", "AgNO3", "graphite", Ag=0.1, Cu=0.1, Zn=0.1, K=0.1)
    assert choice.half_reaction.right[0][0] == F("Ag")
    order = [entry.half_reaction.right[0][0].plain for entry in choice.candidates]
    assert order[:3] == ["Ag", "Cu", "Zn"]
    assert order[-1] == "K"


def test_series_of_halides_on_one_anode() -> None:
    choice = discharged("anode", "KI", "graphite", I=0.1, Br=0.1)
    assert choice.products == (F("I2"),)
    assert discharged("anode", "KBr", "graphite", Br=0.1).products == (F("Br2"),)


def test_candidates_carry_reversible_potentials() -> None:
    choice = discharged("cathode", "KNO3", "graphite", K=0.1, NO3=0.1)
    volts = {entry.half_reaction.left[0][0].plain: entry.potential for entry in choice.candidates}
    assert volts["H2O"] == pytest.approx(-0.414, abs=1e-3)
    assert volts["K^+"] == pytest.approx(-2.931 - 0.0592, abs=1e-3)
    # NO3-/NO at pH 7 and 0.1 mol/L: 0.957 - 0.0592 (4/3 7 + 1/3).
    assert volts["NO3^-"] == pytest.approx(0.957 - 0.05916 * (28 / 3 + 1 / 3), abs=1e-3)


def test_exactly_one_wins_and_stands_first() -> None:
    for salt, row in tables.electrolytes().items():
        if row.refused:
            continue
        for electrode in evidence(cell(salt, min(1.0, row.solubility))).electrodes:
            won = [entry.won for entry in electrode.candidates]
            assert won == ([False] * len(won) if electrode.mixed else [True] + [False] * (len(won) - 1))
            assert electrode.mixed or electrode.candidates[0].why == electrode.why


def test_reasons_name_the_rival_and_both_potentials() -> None:
    shown = evidence(cell("CuSO4", 0.1))
    assert shown.cathode.why == "Cu²⁺ takes electrons at 0.31 V, more easily than water at −0.26 V."
    water_entry = next(entry for entry in shown.cathode.candidates if "H2O" in str(entry.half_reaction))
    assert water_entry.why == "Water would need −0.26 V; Cu²⁺ is easier at 0.31 V."
    assert "nothing else here can" in evidence(cell("KNO3", 0.1)).anode.why


def test_zinc_on_zinc_is_explained_by_the_overpotential_of_hydrogen() -> None:
    cathode = evidence(cell("ZnSO4", 0.5, "zinc")).cathode
    assert str(cathode.half_reaction) == "Zn^2+ + 2 e^- -> Zn"
    assert "overpotential" in cathode.why
    rival = cathode.candidates[1]
    assert rival.potential > cathode.candidates[0].potential
    assert "held back" in rival.why


def test_overpotential_decides_between_zinc_and_hydrogen() -> None:
    zinc = tables.electrodes()["zinc"]
    easy = replace(zinc, hydrogen=0.0)
    row, ions = tables.electrolytes()["ZnSO4"], {**NEUTRAL, F("Zn^2+"): 0.5}
    assert choose("cathode", row, zinc, ions, 5.0).products == (F("Zn"),)
    assert choose("cathode", row, easy, ions, 5.0).products == (F("H2"),)


def test_overpotentials_rank_chlorine_before_oxygen() -> None:
    # Where no rule on the concentration of chloride speaks, the ranking alone finds it.
    ranked = replace(tables.electrodes()["graphite"], inert=False)
    row, ions = tables.electrolytes()["NaCl"], {**NEUTRAL, F("Cl^-"): 2.0}
    assert choose("anode", row, ranked, ions, 7.0).products == (F("Cl2"),)
    assert choose("anode", row, replace(ranked, chlorine=0.95), ions, 7.0).products == (F("O2"),)


def test_passive_metals_do_not_dissolve() -> None:
    anode = evidence(cell("NaOH", 0.5, "nickel")).anode
    metal = next(entry for entry in anode.candidates if entry.half_reaction.left[0][0] == F("Ni"))
    assert not metal.won
    assert "oxide" in metal.why


def test_nernst_for_each_kind_of_couple() -> None:
    couples = tables.potentials()
    tenth = {F("Cu^2+"): 0.1, F("Cl^-"): 0.1, F("H^+"): 0.1, F("Ag^+"): 0.1}
    for key, shift in (
        ("Cu2+/Cu", -0.5),
        ("Ag+/Ag", -1.0),
        ("Cl2/Cl-", 1.0),
        ("H+/H2", -1.0),
        ("O2/H2O", -1.0),
    ):
        assert nernst(couples[key], tenth) - couples[key].value == pytest.approx(shift * 0.05916, abs=1e-5), (
            key
        )


def test_potentials_need_no_ion_to_stay_finite() -> None:
    for couple in tables.potentials().values():
        assert -6 < nernst(couple, {}) < 4, couple.key


def test_every_cathode_couple_gives_its_metal() -> None:
    for ion, key in CATHODE_COUPLES.items():
        reaction = tables.potentials()[key].reaction
        assert reaction.left[0][0].plain == ion
        assert ion == "NO3^-" or reaction.right[0][0].atoms == F(ion).atoms


def test_what_an_electrode_brings_into_its_arm() -> None:
    expected = {
        ("KNO3", "graphite"): ("OH^-", "H^+"),
        ("H2SO4", "graphite"): (None, "H^+"),
        ("NaOH", "platinum"): ("OH^-", None),
        ("CuSO4", "copper"): (None, None),
        ("KI", "graphite"): ("OH^-", None),
    }
    for (salt, material), ions in expected.items():
        shown = evidence(cell(salt, 0.1, material))
        assert tuple(electrode.ion and electrode.ion.plain for electrode in shown.electrodes) == ions


def test_hydrogencarbonate_gives_carbon_dioxide_with_the_oxygen() -> None:
    anode = evidence(cell("NaHCO3", 0.1)).anode
    assert anode.products == (F("O2"), F("CO2"))
    assert "gas_amount" not in anode.fair
    assert any("CO2" in str(half) for half in anode.accepted)
