"""The same reaction written for acid or for base, and with H⁺ or with H₃O⁺.

Each form follows from the other by one exchange in the net change; what then stands on both sides
is cancelled, and electrons are written last. Sources: Chemistry 2e (OpenStax), section 4.2, balancing
by half-reactions; for the two ways to write the hydrogen ion `common practice`.
"""

from collections.abc import Mapping
from fractions import Fraction

from problems.chemistry.equation import Equation
from problems.chemistry.formula import HYDROGEN_ION, HYDRONIUM, HYDROXIDE, WATER, Formula


def in_base(equation: Equation) -> Equation:
    """Each H⁺ (or H₃O⁺) becomes water, with an OH⁻ added to both sides.

    >>> str(in_base(Equation.parse("2 H2O -> O2 + 4 H^+ + 4 e^-")))
    '4 OH^- -> O2 + 2 H2O + 4 e^-'
    """
    return _exchanged(with_hydrogen_ion(equation), HYDROGEN_ION, {WATER: 1, HYDROXIDE: -1})


def in_acid(equation: Equation) -> Equation:
    """Each OH⁻ becomes water, with an H⁺ added to both sides; an H₃O⁺ is H⁺ and water.

    >>> str(in_acid(Equation.parse("2 H2O + 2 e^- -> H2 + 2 OH^-")))
    '2 H^+ + 2 e^- -> H2'
    """
    return _exchanged(with_hydrogen_ion(equation), HYDROXIDE, {WATER: 1, HYDROGEN_ION: -1})


def with_hydronium(equation: Equation) -> Equation:
    """Each H⁺ becomes H₃O⁺, with a water added to the other side.

    >>> str(with_hydronium(Equation.parse("2 H^+ + 2 e^- -> H2")))
    '2 H3O^+ + 2 e^- -> H2 + 2 H2O'
    """
    return _exchanged(equation, HYDROGEN_ION, {HYDRONIUM: 1, WATER: -1})


def with_hydrogen_ion(equation: Equation) -> Equation:
    """Each H₃O⁺ becomes H⁺ and water.

    >>> str(with_hydrogen_ion(Equation.parse("2 H3O^+ + 2 e^- -> H2 + 2 H2O")))
    '2 H^+ + 2 e^- -> H2'
    """
    return _exchanged(equation, HYDRONIUM, {HYDROGEN_ION: 1, WATER: 1})


def _exchanged(equation: Equation, old: Formula, new: Mapping[Formula, int]) -> Equation:
    """The cancelled equation with `new` in the place of each `old` of the net change."""
    total: dict[Formula, Fraction] = {}
    for species, count in equation.net.items():
        for part, times in new.items() if species == old else ((species, 1),):
            total[part] = total[part] + count * times if part in total else count * times
    ordered = sorted(total.items(), key=lambda item: (item[0].is_electron, item[0] in new))
    return Equation.from_net(dict(ordered))
