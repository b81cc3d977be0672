"""A right equation stays right however it is written; one slip is never right; nothing raises or takes long.

The keys are the balanced reactions of `tests/problems/chemistry/data/balancing.csv`, with sources there.
"""

import gc
import time
from collections.abc import Callable
from fractions import Fraction

import pytest
from hypothesis import HealthCheck, assume, example, given, settings
from hypothesis import strategies as st

from problems.chemistry.equation import Equation
from problems.chemistry.formula import HYDRONIUM, WATER
from problems.grading.equations import EquationKey, grade_equation
from problems.grading.verdict import SCORES, Verdict
from tests.problems.chemistry.strategies import BALANCED
from tests.problems.grading.cases import rows
from tests.problems.grading.rewriting import (
    Hand,
    case_of,
    equations,
    hands,
    in_hydronium,
    in_many_hands,
    reordered,
    with_one_slip,
)

LIMIT = 0.050
"""For one answer [s of CPU time of the thread]; of the grading rules."""

PLAIN = Hand("plain", "caret", "e^-", "->", "", "{count} ", " + ", "{text}", foreign_letters=False)
ANSWERS = sorted({row["answer"] for row in rows("equations_*.jsonl")})
CHARACTERS = "0123456789 .,+-*/^=()[]{}_:$\\<>eEHOClNaAgCuSqx½²₂⁻⁺−·→⇌↑\u200b\u00a0"

patiently = settings(max_examples=300, deadline=None, suppress_health_check=[HealthCheck.too_slow])


@patiently
@given(data=st.data(), equation=equations, hand=hands)
def test_every_way_of_writing_is_right(data: st.DataObject, equation: Equation, hand: Hand) -> None:
    text = hand.write(data.draw(reordered(equation)))
    assume(len(text) <= 500)
    verdict = grade_equation(text, EquationKey.from_case(case_of(equation)))
    assert (verdict.verdict, verdict.codes) == ("correct", ()), (text, verdict)


@patiently
@given(data=st.data(), equation=equations)
def test_every_mixture_of_ways_is_right(data: st.DataObject, equation: Equation) -> None:
    text = data.draw(in_many_hands(equation))
    assume(len(text) <= 500)
    verdict = grade_equation(text, EquationKey.from_case(case_of(equation)))
    assert (verdict.verdict, verdict.codes) == ("correct", ()), (text, verdict)


@patiently
@given(equation=equations, hand=hands, factor=st.sampled_from(["2", "3", "1/2", "3/2", "7"]))
def test_a_multiple_is_right_but_for_its_numbers(equation: Equation, hand: Hand, factor: str) -> None:
    text = hand.write(equation.scaled(Fraction(factor)))
    assume(len(text) <= 500)
    verdict = grade_equation(text, EquationKey.from_case(case_of(equation)))
    assert verdict.codes == ("not_smallest_whole_numbers",), (text, verdict)


@patiently
@given(equation=equations, hand=hands)
def test_hydronium_is_as_right_as_the_hydrogen_ion(equation: Equation, hand: Hand) -> None:
    other = in_hydronium(equation)
    assume(other is not None and HYDRONIUM not in equation.species)
    assert other is not None
    for typed, key in ((other, equation), (equation, other)):
        verdict = grade_equation(hand.write(typed), EquationKey.from_case(case_of(key)))
        assert (verdict.verdict, verdict.codes) == ("correct", ("hydronium_form",)), (str(typed), verdict)


@patiently
@given(equation=equations, hand=hands, count=st.integers(1, 9))
def test_what_stands_on_both_sides_is_named(equation: Equation, hand: Hand, count: int) -> None:
    left, right = (
        {**dict(side), WATER: dict(side).get(WATER, 0) + count} for side in (equation.left, equation.right)
    )
    text = hand.write(Equation.of(left, right))
    assume(len(text) <= 500)
    verdict = grade_equation(text, EquationKey.from_case(case_of(equation)))
    assert verdict.codes == ("not_cancelled",), (text, verdict)


@patiently
@given(data=st.data(), equation=equations)
def test_one_slip_is_never_right(data: st.DataObject, equation: Equation) -> None:
    wrong = data.draw(with_one_slip(equation))
    text = PLAIN.write(wrong)
    verdict = grade_equation(text, EquationKey.from_case(case_of(equation)))
    assert verdict.verdict != "correct", (text, verdict)


@patiently
@given(equation=equations, hand=hands)
def test_backwards_is_called_so(equation: Equation, hand: Hand) -> None:
    verdict = grade_equation(hand.write(equation.reversed()), EquationKey.from_case(case_of(equation)))
    assert verdict.codes == ("reversed",), verdict


@patiently
@given(equation=equations, answer=equations, hand=hands)
def test_the_other_electrode_is_called_so(equation: Equation, answer: Equation, hand: Hand) -> None:
    key = EquationKey.from_case(case_of(equation, other=str(answer)))
    own = EquationKey.from_case(case_of(equation))
    typed = hand.write(answer)
    assume(len(typed) <= 500)
    before = grade_equation(typed, own)
    assume(before.verdict == "wrong")
    assert grade_equation(typed, key).codes == ("other_electrode",)


def timed(call: Callable[[], Verdict]) -> tuple[Verdict, float]:
    """A verdict and the CPU time it took [s]; the collector, busy with what the test made, waits."""
    gc.disable()
    start = time.thread_time()
    try:
        return call(), time.thread_time() - start
    finally:
        gc.enable()


def judge(text: str, key: EquationKey) -> None:
    """Grade, and check that the verdict is one and came in time."""
    verdict, seconds = timed(lambda: grade_equation(text, key))
    assert seconds < LIMIT
    assert verdict.verdict in SCORES
    assert verdict.message
    if verdict.position is not None:
        assert verdict.length is not None
        assert 0 <= verdict.position <= verdict.position + verdict.length <= max(len(text), 1)


KEYS = [EquationKey.from_case(case_of(equation)) for equation in BALANCED]


@patiently
@given(text=st.text(max_size=600), key=st.sampled_from(KEYS))
def test_any_text_gets_a_verdict_in_time(text: str, key: EquationKey) -> None:
    judge(text, key)


@patiently
@given(text=st.text(CHARACTERS, max_size=120), key=st.sampled_from(KEYS))
@example(text="e" * 120, key=KEYS[0])
def test_any_text_of_chemistry_gets_a_verdict_in_time(text: str, key: EquationKey) -> None:
    judge(text, key)


@patiently
@given(data=st.data(), answer=st.sampled_from(ANSWERS), key=st.sampled_from(KEYS))
def test_mutated_answers_get_a_verdict_in_time(data: st.DataObject, answer: str, key: EquationKey) -> None:
    cut = sorted(data.draw(st.tuples(*[st.integers(0, len(answer))] * 2)))
    put = data.draw(st.text(CHARACTERS, max_size=4) | st.just(answer[cut[0] : cut[1]] * 9))
    judge((answer[: cut[0]] + put + answer[cut[1] :])[:510], key)


@pytest.mark.parametrize(
    "text",
    [
        "(" * 500,
        "[(" * 250,
        ")" * 500,
        "H999999999999",
        "H" * 500,
        "e" * 500,
        "-" * 499 + ">",
        "+" * 250 + "->" + "+" * 248,
        "2" * 500,
        "^" * 500,
        "_{" * 250,
        "$" * 500,
        "\\" * 500,
        "½" * 500,
        "²" * 500,
        "A1C0I1" * 80 + "->H2",
        "0I1l0I+" * 70 + "->H2",
        "hfcsponi" * 60 + "->h2",
        "C12H22O11" * 50 + "->C",
        "2(OH-)+" * 60 + "->H2",
        "Cu2+" * 120 + "->Cu",
        "-2e-" * 120 + "->Cu",
        "H2O.5" * 100,
        ": " * 250,
        "->" * 250,
        "=" * 500,
        "9**9**9**9",
        "\ud800\udfff->\udc00",
        "\x00->\x00",
    ],
    ids=range(29),
)
@pytest.mark.parametrize("key", KEYS[::7], ids=lambda key: key.expected.shown)
def test_hostile_text_gets_a_verdict_in_time(text: str, key: EquationKey) -> None:
    judge(text, key)
