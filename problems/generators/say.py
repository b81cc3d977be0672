"""Phrases that many questions share: the cell in a sentence, numbers with their units, formulas."""

from collections.abc import Iterable
from functools import lru_cache

from problems import conventions
from problems.cell.names import electrolyte_name, material_name, product_name
from problems.cell.setup import Setup
from problems.cell.tables import Role
from problems.cell.units import FARADAY, GAS_CONSTANT
from problems.chemistry.equation import Equation
from problems.chemistry.formula import Formula
from problems.chemistry.notation import without_states
from problems.generators import conventional
from problems.words import _, current_language, decimals, number

FIGURES = 3
"""Significant figures that the numbers of a drawn setup justify."""

__all__ = [
    "FARADAY",
    "FIGURES",
    "GAS_CONSTANT",
    "cell",
    "electrode",
    "faraday",
    "gas_constant",
    "listed",
    "product_name",
    "quantity",
    "uni",
]


def uni(written: Formula | Equation | str) -> str:
    """A formula or equation with real subscripts, superscripts and arrow, and without state symbols.

    >>> uni("2 H2O -> 2 H2 + O2")
    '2 H₂O → 2 H₂ + O₂'
    """
    if isinstance(written, str):
        written = Equation.parse(written) if " -> " in written else Formula.parse(written)
    if isinstance(written, Equation):
        return without_states(conventional.equation(written))
    return without_states(conventional.species(written))


def quantity(value: float, unit: str, figures: int = FIGURES) -> str:
    """A number with its unit, as a reader sees it.

    >>> quantity(0.0850, "A")
    '0.0850 A'
    """
    return f"{number(value, figures)} {conventions.unit(unit)}"


def electrode(role: Role) -> str:
    """The word for an electrode."""
    return _("cathode") if role == "cathode" else _("anode")


def faraday() -> str:
    """The Faraday constant as printed in questions."""
    return quantity(FARADAY, "C/mol", 5)


def gas_constant() -> str:
    """The gas constant as printed in questions."""
    return quantity(GAS_CONSTANT, "J/(mol K)", 4)


def temperature(setup: Setup) -> str:
    return f"{decimals(setup.temperature - 273.15, 1)} °C"


def pressure(setup: Setup) -> str:
    return f"{decimals(setup.pressure / 1000, 1)} kPa"


def current(setup: Setup) -> str:
    return quantity(setup.current, "A")


def minutes(setup: Setup) -> str:
    return f"{decimals(setup.time / 60, 1)} min"


def concentration(setup: Setup) -> str:
    return quantity(setup.molarity, "mol/L")


def solution(setup: Setup) -> str:
    """The solution with its concentration, formula and name."""
    return _("{concentration} {formula} ({salt})").format(
        concentration=concentration(setup),
        salt=electrolyte_name(setup.electrolyte),
        formula=uni(setup.electrolyte),
    )


def cell(setup: Setup) -> str:
    """The whole setup in one sentence, with everything that a question may need of it."""
    return _cell(setup, current_language(), conventions.current())


@lru_cache(maxsize=256)
def _cell(setup: Setup, language: str, written: conventions.Conventions) -> str:
    """Every question on a cell begins with it."""
    return _cell_sentence(setup).format(
        solution=solution(setup),
        indicator=_(setup.indicator or ""),
        cathode=material_name(setup.cathode),
        anode=material_name(setup.anode),
        current=current(setup),
        time=minutes(setup),
        temperature=temperature(setup),
        pressure=pressure(setup),
    )


def _cell_sentence(setup: Setup) -> str:
    if setup.cathode == setup.anode:
        return (
            _(
                "A two-arm cell with electrodes of {cathode} holds {solution} with {indicator}; {current} "
                "flows for {time} at {temperature} and {pressure}."
            )
            if setup.indicator
            else _(
                "A two-arm cell with electrodes of {cathode} holds {solution}; {current} flows for {time} "
                "at {temperature} and {pressure}."
            )
        )
    return (
        _(
            "A two-arm cell with a cathode of {cathode} and an anode of {anode} holds {solution} with "
            "{indicator}; {current} flows for {time} at {temperature} and {pressure}."
        )
        if setup.indicator
        else _(
            "A two-arm cell with a cathode of {cathode} and an anode of {anode} holds {solution}; {current} "
            "flows for {time} at {temperature} and {pressure}."
        )
    )


def listed(words: Iterable[str]) -> str:
    """Words in a row: "a, b and c".

    >>> listed(["a", "b", "c"])
    'a, b and c'
    """
    *first, last = words
    return _("{first} and {last}").format(first=", ".join(first), last=last) if first else last


def signed(value: float, places: int = 2) -> str:
    """A number with its sign, as in a table of potentials.

    >>> signed(0.34)
    '+0.34'
    """
    return ("+" if value >= 0 else "") + decimals(value, places)
