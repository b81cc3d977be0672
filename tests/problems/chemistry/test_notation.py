"""Every way of writing a formula or an equation, and that all of them say the same."""

import re
from html import unescape
from html.parser import HTMLParser
from xml.etree import ElementTree

import pytest
from django.utils.html import conditional_escape
from hypothesis import given

from problems.chemistry.equation import Equation
from problems.chemistry.formula import Formula
from problems.chemistry.notation import SUBSCRIPTS, as_html, as_mathml, as_unicode, plain, spoken
from problems.words import MINUS, SUPERSCRIPTS
from tests.problems.chemistry.strategies import equations, formulas
from tests.problems.chemistry.tables import rows

CASES = rows("notation.csv")
CATHODE = Equation.parse("2 H2O + 2 e^- -> H2 + 2 OH^-")
ODD = Equation.parse("1/2 O2(g) + 5/2 H^+ -> Cu^2+")


class Reader(HTMLParser):
    """Splits our markup into what is seen and what is spoken, and refuses tags that do not close."""

    def __init__(self, markup: str) -> None:
        super().__init__()
        self.open: list[tuple[str, dict[str, str | None]]] = []
        self.seen = self.spoken = ""
        self.feed(markup)
        self.close()
        assert not self.open

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        assert tag in {"span", "sub", "sup"}
        self.open.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop()[0] == tag

    def handle_data(self, data: str) -> None:
        if any(attributes.get("class") == "visually-hidden" for _tag, attributes in self.open):
            self.spoken += data
            return
        assert any(attributes.get("aria-hidden") == "true" for _tag, attributes in self.open)
        table = {"sub": SUBSCRIPTS, "sup": SUPERSCRIPTS}.get(self.open[-1][0])
        self.seen += data.replace(MINUS, "-").translate(table) if table else data


def wrapped(seen: str, words: str) -> str:
    return (
        f'<span class="formula"><span aria-hidden="true">{seen}</span>'
        f'<span class="visually-hidden">{words}</span></span>'
    )


@pytest.mark.parametrize("row", CASES, ids=lambda row: row["plain"])
def test_writes_a_formula_each_way(row: dict[str, str]) -> None:
    formula = Formula.parse(row["plain"])
    assert plain(formula) == row["plain"]
    assert as_unicode(formula) == row["unicode"]
    assert as_html(formula) == wrapped(row["html"], row["spoken"])
    assert spoken(formula) == row["spoken"]


def test_writes_an_equation_each_way() -> None:
    assert plain(CATHODE) == "2 H2O + 2 e^- -> H2 + 2 OH^-"
    assert as_unicode(CATHODE) == "2 H₂O + 2 e⁻ → H₂ + 2 OH⁻"
    assert spoken(CATHODE) == "2 H 2 O, plus 2 electrons, gives H 2, plus 2 O H charge minus"
    seen = "2 H<sub>2</sub>O + 2 e<sup>−</sup> → H<sub>2</sub> + 2 OH<sup>−</sup>"
    assert as_html(CATHODE) == wrapped(seen, spoken(CATHODE))


def test_fractions_are_written_as_such() -> None:
    assert plain(ODD) == "1/2 O2(g) + 5/2 H^+ -> Cu^2+"
    assert as_unicode(ODD) == "½ O₂(g) + 5/2 H⁺ → Cu²⁺"
    assert spoken(ODD) == "1 over 2 O 2 gas, plus 5 over 2 H charge plus, gives C u charge 2 plus"
    assert "<mfrac><mn>5</mn><mn>2</mn></mfrac>" in as_mathml(ODD)


def test_a_state_with_alternatives_is_shown_whole() -> None:
    bromine = Formula((("Br", 2),), 0, "Br2", "l|aq")
    assert as_unicode(bromine) == "Br₂(l|aq)"
    assert spoken(bromine) == "B r 2 liquid or in water"


def test_equal_formulas_keep_their_own_spelling() -> None:
    first, second = Formula.parse("OH^-"), Formula.parse("HO^-")
    assert [as_unicode(first), as_unicode(second), as_unicode(first)] == ["OH⁻", "HO⁻", "OH⁻"]
    assert as_unicode(Formula.parse("Br2(l)")) != as_unicode(Formula.parse("Br2(g)"))


def test_mathml_holds_one_symbol_an_identifier() -> None:
    """MathML Core (W3C): a lone letter leans unless told not to, longer names stand upright."""
    metal, sulfur = "<mi>Na</mi>", '<mi mathvariant="normal">S</mi>'
    oxygen = '<msubsup><mi mathvariant="normal">O</mi><mn>4</mn><mrow><mo>−</mo></mrow></msubsup>'
    assert as_mathml(Formula.parse("NaSO4^-")) == f"<math>{metal}{sulfur}{oxygen}</math>"
    assert "<mo>·</mo><mn>5</mn>" in as_mathml(Formula.parse("CuSO4.5H2O"))


@pytest.mark.parametrize("written", [CATHODE, Formula.parse("SO4^2-")], ids=str)
def test_templates_put_the_markup_in_as_it_is(written: Equation | Formula) -> None:
    assert conditional_escape(as_html(written)) == as_html(written)
    assert conditional_escape(as_mathml(written)) == as_mathml(written)


def test_what_is_added_to_the_markup_is_no_longer_taken_for_safe() -> None:
    assert "&lt;b&gt;" in conditional_escape(as_html(CATHODE) + "<b>")


@given(formulas)
def test_seen_and_spoken_say_the_same_as_unicode_and_words(formula: Formula) -> None:
    reader = Reader(as_html(formula))
    assert reader.seen == as_unicode(formula)
    assert reader.spoken == spoken(formula)
    assert unescape(reader.spoken) == reader.spoken


@given(equations)
def test_equations_too(equation: Equation) -> None:
    reader = Reader(as_html(equation))
    assert reader.seen == as_unicode(equation)
    assert reader.spoken == spoken(equation)


@given(formulas)
def test_mathml_is_well_formed_and_holds_every_character(formula: Formula) -> None:
    text = "".join(ElementTree.fromstring(as_mathml(formula)).itertext())
    assert text.replace("·", ".").replace(MINUS, "-") == plain(formula).replace("^", "")


@given(formulas)
def test_plain_text_is_read_back(formula: Formula) -> None:
    again = Formula.parse(plain(formula))
    assert (again, again.body, again.state) == (formula, formula.body, formula.state)


@given(equations)
def test_plain_equations_are_read_back(equation: Equation) -> None:
    assert Equation.parse(plain(equation)) == equation


@given(formulas)
def test_unicode_holds_no_plain_digit_but_the_units_of_a_hydrate(formula: Formula) -> None:
    assert not re.search(r"(?<![·0-9])[0-9]", as_unicode(formula))
