"""What students type, made into formulas and equations.

normal.py       typed and pasted text to plain ASCII notation, with a map back to the places typed
species.lark    the grammar of a species' body; body.py counts its atoms
terms.py        every reading of one term: coefficient, species, charge, state
familiar.py     what is expected: by it readings are ranked
sums.py         the best way through one side of an equation
arrows.py       where the arrow is
faults.py       why a text cannot be read, and what was meant
reader.py       the whole: `read_equation`, `read_species`, `live_readings`, `live_species`
shown.py        real subscripts and superscripts
"""

from problems.chemistry.reading.errors import ReadingError
from problems.chemistry.reading.familiar import Familiar
from problems.chemistry.reading.reader import (
    ReadEquation,
    ReadSpecies,
    live_readings,
    live_species,
    possible_equations,
    read_equation,
    read_species,
)

__all__ = [
    "Familiar",
    "ReadEquation",
    "ReadSpecies",
    "ReadingError",
    "live_readings",
    "live_species",
    "possible_equations",
    "read_equation",
    "read_species",
]
