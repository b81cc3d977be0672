"""Water: its vapour pressure and its ion product at a temperature, and gases collected over it."""

from functools import lru_cache
from math import exp, log10

from problems.cell import tables
from problems.cell.units import GAS_CONSTANT


def vapour_pressure(temperature: float) -> float:
    """The vapour pressure of water [Pa] at `temperature` [K], 273.16 to 647 K.

    Raises ValueError outside that range. A dissolved salt lowers it slightly (about 1.6 % at 0.5 mol/L of
    a 1:1 salt), which is set aside. Source: Wagner and Pruss (1993).

    >>> round(vapour_pressure(298.15))
    3170
    """
    if not 273.15 <= temperature <= 647.0:
        raise ValueError(f"The vapour pressure formula holds from 273.16 to 647 K, not at {temperature} K.")
    return _vapour_pressure(temperature)


@lru_cache(maxsize=256)
def _vapour_pressure(temperature: float) -> float:
    row = tables.document("water")["vapour"]
    distance = 1 - temperature / row["critical_temperature"]
    terms = zip(row["coefficients"], row["exponents"], strict=True)
    total: float = sum(factor * distance**power for factor, power in terms)
    pressure: float = row["critical_pressure"] * exp(row["critical_temperature"] / temperature * total)
    return pressure


def density(temperature: float) -> float:
    """The density of water [g/cm³] at `temperature` [K], 273 to 333 K, within 0.0003.

    Source: a parabola through 0.99984 at 0 °C, 0.99705 at 25 °C and 0.98320 at 60 °C (iapws_95), used
    only inside the ion product, which hardly depends on it.

    >>> round(density(298.15), 3)
    0.997
    """
    celsius = temperature - 273.15
    return 0.99984 + celsius * (8.33e-6 - celsius * 4.7975e-6)


def pkw(temperature: float) -> float:
    """pKw of water at `temperature` [K], 273 to 333 K. Questions take 14.00 unless they state this value.

    Source: IAPWS R11-07.

    >>> round(pkw(298.15), 2)
    13.99
    """
    return ion_product_exponent(temperature, density(temperature))


def ion_product_exponent(temperature: float, mass_density: float) -> float:
    """pKw at `temperature` [K] and `mass_density` [g/cm³]. Source: IAPWS R11-07.

    >>> round(ion_product_exponent(300.0, 1.0), 4)
    13.9066
    """
    row = tables.document("water")["ion_product"]
    first, second, third = row["a"]
    zero, one, two = row["b"]
    quotient = mass_density * exp(
        first + second / temperature + third / temperature**2 * mass_density ** (2 / 3)
    )
    inner = log10(1 + quotient) - quotient / (quotient + 1) * mass_density * (
        zero + one / temperature + two * mass_density
    )
    gas = sum(factor / temperature**power for power, factor in enumerate(row["gas"]))
    exponent: float = gas - 2 * row["n"] * inner + 2 * log10(18.015268 / 1000)
    return exponent


def gas_volume(amount: float, temperature: float, pressure: float, wet: bool = True) -> float:
    """The volume [m³] of `amount` [mol] of gas at `temperature` [K] and `pressure` [Pa], ideal.

    `wet`: collected over water, levels made equal, so that water vapour takes its share of the pressure.

    >>> round(gas_volume(0.001, 294.15, 101_325.0, wet=False) * 1e6, 2)
    24.14
    """
    own = pressure - vapour_pressure(temperature) if wet else pressure
    return amount * GAS_CONSTANT * temperature / own


def gas_amount(volume: float, temperature: float, pressure: float, wet: bool = True) -> float:
    """The amount [mol] in `volume` [m³] of gas at `temperature` [K] and `pressure` [Pa]; undoes `gas_volume`.

    >>> round(gas_amount(24.14e-6, 294.15, 101_325.0, wet=False), 6)
    0.001
    """
    own = pressure - vapour_pressure(temperature) if wet else pressure
    return volume * own / (GAS_CONSTANT * temperature)
