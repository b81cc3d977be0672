"""Which known groups are found in a formula, and that nothing is lost."""

from collections import Counter

import pytest

from problems.chemistry.formula import Formula
from problems.chemistry.parts import groups, hydrate_parts, known_parts, nonmetals
from tests.problems.chemistry.tables import rows


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("NH4NO3", {"NO3^-": 1, "NH4^+": 1}),
        ("(NH4)2SO4", {"SO4^2-": 1, "NH4^+": 2}),
        ("Fe2(SO4)3", {"SO4^2-": 3, "Fe2^6+": 1}),
        ("Na2S2O3", {"S2O3^2-": 1, "Na2^2+": 1}),
        ("K4[Fe(CN)6]", {"CN^-": 6, "FeK4^6+": 1}),
        ("[Co(NH3)6]2(SO4)3", {"SO4^2-": 3, "NH3": 12, "Co2^6+": 1}),
        ("Cu2(OH)2CO3", {"CO3^2-": 1, "OH^-": 2, "Cu2^4+": 1}),
        ("CH3COONa", {"CH3COO^-": 1, "Na^+": 1}),
        ("H2SO4", {"SO4^2-": 1, "H2^2+": 1}),
        ("NH4Cl", {"NH4^+": 1, "Cl^-": 1}),
        ("[Ag(NH3)2]^+", {"NH3": 2, "Ag^+": 1}),
    ],
)
def test_known_groups_are_cut_out(text: str, expected: dict[str, int]) -> None:
    assert {str(part.formula): part.count for part in known_parts(Formula.parse(text))} == expected


@pytest.mark.parametrize(
    "text", ["CH3CN", "SO3", "NO3^-", "N2O5", "H2O", "Cl2O7", "OH^-", "NaCl", "NO2Cl", "NH4NO3^+", "NiCO"]
)
def test_the_same_letters_elsewhere_are_left_alone(text: str) -> None:
    assert [part.formula.plain for part in known_parts(Formula.parse(text))] == [text]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("CuSO4.5H2O", [("CuSO4", 1), ("H2O", 5)]),
        ("KAl(SO4)2.12H2O", [("KAl(SO4)2", 1), ("H2O", 12)]),
        ("CaSO4.H2O", [("CaSO4", 1), ("H2O", 1)]),
        ("SO4^2-", [("SO4^2-", 1)]),
    ],
)
def test_hydrate_water_is_set_apart(text: str, expected: list[tuple[str, int]]) -> None:
    assert [(str(part.formula), part.count) for part in hydrate_parts(Formula.parse(text))] == expected


@pytest.mark.parametrize("text", sorted({row["formula"] for row in rows("oxidation.csv")} - {"e^-"}))
def test_no_atom_and_no_charge_is_lost(text: str) -> None:
    formula = Formula.parse(text)
    atoms: Counter[str] = Counter()
    charge = 0
    for piece in hydrate_parts(formula):
        for part in known_parts(piece.formula):
            charge += part.formula.charge * part.count * piece.count
            atoms.update({symbol: number * part.count * piece.count for symbol, number in part.formula.atoms})
    assert (tuple(sorted(atoms.items())), charge) == (formula.atoms, formula.charge)


def test_longer_groups_are_looked_for_first() -> None:
    lengths = [len(group.formula.body) for group in groups()]
    assert lengths == sorted(lengths, reverse=True)


def test_nonmetals_and_metals_are_told_apart() -> None:
    """Half-metals count with the non-metals here (common practice)."""
    assert nonmetals() >= {"H", "C", "O", "S", "Cl", "Si", "As", "Xe"}
    assert not nonmetals() & {"Na", "Cu", "Al", "Zn", "Fe", "Sn", "Pb", "Bi", "Hg"}
