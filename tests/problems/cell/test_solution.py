"""pH by charge balance against known values and an independent solver."""

from math import log10

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from problems.cell import solution
from problems.cell.tables import electrolytes

# Start pH of fresh solutions. Simple cases follow from one constant by hand (common practice); the rest was
# computed independently from the same constants before this program was written.
FRESH = [
    ("HCl", 0.1, 1.00),
    ("NaOH", 0.1, 13.00),
    ("KOH", 0.01, 12.00),
    ("NaCl", 1.0, 7.00),
    ("H2SO4", 0.1, 0.96),
    ("Na2CO3", 0.1, 11.65),
    ("NaHCO3", 0.1, 8.34),
    ("(NH4)2SO4", 0.1, 5.49),
    ("NH4Cl", 0.1, 5.12),
    ("Al2(SO4)3", 0.05, 3.60),
    ("ZnSO4", 0.1, 5.52),
    ("NiSO4", 0.1, 5.97),
    ("CuSO4", 0.1, 4.4),
    ("CuCl2", 0.1, 4.0),
    ("Cu(NO3)2", 0.1, 4.0),
]


@pytest.mark.parametrize(("salt", "molarity", "expected"), FRESH)
def test_fresh_solutions(salt: str, molarity: float, expected: float) -> None:
    content = solution.dissolve(electrolytes()[salt], molarity)
    tolerance = 0.08 if salt.startswith("Cu") else 0.01
    assert solution.ph(content) == pytest.approx(expected, abs=tolerance)


def test_hydrogensulfate_alone() -> None:
    # HSO4^- of 0.5 mol/L by the quadratic with pKa 1.99.
    constant = 10**-1.99
    hydrogen = (-constant + (constant**2 + 4 * constant * 0.5) ** 0.5) / 2
    assert solution.ph({"sulfate": 0.5, "Na^+": 0.5}) == pytest.approx(-log10(hydrogen), abs=1e-3)


def test_buffer_of_equal_parts_has_the_pka() -> None:
    # Henderson and Hasselbalch: ammonium and ammonia, hydrogencarbonate and carbonate, half and half.
    assert solution.ph({"ammonium": 0.2, "Cl^-": 0.1}) == pytest.approx(9.25, abs=1e-3)
    assert solution.ph({"carbonate": 0.2, "Na^+": 0.3}) == pytest.approx(10.33, abs=5e-3)


def test_amphiprotic_ion_lies_between_its_constants() -> None:
    assert solution.ph({"Na^+": 0.1, "carbonate": 0.1}) == pytest.approx((6.35 + 10.33) / 2, abs=1e-2)


@pytest.mark.parametrize(("metal", "low", "high"), [("Mg^2+", 8.9, 9.1), ("Al^3+", 3.6, 4.1)])
def test_hydroxides_hold_the_ph(metal: str, low: float, high: float) -> None:
    # A twentieth of the metal precipitated: [OH^-] = (Ksp/[M])^(1/n).
    charge = int(metal[-2])
    ph = solution.ph({metal: 0.1, "Cl^-": 0.1 * charge * 0.95})
    assert low <= ph <= high
    assert solution.solid(metal, 0.1, ph) > 0.003


def test_nothing_is_solid_in_acid() -> None:
    for metal in ("Mg^2+", "Al^3+", "Cu^2+", "Zn^2+", "Ni^2+"):
        assert solution.solid(metal, 0.1, 2.0) == 0.0
    assert solution.solid("K^+", 0.1, 14.0) == 0.0


def test_offset_makes_the_start() -> None:
    content = {"K^+": 0.2, "sulfate": 0.1}
    assert solution.ph(content) > 7.3
    assert solution.ph(content, -solution.imbalance(content, 7.0)) == pytest.approx(7.0, abs=1e-4)


def test_a_start_changes_nothing_but_the_time() -> None:
    content = {"Cu^2+": 0.1, "sulfate": 0.1}
    for start in (-1.0, 2.0, 4.4, 9.0, 15.0):
        assert solution.ph(content, start=start) == pytest.approx(solution.ph(content), abs=2e-5)


@settings(deadline=None, max_examples=60)
@given(
    sodium=st.floats(1e-6, 1.0),
    sulfate=st.floats(1e-6, 1.0),
    carbonate=st.floats(1e-6, 1.0),
    ammonium=st.floats(1e-6, 1.0),
)
def test_against_an_independent_solver(
    sodium: float, sulfate: float, carbonate: float, ammonium: float
) -> None:
    def charge(ph: float) -> float:
        h = 10.0**-ph
        second = 10**-1.99
        first_c, second_c = 10**-6.35, 10**-10.33
        weights = (h * h, h * first_c, first_c * second_c)
        negative = (weights[1] + 2 * weights[2]) / sum(weights) * carbonate
        negative += sulfate * (h + 2 * second) / (h + second)
        return sodium + ammonium * h / (h + 10**-9.25) + h - 1e-14 / h - negative

    content = {"Na^+": sodium, "sulfate": sulfate, "carbonate": carbonate, "ammonium": ammonium}
    assert solution.ph(content) == pytest.approx(brentq(charge, -2, 16, xtol=1e-10), abs=2e-5)


@settings(deadline=None, max_examples=80)
@given(salt=st.sampled_from(sorted(electrolytes())), share=st.floats(1e-4, 1.0))
def test_charges_balance_in_every_fresh_solution(salt: str, share: float) -> None:
    row = electrolytes()[salt]
    content = solution.dissolve(row, share * row.solubility)
    ph = solution.ph(content)
    ions = solution.concentrations(content, ph)
    total = sum(ion.charge * amount for ion, amount in ions.items())
    # Hydrolysis products of metals are counted as their ion: that part of the charge may be missing.
    hydrolysed = sum(
        amount for ion, amount in ions.items() if ion.plain in ("Al^3+", "Cu^2+", "Sn^2+", "Zn^2+", "Ni^2+")
    )
    allowed = 1e-4 * sum(ions.values()) + (hydrolysed if hydrolysed else 0)
    assert abs(total) <= allowed


@settings(deadline=None, max_examples=60)
@given(salt=st.sampled_from(sorted(electrolytes())), acid=st.floats(0, 0.1), more=st.floats(1e-6, 0.1))
def test_more_acid_never_raises_the_ph(salt: str, acid: float, more: float) -> None:
    content = solution.dissolve(electrolytes()[salt], 0.1)
    assert solution.ph(content, -acid - more) <= solution.ph(content, -acid) + 1e-4


def test_order_of_parts_does_not_matter() -> None:
    content = {"Na^+": 0.1, "carbonate": 0.05, "sulfate": 0.02}
    turned = dict(reversed(content.items()))
    assert solution.ph(content) == pytest.approx(solution.ph(turned), abs=2e-5)
