"""How long balancing takes, beside chempy in the same run.

Run with `pytest tests/benchmarks -m benchmark`.
"""

from time import perf_counter

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from problems.chemistry.balancing import Balanced, balance
from problems.chemistry.equation import Equation

# Twelve species: a well-known puzzle of balancing with two more metals added (from memory, atoms counted).
DOZEN = Equation.parse(
    "10 [Cr(N2H4CO)6]4[Cr(CN)6]3 + 1176 KMnO4 + 1399 H2SO4 + 223 BaCl2 + 420 ZnO"
    " -> 35 K2Cr2O7 + 1176 MnSO4 + 420 ZnCO3 + 660 KNO3 + 446 KCl + 223 BaSO4 + 1879 H2O"
)
ROUNDS = 5


def test_a_dozen_species(benchmark: BenchmarkFixture) -> None:
    assert DOZEN.is_balanced
    assert len(DOZEN.species) == 12
    assert benchmark(balance, DOZEN) == Balanced(DOZEN)


@pytest.mark.peer
def test_ten_times_faster_than_chempy_with_equal_results(benchmark: BenchmarkFixture) -> None:
    """Both start from formulas that are already read; the best of several rounds counts."""
    from chempy import Substance, balance_stoichiometry

    left, right = ({species.plain for species, _count in side} for side in (DOZEN.left, DOZEN.right))
    substances = {name: Substance.from_formula(name) for name in left | right}
    theirs = benchmark.pedantic(
        balance_stoichiometry, (left, right, substances), rounds=ROUNDS, warmup_rounds=1
    )
    assert [{name: int(count) for name, count in side.items()} for side in theirs] == [
        {species.plain: int(count) for species, count in side} for side in (DOZEN.left, DOZEN.right)
    ]
    ours = min(_seconds() for _round in range(10 * ROUNDS))
    assert benchmark.stats.stats.min >= 10 * ours


def _seconds() -> float:
    start = perf_counter()
    found = balance(DOZEN)
    seconds = perf_counter() - start
    assert found == Balanced(DOZEN)
    return seconds
