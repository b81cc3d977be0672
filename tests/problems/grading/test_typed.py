"""Cleaning of typed and pasted text, and the way back to the places in the original."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from problems.chemistry.reading.normal import Typed
from problems.grading.typed import LONGEST, UnreadableError, clean, read_or_refuse
from problems.grading.verdict import Verdict


@pytest.mark.parametrize(
    ("typed", "cleaned"),
    [
        ("22.4 mL", "22.4 mL"),
        ("  22.4 mL .  ", "22.4 mL"),
        ("22.4\u00a0mL", "22.4 mL"),
        ("22.4\u2009mL", "22.4 mL"),
        ("22.4\tmL\r\n", "22.4 mL"),
        ("22\u200b.4\ufeff mL\u200e", "22.4 mL"),
        ("−5", "-5"),
        ("–5", "-5"),
        ("—5", "-5"),
        ("２２．４", "22.4"),
        ("10⁻²", "10⁻²"),
        ("Μ", "M"),
        ("С", "C"),
        ("$5$", "5"),
        ("\\mathrm{mL}", "mL"),
        ("\\text{mL} x", "mL x"),
        ("\\ce{H2}", "H2"),
        ("\\mathrm {mol\\,L^{-1}}", " mol L^{-1}".strip()),
        ("5\\,\\%", "5 %"),
        ("2 \\times 10", "2 ×10"),
        ("2\\cdot 10", "2·10"),
        ("\\frac{a}{b}", "\\frac{a}{b}"),
        ("\\dfrac{a}{b}", "\\frac{a}{b}"),
        ("\\left(a\\right)", "(a)"),
        ("\\eta", "η"),
        ("\\Delta t", "Δt"),
        ("\\blorp", "\\blorp"),
        ("21^\\circ C", "21°C"),
        ("21^{\\circ}C", "21°C"),
        ("21 ℃", "21 °C"),
        ("5 ㎎", "5 mg"),
        ("\\{a\\}", "{a}"),
        ("}{", "}{"),
        ("H2↑", "H2"),
        ("", ""),
        ("...", ""),
    ],
)
def test_typed_text_is_cleaned(typed: str, cleaned: str) -> None:
    assert clean(typed).text == cleaned


@given(st.text(max_size=80))
def test_every_character_keeps_a_place_inside_the_original(text: str) -> None:
    typed = clean(text)
    assert len(typed.text) == len(typed.places)
    assert all(0 <= place < len(text) for place in typed.places)
    assert list(typed.places) == sorted(typed.places)


@given(st.text(alphabet="abc 123", min_size=1, max_size=30))
def test_places_of_plain_text_are_its_own(text: str) -> None:
    typed = clean(text)
    for number, char in enumerate(typed.text):
        position, length = typed.span(number, number + 1)
        assert (text[position], length) == (char, 1)


def test_places_count_code_points_of_what_was_typed() -> None:
    typed = clean("\U0001f9ea\u200b\\times 5")
    assert typed.text == "\U0001f9ea×5"
    assert typed.places == (0, 2, 9)


@pytest.mark.parametrize("letter", "ηκνυραο")
def test_greek_small_letters_are_symbols_of_their_own(letter: str) -> None:
    assert clean(letter).text == letter


def test_a_judge_may_refuse_with_its_own_code() -> None:
    def refuse(typed: Typed) -> Verdict:
        raise UnreadableError("No such symbol.", 1, 2, code="unknown_symbol")

    verdict = read_or_refuse(" ab", refuse)
    assert (verdict.codes, verdict.position, verdict.length) == (("unknown_symbol",), 2, 1)
    assert verdict.message == "No such symbol."


def test_too_long_text_is_not_even_cleaned() -> None:
    def fail(typed: Typed) -> Verdict:
        raise AssertionError("read")

    verdict = read_or_refuse("a" * (LONGEST + 7), fail)
    assert (verdict.position, verdict.length) == (LONGEST, 7)


@given(st.text(st.characters(min_codepoint=1, max_codepoint=126), max_size=30))
def test_plain_text_is_cleaned_as_any_other(typed: str) -> None:
    # The word joiner is dropped, but text that holds one is looked at sign by sign.
    one, other = clean(typed), clean(f"{typed}\N{WORD JOINER}")
    assert (one.text, one.places) == (other.text, other.places)
