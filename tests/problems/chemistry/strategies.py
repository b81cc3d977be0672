"""What hypothesis draws formulas and equations from."""

from hypothesis import strategies as st

from problems.chemistry.equation import Equation
from problems.chemistry.formula import SYMBOLS, Formula
from tests.problems.chemistry.tables import rows

BALANCED = [Equation.parse(row["balanced"]) for row in rows("balancing.csv")]
HALVES = [equation for equation in BALANCED if equation.electrons]
SPECIES = sorted({species for equation in BALANCED for species in equation.species}, key=str)

subscripts = st.sampled_from(["", "2", "3", "4", "7", "12", "22"])
symbols = st.sampled_from(sorted(SYMBOLS))
units = st.builds("{}{}".format, symbols, subscripts)
runs = st.lists(units, min_size=1, max_size=4).map("".join)
brackets = st.builds("({}){}".format, runs, subscripts)
bodies = st.recursive(
    st.lists(runs | brackets, min_size=1, max_size=3).map("".join),
    lambda inner: st.builds("[{}]{}".format, inner.filter(lambda body: len(body) < 30), subscripts),
    max_leaves=2,
)
hydrates = st.builds("{}.{}H2O".format, bodies, st.sampled_from(["", "2", "5", "10"]))
charges = st.sampled_from(["", "^+", "^-", "^2+", "^3-", "^4+"])

formula_texts = st.builds("{}{}".format, (bodies | hydrates).filter(lambda body: len(body) <= 90), charges)
formulas = formula_texts.map(Formula.parse)
species = st.sampled_from(SPECIES)
coefficients = st.fractions(min_value="1/12", max_value=999, max_denominator=12)
sides = st.dictionaries(species, coefficients, min_size=1, max_size=5)
equations = st.builds(Equation.of, sides, sides)
balanced = st.sampled_from(BALANCED)
halves = st.sampled_from(HALVES)
