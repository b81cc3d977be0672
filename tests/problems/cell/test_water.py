"""Vapour pressure, ion product and gases over water against published tables."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import constants

from problems.cell import water
from problems.cell.units import FARADAY, GAS_CONSTANT

ZERO = 273.15
TORR = 101_325 / 760
# Averill and Eldredge, General Chemistry (2012), Table 10.4 [torr].
AVERILL = {
    10: 9.21,
    12: 10.52,
    14: 11.99,
    16: 13.64,
    17: 14.54,
    18: 15.48,
    19: 16.48,
    20: 17.54,
    21: 18.66,
    22: 19.84,
    23: 21.08,
    24: 22.39,
    25: 23.77,
    26: 25.22,
    27: 26.75,
    28: 28.37,
    29: 30.06,
    30: 31.84,
    35: 42.2,
    40: 55.4,
}
# Ball, Introductory Chemistry (2012), Table 6.2 [torr].
BALL = {
    10: 9.21,
    15: 12.79,
    20: 17.54,
    21: 18.66,
    22: 19.84,
    23: 21.08,
    24: 22.39,
    25: 23.77,
    30: 31.84,
    35: 42.2,
    40: 55.36,
}
# IAPWS-95 by CoolProp 8.0.0 [kPa].
IAPWS = {
    10: 1.2282,
    15: 1.7058,
    18: 2.0647,
    20: 2.3393,
    21: 2.4882,
    25: 3.1699,
    30: 4.2470,
    35: 5.6290,
    40: 7.3849,
}
# IAPWS R11-07 at 0.1 MPa, in the CRC Handbook for 0, 25 and 50 °C; the others by the release.
PKW = {
    0.01: 14.946,
    10: 14.534,
    15: 14.344,
    20: 14.165,
    25: 13.995,
    30: 13.833,
    35: 13.680,
    40: 13.534,
    50: 13.264,
    60: 13.020,
}
# OpenStax Chemistry 2e, Appendix E.
OPENSTAX_PKW = {10: 14.54, 15: 14.33, 20: 14.17, 25: 14.00, 30: 13.84, 40: 13.55}


@pytest.mark.parametrize(("celsius", "torr"), [*AVERILL.items(), *BALL.items()])
def test_vapour_pressure_in_textbooks(celsius: float, torr: float) -> None:
    assert water.vapour_pressure(ZERO + celsius) / TORR == pytest.approx(torr, rel=1.5e-3)


@pytest.mark.parametrize(("celsius", "kilopascal"), IAPWS.items())
def test_vapour_pressure_by_the_standard(celsius: float, kilopascal: float) -> None:
    assert water.vapour_pressure(ZERO + celsius) / 1000 == pytest.approx(kilopascal, rel=2e-4)


@pytest.mark.parametrize("temperature", [200.0, 273.0, 650.0, float("nan")])
def test_vapour_pressure_outside_its_range(temperature: float) -> None:
    with pytest.raises(ValueError, match=r"273\.16 to 647 K"):
        water.vapour_pressure(temperature)


@pytest.mark.parametrize(("celsius", "expected"), PKW.items())
def test_ion_product_by_the_standard(celsius: float, expected: float) -> None:
    assert water.pkw(ZERO + celsius) == pytest.approx(expected, abs=3e-3)


def test_ion_product_at_the_check_point_of_the_release() -> None:
    # IAPWS R11-07, table of check values: 300 K, 1.0 g/cm³.
    assert water.ion_product_exponent(300.0, 1.0) == pytest.approx(13.906565, abs=1e-6)


@pytest.mark.parametrize(("celsius", "expected"), OPENSTAX_PKW.items())
def test_ion_product_in_a_textbook(celsius: float, expected: float) -> None:
    assert water.pkw(ZERO + celsius) == pytest.approx(expected, abs=0.02)


@pytest.mark.parametrize(
    ("celsius", "expected"), [(10, 0.99970), (20, 0.99821), (25, 0.99705), (40, 0.99222)]
)
def test_density(celsius: float, expected: float) -> None:
    # IAPWS-95 by CoolProp 8.0.0; the approximation only serves the ion product.
    assert water.density(ZERO + celsius) == pytest.approx(expected, abs=1.2e-3)


def test_constants_are_those_of_codata() -> None:
    assert pytest.approx(constants.value("Faraday constant"), rel=1e-12) == FARADAY
    assert pytest.approx(constants.value("molar gas constant"), rel=1e-12) == GAS_CONSTANT


@pytest.mark.parametrize(
    ("temperature", "pressure", "litres"),
    [
        (273.15, 100_000, 22.711),  # IUPAC standard temperature and pressure
        (273.15, 101_325, 22.414),  # the older standard of many textbooks
        (298.15, 100_000, 24.790),
        (298.15, 101_325, 24.465),
        (293.15, 101_325, 24.055),
    ],
)
def test_molar_volumes(temperature: float, pressure: float, litres: float) -> None:
    assert 1000 * water.gas_volume(1.0, temperature, pressure, wet=False) == pytest.approx(litres, abs=6e-4)


def test_wet_gas_takes_more_room_than_dry() -> None:
    wet, dry = (water.gas_volume(1e-3, 294.15, 99_200.0, wet=wet) for wet in (True, False))
    assert wet / dry == pytest.approx(99_200 / (99_200 - 2488.2), rel=1e-4)


@given(
    amount=st.floats(1e-6, 1.0),
    temperature=st.floats(278.15, 318.15),
    pressure=st.floats(50_000, 110_000),
    wet=st.booleans(),
)
def test_amount_undoes_volume(amount: float, temperature: float, pressure: float, wet: bool) -> None:
    volume = water.gas_volume(amount, temperature, pressure, wet)
    assert water.gas_amount(volume, temperature, pressure, wet) == pytest.approx(amount, rel=1e-12)
