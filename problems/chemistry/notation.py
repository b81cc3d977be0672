"""One formula or equation in each way of writing it.

    plain       `SO4^2-`, `2 H2O + 2 e^- -> H2 + 2 OH^-`: tables, commands, machine output
    as_unicode  `SO₄²⁻`, `2 H₂O + 2 e⁻ → H₂ + 2 OH⁻`: sentences, the reading of an answer
    as_html     real `<sub>` and `<sup>` for the eye, the spoken words for a screen reader
    as_mathml   MathML Core, for pages and documents that take it
    spoken      words

State symbols are written where a formula has one; states that are equally right stand as `(l|aq)`.
Subscripts, and charges with the number before the sign, as in the IUPAC Red Book 2005, chapter IR-4.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from html import escape

from problems.chemistry.equation import Equation, Side
from problems.chemistry.formula import Formula
from problems.words import MINUS, SUPERSCRIPTS, _, current_language

Written = Formula | Equation

SUBSCRIPTS = str.maketrans("0123456789", "₀₁₂₃₄₅₆₇₈₉")
VULGAR = {
    Fraction(1, 2): "½",
    Fraction(1, 3): "⅓",
    Fraction(2, 3): "⅔",
    Fraction(1, 4): "¼",
    Fraction(3, 4): "¾",
}

# A number behind a symbol or a bracket is a subscript, one behind a point counts units of what follows.
_UNIT = re.compile(r"(?P<base>[A-Z][a-z]?|[()\[\]]|\.[0-9]*|e)(?P<subscript>[0-9]*)")


class Html(str):
    """Text that is already safe HTML: templates that know `__html__` put it in as it is."""

    __slots__ = ()

    def __html__(self) -> str:
        return self


@dataclass(frozen=True, eq=False, slots=True)
class Style:
    """How one way of writing puts its pieces: `unit(base, subscript, charge)`, the charge like "2-" or ""."""

    unit: Callable[[str, str, str], str]
    state: Callable[[str], str]
    number: Callable[[Fraction], str]
    between_units: str = ""
    after_number: str = " "
    plus: str = " + "
    arrow: str = " → "

    def write(self, written: Written) -> str:
        if isinstance(written, Formula):
            return self.term(written, Fraction(1))
        return self.arrow.join(self.side(side) for side in (written.left, written.right))

    def side(self, side: Side) -> str:
        return self.plus.join(self.term(formula, count) for formula, count in side)

    def term(self, formula: Formula, count: Fraction) -> str:
        text = _spelled(self, formula.body, formula.charge, formula.state, current_language())
        return text if count == 1 else self.number(count) + self.after_number + text


@lru_cache(maxsize=4096)
def _spelled(style: Style, body: str, charge: int, state: str | None, _language: str) -> str:
    """Kept by spelling and language: equal formulas may be spelled differently."""
    pieces = [(match["base"], match["subscript"]) for match in _UNIT.finditer(body)]
    charges = ["" for _piece in pieces[1:]] + [_charge(charge)]
    units = [style.unit(*piece, charge) for piece, charge in zip(pieces, charges, strict=True)]
    return style.between_units.join([*units, style.state(state)] if state else units)


def _charge(charge: int) -> str:
    size = "" if abs(charge) == 1 else str(abs(charge))
    return size + ("+" if charge > 0 else "-") if charge else ""


def plain(written: Written) -> str:
    """The plain notation, with states; `parse` reads it back where no state has alternatives.

    >>> plain(Formula.parse("Br2(aq)"))
    'Br2(aq)'
    """
    return _PLAIN.write(written)


def as_unicode(written: Written) -> str:
    """Real subscripts, superscripts and arrows.

    >>> as_unicode(Equation.parse("2 H2O + 2 e^- -> H2 + 2 OH^-"))
    '2 H₂O + 2 e⁻ → H₂ + 2 OH⁻'
    >>> as_unicode(Formula.parse("CuSO4.5H2O"))
    'CuSO₄·5H₂O'
    """
    return _UNICODE.write(written)


def without_states(written: Written) -> str:
    """The same without the state symbols that some rows of the tables have.

    >>> without_states(Formula.parse("Br2(aq)"))
    'Br₂'
    """
    return _STATELESS.write(written)


def as_html(written: Written) -> Html:
    """Markup for the eye, and the spoken words in a `visually-hidden` element for a screen reader.

    >>> "OH<sup>−</sup>" in as_html(Formula.parse("OH^-"))
    True
    """
    return Html(
        f'<span class="formula"><span aria-hidden="true">{_HTML.write(written)}</span>'
        f'<span class="visually-hidden">{escape(spoken(written))}</span></span>'
    )


def as_mathml(written: Written) -> Html:
    """MathML Core: upright symbols, real scripts, fractions and arrows.

    >>> print(as_mathml(Formula.parse("Cl^-")))
    <math><msup><mi>Cl</mi><mrow><mo>−</mo></mrow></msup></math>
    """
    return Html(f"<math>{_MATHML.write(written)}</math>")


def spoken(written: Written) -> str:
    """Words for a screen reader, letter by letter, in the reader's language.

    >>> spoken(Equation.parse("Cu^2+ + 2 e^- -> Cu"))
    'C u charge 2 plus, plus 2 electrons, gives C u'
    """
    if isinstance(written, Formula):
        return _spoken_term(written, Fraction(1))
    left, right = (_spoken_side(side) for side in (written.left, written.right))
    return _("{left}, gives {right}").format(left=left, right=right)


def _spoken_side(side: Side) -> str:
    return _(", plus ").join(_spoken_term(formula, count) for formula, count in side)


def _spoken_term(formula: Formula, count: Fraction) -> str:
    if not formula.is_electron:
        return _SPOKEN.term(formula, count)
    if count == 1:
        return _("electron")
    return _("{count} electrons").format(count=_spoken_number(count))


def _vulgar(number: Fraction) -> str:
    return str(number) if number.denominator == 1 else VULGAR.get(number, str(number))


def _plain_unit(base: str, subscript: str, charge: str) -> str:
    return base + subscript + (charge and f"^{charge}")


def _unicode_unit(base: str, subscript: str, charge: str) -> str:
    return base.replace(".", "·") + subscript.translate(SUBSCRIPTS) + charge.translate(SUPERSCRIPTS)


def _html_unit(base: str, subscript: str, charge: str) -> str:
    below = subscript and f"<sub>{subscript}</sub>"
    above = charge and f"<sup>{charge.replace('-', MINUS)}</sup>"
    return escape(base).replace(".", "·") + below + above


def _mathml_unit(base: str, subscript: str, charge: str) -> str:
    kind = "mi" if base[0].isalpha() else "mo"
    upright = ' mathvariant="normal"' if kind == "mi" and len(base) == 1 else ""
    inner = f"<{kind}{upright}>{escape(base)}</{kind}>"
    if base.startswith("."):
        inner = "<mo>·</mo>" + (base[1:] and f"<mn>{base[1:]}</mn>")
    size, sign = charge[:-1], charge[-1:].replace("-", MINUS)
    below = subscript and f"<mn>{subscript}</mn>"
    above = charge and f"<mrow>{size and f'<mn>{size}</mn>'}<mo>{sign}</mo></mrow>"
    element = {(True, True): "msubsup", (True, False): "msub", (False, True): "msup"}.get(
        (bool(below), bool(above))
    )
    return f"<{element}>{inner}{below}{above}</{element}>" if element else inner


def _mathml_number(number: Fraction) -> str:
    if number.denominator == 1:
        return f"<mn>{number}</mn>"
    return f"<mfrac><mn>{number.numerator}</mn><mn>{number.denominator}</mn></mfrac>"


def _spoken_unit(base: str, subscript: str, charge: str) -> str:
    brackets = {
        "(": _("open bracket"),
        "[": _("open bracket"),
        ")": _("close bracket"),
        "]": _("close bracket"),
    }
    signs = {"+": _("charge {size} plus"), "-": _("charge {size} minus")}
    words = [_("dot"), base[1:]] if base.startswith(".") else [brackets.get(base) or " ".join(base)]
    words += [subscript, signs[charge[-1]].format(size=charge[:-1]) if charge else ""]
    return " ".join(" ".join(words).split())


def _spoken_state(state: str) -> str:
    names = {"s": _("solid"), "l": _("liquid"), "g": _("gas"), "aq": _("in water")}
    return _(" or ").join(names[each] for each in state.split("|"))


def _spoken_number(number: Fraction) -> str:
    if number.denominator == 1:
        return str(number)
    return _("{above} over {below}").format(above=number.numerator, below=number.denominator)


_PLAIN = Style(_plain_unit, "({})".format, str, arrow=" -> ")
_UNICODE = Style(_unicode_unit, "({})".format, _vulgar)
_STATELESS = Style(_unicode_unit, lambda _state: "", _vulgar)
_HTML = Style(_html_unit, "({})".format, _vulgar)
_MATHML = Style(
    _mathml_unit,
    "<mtext>({})</mtext>".format,
    _mathml_number,
    after_number="",
    plus="<mo>+</mo>",
    arrow="<mo>→</mo>",
)
_SPOKEN = Style(_spoken_unit, _spoken_state, _spoken_number, between_units=" ")
