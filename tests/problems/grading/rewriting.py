"""Right equations written in every notation of the grading rules, and with one slip each."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

from hypothesis import strategies as st

from problems.chemistry.equation import Equation, Side
from problems.chemistry.formula import ELECTRON, HYDROGEN_ION, Formula
from problems.chemistry.medium import with_hydronium
from tests.problems.chemistry.strategies import BALANCED

SUBSCRIPTS = str.maketrans("0123456789", "₀₁₂₃₄₅₆₇₈₉")
SUPERSCRIPTS = str.maketrans("0123456789+-", "⁰¹²³⁴⁵⁶⁷⁸⁹⁺⁻")

Write = Callable[[str, str], str]
"""A body without and a charge like "2-" to the text of an ion."""


def _size(charge: str) -> str:
    return charge[:-1]


BODIES: dict[str, Callable[[str], str]] = {
    "plain": lambda body: body,
    "characters": lambda body: _lowered(body, lambda digits: digits.translate(SUBSCRIPTS)),
    "underscores": lambda body: _lowered(body, lambda digits: f"_{{{digits}}}"),
    "square": lambda body: body.replace("(", "[").replace(")", "]") if "[" not in body else body,
    "bullet": lambda body: body.replace(".", " • "),
    "star": lambda body: body.replace(".", "*"),
}
CHARGES: dict[str, Write] = {
    "run": lambda body, charge: body + charge,
    "caret": lambda body, charge: f"{body}^{charge}",
    "braces": lambda body, charge: f"{body}^{{{charge}}}",
    "characters": lambda body, charge: body + charge.translate(SUPERSCRIPTS),
    "brackets": lambda body, charge: f"{body}({charge})",
    "apart": lambda body, charge: f"{body} {charge}",
    "repeated": lambda body, charge: body + charge[-1] * int(_size(charge) or 1),
    "sign first": lambda body, charge: body + charge[-1] + (_size(charge) or "1"),
    "caret, sign first": lambda body, charge: f"{body}^{charge[-1]}{_size(charge) or '1'}",
    "bracketed ion": lambda body, charge: (
        f"({body}){charge}" if not set("()[]") & set(body) else body + charge
    ),
    "raised digit": lambda body, charge: body + _size(charge).translate(SUPERSCRIPTS) + charge[-1],
}
ELECTRONS = ("e-", "e^-", "e⁻", "e^{-}", "e -", "e", "electron", "electrons", "e(-)")
ARROWS = ("->", "-->", "--->", "=>", "==>", "=", "→", "⟶", "⇒", "⇌", "⇄", "↔", "<=>", "<==>", "<->",
    r"\rightarrow", r"\to ", r"\longrightarrow ", r"\rightleftharpoons ", " yields ", " gives ",
)  # fmt: skip
BACKWARDS = ("←", "<-", "<--")
STATES = ("", "(s)", "(l)", "(g)", "(aq)", " (aq)", "(AQ)", "_{(aq)}")
NUMBERS = ("{count}", "{count} ", "{count}*", "{count} * ")
PLUSES = (" + ", "+", " +", "+ ", " ＋ ")
FRAMES = (
    "{text}",
    "${text}$",
    r"\ce{{{text}}}",
    "Reaction: {text}",
    "{text}.",
    "  {text} ",
    "\u200e{text}\u200b",
)
LOOK_ALIKES = str.maketrans("HOCKMBe", "НОСКМВе")


def _lowered(body: str, lower: Callable[[str], str]) -> str:
    """The subscripts of a body rewritten; the number of waters in a hydrate is no subscript."""
    parts = body.split(".")
    written = [_digits(parts[0], lower)]
    for part in parts[1:]:
        waters = len(part) - len(part.lstrip("0123456789"))
        written.append(part[:waters] + _digits(part[waters:], lower))
    return ".".join(written)


def _digits(text: str, lower: Callable[[str], str]) -> str:
    written, digits = "", ""
    for character in text + " ":
        if character.isdigit():
            digits += character
            continue
        written += (lower(digits) if digits else "") + character
        digits = ""
    return written[:-1]


@dataclass(frozen=True)
class Hand:
    """One student's way of writing."""

    body: str
    charge: str
    electron: str
    arrow: str
    state: str
    number: str
    plus: str
    frame: str
    foreign_letters: bool

    def species(self, formula: Formula) -> str:
        if formula.is_electron:
            return self.electron
        body = BODIES[self.body](formula.body)
        sign = "" if not formula.charge else "+" if formula.charge > 0 else "-"
        size = str(abs(formula.charge)) if abs(formula.charge) > 1 else ""
        return (CHARGES[self.charge](body, size + sign) if sign else body) + self.state

    def term(self, formula: Formula, count: Fraction) -> str:
        number = "" if count == 1 else self.number.format(count=count)
        return number + self.species(formula)

    def side(self, side: Side) -> str:
        return self.plus.join(self.term(*term) for term in side)

    def write(self, equation: Equation) -> str:
        return self.joined(self.side(equation.left), self.side(equation.right))

    def joined(self, left: str, right: str) -> str:
        if self.arrow in BACKWARDS:
            left, right = right, left
        gap = " " if self.plus == " + " else ""
        text = f"{left}{gap}{self.arrow}{gap}{right}"
        if self.foreign_letters and "\\" not in text:
            text = text.translate(LOOK_ALIKES)
        return self.frame.format(text=text)


hands = st.builds(
    Hand,
    body=st.sampled_from(sorted(BODIES)),
    charge=st.sampled_from(sorted(CHARGES)),
    electron=st.sampled_from(ELECTRONS),
    arrow=st.sampled_from(ARROWS + BACKWARDS),
    state=st.sampled_from(STATES),
    number=st.sampled_from(NUMBERS),
    plus=st.sampled_from(PLUSES),
    frame=st.sampled_from(FRAMES),
    foreign_letters=st.booleans(),
)
equations = st.sampled_from(BALANCED)


@st.composite
def in_many_hands(draw: st.DrawFn, equation: Equation) -> str:
    """The equation with every term written another way."""
    frame = draw(hands)

    def side(terms: Side) -> str:
        return frame.plus.join(draw(hands).term(*term) for term in terms)

    return frame.joined(side(equation.left), side(equation.right))


def role_of(equation: Equation) -> str:
    if equation.electrons:
        return "half_reaction"
    return "net_ionic" if any(species.charge for species in equation.species) else "overall"


def case_of(equation: Equation, **fields: Any) -> dict[str, Any]:
    """A grading case that asks for the equation."""
    return {"expected": str(equation), "role": role_of(equation), **fields}


@st.composite
def reordered(draw: st.DrawFn, equation: Equation) -> Equation:
    left, right = (tuple(draw(st.permutations(side))) for side in (equation.left, equation.right))
    return Equation(left, right)


def in_hydronium(equation: Equation) -> Equation | None:
    """The equation with H₃O⁺, where it has H⁺."""
    return with_hydronium(equation) if HYDROGEN_ION in equation.species else None


@st.composite
def with_one_slip(draw: st.DrawFn, equation: Equation) -> Equation:
    """The equation with one thing wrong: a coefficient, a charge, a subscript, a species, electrons moved."""
    slips = [_coefficient, _charge, _subscript, _left_out, _put_in]
    if equation.electrons:
        slips.append(_electrons_moved)
    return draw(st.sampled_from(slips))(draw, equation)


Sides = list[dict[Formula, Fraction]]


def _sides(equation: Equation) -> Sides:
    return [dict(equation.left), dict(equation.right)]


def _pick(draw: st.DrawFn, sides: Sides, electrons: bool = False) -> tuple[int, Formula]:
    found = [
        (side, species)
        for side, amounts in enumerate(sides)
        for species in amounts
        if electrons or not species.is_electron
    ]
    return draw(st.sampled_from(found))


def _coefficient(draw: st.DrawFn, equation: Equation) -> Equation:
    sides = _sides(equation)
    side, species = _pick(draw, sides, electrons=True)
    sides[side][species] += draw(st.sampled_from([1, 2, 5]))
    return Equation.of(*sides)


def _exchanged(sides: Sides, side: int, old: Formula, new: Formula) -> Equation:
    count = sides[side].pop(old)
    sides[side][new] = sides[side].get(new, Fraction()) + count
    return Equation.of(*sides)


def _charge(draw: st.DrawFn, equation: Equation) -> Equation:
    sides = _sides(equation)
    side, species = _pick(draw, sides)
    return _exchanged(
        sides, side, species, replace(species, charge=species.charge + draw(st.sampled_from([-1, 1])))
    )


def _subscript(draw: st.DrawFn, equation: Equation) -> Equation:
    sides = _sides(equation)
    side, species = _pick(draw, sides)
    symbol = draw(st.sampled_from([symbol for symbol, _count in species.atoms]))
    atoms = tuple((one, count + (one == symbol)) for one, count in species.atoms)
    return _exchanged(sides, side, species, Formula(atoms, species.charge))


def _left_out(draw: st.DrawFn, equation: Equation) -> Equation:
    sides = _sides(equation)
    side, species = _pick(draw, [amounts if len(amounts) > 1 else {} for amounts in sides], electrons=True)
    del sides[side][species]
    return Equation.of(*sides)


def _put_in(draw: st.DrawFn, equation: Equation) -> Equation:
    sides = _sides(equation)
    sides[draw(st.sampled_from([0, 1]))][Formula.parse("Xe")] = Fraction(draw(st.integers(1, 4)))
    return Equation.of(*sides)


def _electrons_moved(draw: st.DrawFn, equation: Equation) -> Equation:
    sides = _sides(equation)
    side = next(side for side, amounts in enumerate(sides) if ELECTRON in amounts)
    sides[1 - side][ELECTRON] = sides[side].pop(ELECTRON)
    return Equation.of(*sides)
