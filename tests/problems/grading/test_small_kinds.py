"""Ratios, oxidation numbers and choices: properties that hold for all numbers and sets."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from problems.grading.case import grade
from problems.grading.choices import ChoiceKey, grade_choice
from problems.grading.oxidation_numbers import GREATEST, ROMAN, read_oxidation_number
from problems.grading.ratios import read_ratios
from problems.grading.typed import UnreadableError, clean
from problems.grading.verdict import Verdict

whole = st.integers(1, 40)
options = st.frozensets(st.sampled_from("abcdef"))


def judge_ratio(answer: str, expected: str) -> Verdict:
    return grade({"kind": "ratio", "answer": answer, "expected": expected})


@given(whole, whole, whole)
def test_a_ratio_may_be_multiplied(first: int, second: int, factor: int) -> None:
    assert judge_ratio(f"{first * factor}:{second * factor}", f"{first}:{second}").verdict == "correct"


@given(whole, whole)
def test_a_ratio_turned_round_is_inverted(first: int, second: int) -> None:
    codes = judge_ratio(f"{second}:{first}", f"{first}:{second}").codes
    assert codes == (() if abs(Fraction(second**2, first**2) - 1) <= Fraction(2, 100) else ("inverted",))


@pytest.mark.parametrize(
    ("answer", "verdict"), [("1:0.33", "correct"), ("1:0.34", "correct"), ("1:0.35", "wrong")]
)
def test_two_per_cent_are_forgiven(answer: str, verdict: str) -> None:
    assert judge_ratio(answer, "3:1").verdict == verdict


@pytest.mark.parametrize("separator", [":", " : ", "∶", "：", " to ", " TO ", "/", " / ", " is to "])
def test_separators_of_a_ratio(separator: str) -> None:
    assert read_ratios(clean(f"7{separator}3").text)[0].value == Fraction(7, 3)


@given(st.integers(-GREATEST, GREATEST))
def test_oxidation_numbers_in_digits_and_roman(number: int) -> None:
    sign = "-" if number < 0 else "+"
    size = abs(number)
    forms = [f"{sign}{size}", f"{sign} {size}", f"{size}{sign}", f"({sign}{size})"]
    forms += [f"{sign}{numeral}" for numeral, value in ROMAN.items() if value == size]
    assert {read_oxidation_number(form) for form in forms} == {number}


@given(st.integers(GREATEST + 1, 10**9))
def test_no_oxidation_number_beyond_nine(number: int) -> None:
    with pytest.raises(UnreadableError):
        read_oxidation_number(f"+{number}")


def test_roman_numerals_are_those_of_the_standard_order() -> None:
    """Source: IUPAC, Nomenclature of Inorganic Chemistry (2005), IR-5.4.2.2: Roman numerals."""
    assert list(ROMAN) == ["I", "II", "III", "IV", "V", "VI", "VII", "VIII", "IX"]
    assert list(ROMAN.values()) == list(range(1, 10))


@given(options, options.filter(bool))
def test_a_choice_is_a_set(chosen: frozenset[str], right: frozenset[str]) -> None:
    verdict = grade_choice([*chosen, *chosen], ChoiceKey(right))
    expected = (
        "unreadable"
        if not chosen
        else "correct"
        if chosen == right
        else "partly"
        if chosen < right
        else "wrong"
    )
    assert verdict.verdict == expected


@given(options.filter(bool), options.filter(bool), options.filter(bool))
def test_a_slip_of_a_choice_comes_first_unless_it_is_right(
    chosen: frozenset[str], right: frozenset[str], slip: frozenset[str]
) -> None:
    verdict = grade_choice(chosen, ChoiceKey(right, (("slip", slip),)))
    assert (verdict.codes == ("slip",)) == (chosen == slip != right)


def test_an_option_of_more_than_500_characters_is_not_read() -> None:
    assert grade_choice(["x" * 501], ChoiceKey(frozenset("a"))).verdict == "unreadable"
    assert grade_choice(["x" * 500], ChoiceKey(frozenset("a"))).verdict == "wrong"
