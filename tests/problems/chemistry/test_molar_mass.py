"""Molar masses against published values and against another library."""

import pytest

from problems.chemistry.formula import Formula
from tests.problems.chemistry.strategies import SPECIES

# Abridged standard atomic weights, IUPAC CIAAW 2021 (from memory), in g/mol.
ATOMIC = {
    "H": 1.0080,
    "C": 12.011,
    "N": 14.007,
    "O": 15.999,
    "Na": 22.990,
    "Mg": 24.305,
    "Al": 26.982,
    "P": 30.974,
    "S": 32.06,
    "Cl": 35.45,
    "K": 39.098,
    "Cr": 51.996,
    "Mn": 54.938,
    "Fe": 55.845,
    "Ni": 58.693,
    "Cu": 63.546,
    "Zn": 65.38,
    "Br": 79.904,
    "Ag": 107.87,
    "Sn": 118.71,
    "I": 126.90,
    "Ba": 137.33,
    "Pb": 207.2,
}

# Molar masses as labels of reagent bottles print them, in g/mol (common practice).
PRINTED = {
    "KNO3": 101.10,
    "CuSO4.5H2O": 249.68,
    "AgNO3": 169.87,
    "Na2SO4": 142.04,
    "NaOH": 40.00,
    "H2SO4": 98.08,
    "MgSO4.7H2O": 246.47,
    "KI": 166.00,
    "Al2(SO4)3": 342.15,
}


@pytest.mark.parametrize(("symbol", "mass"), ATOMIC.items())
def test_atomic_masses_are_those_of_iupac(symbol: str, mass: float) -> None:
    assert Formula.parse(symbol).molar_mass == pytest.approx(mass, rel=2e-4)


@pytest.mark.parametrize(("formula", "mass"), PRINTED.items())
def test_molar_masses_are_those_on_the_bottle(formula: str, mass: float) -> None:
    assert Formula.parse(formula).molar_mass == pytest.approx(mass, abs=0.02)


def test_an_ion_weighs_what_its_atoms_weigh() -> None:
    assert Formula.parse("Cu^2+").molar_mass == Formula.parse("Cu").molar_mass


def test_the_electron_weighs_nothing_here() -> None:
    assert Formula.parse("e^-").molar_mass == 0


@pytest.mark.peer
@pytest.mark.parametrize("species", [each for each in SPECIES if not each.is_electron], ids=str)
def test_molar_masses_agree_with_molmass(species: Formula) -> None:
    """Peer: molmass (C. Gohlke), with its own table of isotopes."""
    import molmass

    assert species.molar_mass == pytest.approx(molmass.Formula(species.body).mass, rel=2e-4)
