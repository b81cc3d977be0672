"""Typed equations judged: exact amounts on two sides, a few steps, then a chain of small checks.

key.py              `EquationKey`: the key, read and checked
grade.py            `grade_equation`, and the one place for the order of the checks
steps.py            what is done to an equation before species are compared
comparison.py       an answer beside a key: missing, too much
species_checks.py   checks on which species stand where
count_checks.py     checks on electrons, atoms, charges, numbers, states
electrolytes.py     whole formulas and their ions
sides.py            arithmetic on two sides
"""

from problems.grading.equations.grade import grade_equation
from problems.grading.equations.key import EquationKey

__all__ = ["EquationKey", "grade_equation"]
