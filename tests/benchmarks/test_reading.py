"""How long reading and judging an equation takes, beside the plain route of chempy and of sympy.

Run with `pytest tests/benchmarks -m benchmark -s`. Each text of the case tables is taken
once, so that nothing is answered from memory. The peers get the same reactions in the notation they read:
chempy makes a reaction of the text and checks its balance; sympy finds the null space of the atoms and
charges that chempy counted. Neither reads what students type, nor says what is wrong.
"""

import re
import time
from collections.abc import Callable, Iterable
from statistics import median, quantiles

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from problems.chemistry.equation import Equation
from problems.chemistry.formula import Formula
from problems.grading.equations import EquationKey, grade_equation
from tests.problems.chemistry.strategies import BALANCED
from tests.problems.grading.cases import rows

MEDIAN, NINETY_NINTH = 0.5e-3, 3e-3
"""The most that one equation may take [s of CPU time of the thread]."""

Times = list[float]


def timed(call: Callable[[], object]) -> float:
    start = time.thread_time()
    call()
    return time.thread_time() - start


def summary(times: Times) -> tuple[float, float]:
    """Median and 99th percentile [s]."""
    return median(times), quantiles(times, n=100)[98]


def shown(name: str, times: Times) -> str:
    middle, tail = (value * 1e3 for value in summary(times))
    return f"{name:24} {len(times):5} texts   median {middle:7.3f} ms   99th percentile {tail:7.3f} ms"


def once_each(benchmark: BenchmarkFixture, calls: Iterable[Callable[[], object]]) -> Times:
    """The time of each call, all in one round of the benchmark."""
    return [float(value) for value in benchmark.pedantic(lambda: [timed(call) for call in calls], rounds=1)]


def ours() -> list[Callable[[], object]]:
    """One grading of each text; keys are read before."""
    texts = {(row["answer"], row["expected"]): row for row in rows("equations_*.jsonl")}
    keys = [(row["answer"], EquationKey.from_case(row)) for row in texts.values()]
    for _answer, key in keys:
        assert key.standard.net or key.expected
    grade_equation("Cs+ + e- -> Cs", keys[0][1])
    return [lambda answer=answer, key=key: grade_equation(answer, key) for answer, key in keys]


def test_each_text_of_the_tables(benchmark: BenchmarkFixture) -> None:
    times = once_each(benchmark, ours())
    middle, tail = summary(times)
    print("\n" + shown("graded here", times))
    assert middle < MEDIAN
    assert tail < NINETY_NINTH


def in_their_notation(species: Formula) -> str:
    """`SO4-2`, `e-`: the charge behind, its sign first."""
    charge = species.charge
    size = str(abs(charge)) if abs(charge) > 1 else ""
    return species.body.replace("[", "(").replace("]", ")") + ("" if not charge else f"{charge:+d}"[0] + size)


def their_text(equation: Equation) -> str:
    sides = (
        " + ".join(f"{count} {in_their_notation(species)}" for species, count in side)
        for side in (equation.left, equation.right)
    )
    return " -> ".join(sides)


def chempy_route(text: str) -> bool:
    from chempy import Reaction, Substance

    reaction = Reaction.from_string(text)
    substances = {name: Substance.from_formula(name) for name in reaction.keys()}  # noqa: SIM118
    return not any(reaction.composition_violation(substances))


def sympy_route(text: str) -> int:
    """The dimension of the null space of atoms and charges by species."""
    from chempy import Substance
    from sympy import Matrix

    names = re.sub(r"(^|\s)\d+ ", " ", text).replace("->", "+").split(" + ")
    parts = [Substance.from_formula(name.strip()).composition for name in names]
    symbols = sorted({symbol for part in parts for symbol in part})
    return len(Matrix([[part.get(symbol, 0) for part in parts] for symbol in symbols]).nullspace())


@pytest.mark.peer
@pytest.mark.parametrize("route", [chempy_route, sympy_route])
def test_slower_by_the_plain_route(benchmark: BenchmarkFixture, route: Callable[[str], object]) -> None:
    texts = [their_text(equation) for equation in BALANCED if "." not in str(equation)]
    keys = [EquationKey.from_case({"expected": str(one), "role": "overall"}) for one in BALANCED]
    own = [
        timed(lambda one=one, key=key: grade_equation(str(one), key))
        for one, key in zip(BALANCED, keys, strict=True)
    ]
    route(texts[0])
    theirs = once_each(benchmark, [lambda text=text: route(text) for text in texts])
    print("\n" + shown("graded here", own) + "\n" + shown(route.__name__, theirs))
    assert median(theirs) > median(own)
