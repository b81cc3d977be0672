"""Every equation key of the bank, as different hands write it: always right; with one slip: never."""

from typing import Any

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from problems.chemistry.equation import Equation
from problems.grading.case import grade
from tests.problems.generators.bank import PAIRS, parts
from tests.problems.grading.rewriting import Hand, hands, in_many_hands, reordered, with_one_slip


def _gradings() -> list[dict[str, Any]]:
    """The different keys of all skills and levels, each with its role and the other electrode."""
    found = {}
    for name, level in PAIRS:
        for part in parts(name, level):
            if part.grading["kind"] == "equation":
                found[str(sorted(part.grading.items()))] = dict(part.grading)
    return list(found.values())


GRADINGS = _gradings()
gradings = st.sampled_from(GRADINGS)
often = settings(max_examples=4 * len(GRADINGS), deadline=None)


def test_the_bank_has_many_equation_keys() -> None:
    assert len(GRADINGS) >= 60


@often
@given(data=st.data(), grading=gradings, hand=hands)
def test_every_key_is_right_however_it_is_written(
    data: st.DataObject, grading: dict[str, Any], hand: Hand
) -> None:
    text = hand.write(data.draw(reordered(Equation.parse(grading["expected"]))))
    assume(len(text) <= 500)
    assert grade({**grading, "answer": text}).verdict == "correct", text


@often
@given(data=st.data(), grading=gradings)
def test_every_key_is_right_in_a_mixture_of_hands(data: st.DataObject, grading: dict[str, Any]) -> None:
    text = data.draw(in_many_hands(Equation.parse(grading["expected"])))
    assume(len(text) <= 500)
    assert grade({**grading, "answer": text}).verdict == "correct", text


@often
@given(data=st.data(), grading=gradings)
def test_no_key_with_one_slip_is_right(data: st.DataObject, grading: dict[str, Any]) -> None:
    text = data.draw(with_one_slip(Equation.parse(grading["expected"])))
    assert grade({**grading, "answer": str(text)}).verdict != "correct", str(text)
