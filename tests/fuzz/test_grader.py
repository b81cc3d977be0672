"""A short run of the random texts, and the texts that are known to hurt graders.

Source of the bounds: the grading rules: nothing raises, 50 ms an answer, half of the texts readable.
"""

import gc
import time
from collections.abc import Iterator
from typing import Any

import pytest

from problems.grading.case import prepare
from tests.fuzz.grader import LIMIT, run
from tests.fuzz.texts import SNIPPETS, cases

TEXTS = 4000
LONGEST = 500
HARD = (
    "9**9**9**9",
    "9^9^9^9^9 mL",
    "10^(10^8)",
    "1e999999999 mol",
    "(" * 500,
    "[" * 250 + "]" * 250,
    "H999999999999",
    "-" * 499 + "1",
    "m*" * 250,
    "√" * 500,
    "I^" * 249 + "I",
    "\\frac{" * 80,
    "((I+t)^12/(M+F)^12)^12+" * 20 + "I",
    "+".join(f"1/(I+{number}t)" for number in range(50)),
    "(I+t+M+F)" * 55,
    "√(I-t)" * 80,
    "1,250/2×10^-3 1/2I " * 25,
    "99999999999999999999" * 25,
    "1 " * 250,
    "1," * 250,
    "½" * 500,
    "²" * 500,
    "\ud800" * 500,
    "\u200b" * 500,
    "\x00",
    "2H2O+" * 100,
    "e-" * 250,
    "->" * 250,
    "Cu2+2e-->" * 55,
    "(H2O)2" * 83,
    "22.4 " + "/L" * 240,
    "22.4 " + "(mL" * 160,
)
ONE_OF_EACH_KIND = list({case["kind"]: case for case in cases() if isinstance(case["answer"], str)}.values())


def test_a_short_run_raises_nothing_and_keeps_the_bound() -> None:
    result = run(TEXTS, seed=20)
    assert result.raised == []
    assert result.longest <= LIMIT
    assert result.readable >= 0.5


@pytest.fixture
def no_collection() -> Iterator[None]:
    """What other tests left behind is not looked through on an answer's account."""
    gc.disable()
    yield
    gc.enable()


@pytest.mark.usefixtures("no_collection")
@pytest.mark.parametrize("case", ONE_OF_EACH_KIND, ids=lambda case: case["kind"])
@pytest.mark.parametrize("text", [*HARD, *SNIPPETS], ids=lambda text: ascii(text)[:24])
def test_hard_texts_are_judged_in_time(text: str, case: dict[str, Any]) -> None:
    symbols = (
        {"symbols": ["I", "t", "M", "F"], "expected": "I*t*M/(2*F)"} if case["kind"] == "expression" else {}
    )
    key = prepare({**case, "slips": {}, **symbols})
    start = time.thread_time()
    verdict = key.grade(text[:LONGEST])
    assert time.thread_time() - start < LIMIT
    assert verdict.verdict in ("unreadable", "wrong", "partly", "correct")
