"""Typed and pasted text becomes plain notation, and every place leads back to what was typed."""

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from problems.chemistry.reading.normal import normalise

# From typed to plain; names of the characters are those of the Unicode Character Database.
PLAIN = [
    ("2H2O", "2H2O"),
    ("SO₄²⁻", "SO_{4}^{2-}"),
    ("10⁻²", "10^{-2}"),
    ("Cu²+", "Cu^{2}+"),
    ("Cu^2⁺", "Cu^{2+}"),
    ("¹⁄₂ O₂", "1/2 O_{2}"),
    ("½ O2", "½ O2"),
    ("1\N{FRACTION SLASH}2 O2", "1/2 O2"),
    ("\N{ARABIC-INDIC DIGIT TWO}H\N{DEVANAGARI DIGIT TWO}O", "2H2O"),
    ("2\N{LATIN SMALL LETTER E WITH MACRON}", "2e"),
    ("H\N{SUBSCRIPT TWO}O\N{LATIN SUBSCRIPT SMALL LETTER A}", "H_{2}Oa"),
    ("Cl\N{MINUS SIGN}", "Cl-"),
    ("Cl\N{EN DASH}", "Cl-"),
    ("a\N{NO-BREAK SPACE}b\N{THIN SPACE}c", "a b c"),
    ("\N{FULLWIDTH LATIN CAPITAL LETTER H}\N{FULLWIDTH DIGIT TWO}", "H2"),
    ("\N{CYRILLIC CAPITAL LETTER EN}\N{GREEK CAPITAL LETTER OMICRON}", "HO"),
    ("\N{KELVIN SIGN}OH", "KOH"),
    ("H\N{ZERO WIDTH SPACE}2\N{LEFT-TO-RIGHT MARK}O\N{SOFT HYPHEN}", "H2O"),
    ("H2\N{UPWARDS ARROW}", "H2"),
    ("a \N{LONG RIGHTWARDS ARROW} b", "a → b"),
    ("a \N{RIGHTWARDS HARPOON OVER LEFTWARDS HARPOON} b", "a → b"),
    ("a \N{LEFTWARDS ARROW} b", "a ← b"),
    ("a yields b", "a → b"),
    ("a GIVES b", "a → b"),
    ("CuSO4\N{MIDDLE DOT}5H2O", "CuSO4*5H2O"),
    ("CuSO4 \N{BULLET} 5 H2O", "CuSO4 * 5 H2O"),
    (r"\ce{2H2 + O2 -> 2H2O}", "2H2 + O2 -> 2H2O"),
    (r"\mathrm{Cl_{2}}\,\text{(g)}", "Cl_{2} (g)"),
    (r"$Cl^{-}$", "Cl^{-}"),
    (r"{Cl}^{-}", "Cl^{-}"),
    (r"\frac{1}{2}O_2", "1/2O_2"),
    (r"SO^{2-}_4", "SO_4^{2-}"),
    (r"BaSO_{4(s)}", "BaSO_{4}(s)"),
    (r"A\rightarrow B\longrightarrow C", "A→B→C"),
    (r"A\toB", "A→B"),
    (r"\left(OH\right)", "(OH)"),
    (r"\unknown x", r"\unknown" + "x"),
]


@pytest.mark.parametrize(("typed", "plain"), PLAIN)
def test_plain_notation(typed: str, plain: str) -> None:
    assert normalise(typed).text == plain


def test_superscripts_are_mapped_before_compatibility_forms() -> None:
    assert unicodedata.normalize("NFKC", "10⁻²") != "10^-2"
    assert normalise("10⁻²").text == "10^{-2}"


@pytest.mark.parametrize(("typed", "_plain"), PLAIN)
def test_each_place_leads_back(typed: str, _plain: str) -> None:
    plain = normalise(typed)
    assert len(plain.places) == len(plain.text)
    assert all(0 <= place < len(typed) for place in plain.places)
    for character, place in zip(plain.text, plain.places, strict=True):
        if character.isascii() and character.isalpha() and typed[place].isascii() and typed[place].isalpha():
            assert character == typed[place]


def test_a_span_covers_what_was_typed() -> None:
    typed = r"\mathrm{2H_2O} + Xx"
    plain = normalise(typed)
    start = plain.text.index("Xx")
    assert plain.span(start, start + 2) == (typed.index("Xx"), 2)
    assert plain.span(len(plain.text), len(plain.text) + 1) == (len(typed), 0)


@given(st.text(max_size=80))
def test_any_text_is_brought_to_plain_notation(typed: str) -> None:
    plain = normalise(typed)
    assert len(plain.places) == len(plain.text)
    assert all(0 <= place < len(typed) for place in plain.places)
