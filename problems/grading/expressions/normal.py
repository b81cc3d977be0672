"""A bounded normal form: an expression as one polynomial over another, with exact coefficients.

It tells algebra apart that agrees at some points by rounding only. Where the form would grow beyond
its bounds, or there are roots, there is none, and the points alone decide.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import Any

from sympy import QQ
from sympy.polys.rings import ring

from problems.grading.expressions.tree import Node, Number, Power, Product, Sum, Symbol, size

MOST_TERMS = 24
HIGHEST_POWER = 12
MOST_BITS = 1200
LARGEST = 60
"""Of the tree [numbers and symbols]."""

Polynomial = Any
"""A polynomial of sympy over the rationals, built from numbers and symbols only, never from text."""


class TooLarge(Exception):  # noqa: N818 - no error: the form is simply not worth having
    """The normal form would grow beyond its bounds."""


@dataclass(frozen=True, slots=True)
class Ratio:
    """A polynomial over another."""

    above: Polynomial
    below: Polynomial

    def __post_init__(self) -> None:
        for part in (self.above, self.below):
            if len(part) > MOST_TERMS or any(_bits(number) > MOST_BITS for number in part.values()):
                raise TooLarge
        if not self.below:
            raise TooLarge

    def times(self, other: "Ratio", divides: bool = False) -> "Ratio":
        above, below = (other.below, other.above) if divides else (other.above, other.below)
        if max(len(self.above) * len(above), len(self.below) * len(below)) > MOST_TERMS**2 // 2:
            raise TooLarge
        return Ratio(self.above * above, self.below * below)

    def plus(self, other: "Ratio", minus: bool = False) -> "Ratio":
        if self.below == other.below:
            return Ratio(self.above - other.above if minus else self.above + other.above, self.below)
        first, second = (
            self.times(Ratio(other.below, other.below.ring.one)),
            other.times(Ratio(self.below, self.below.ring.one)),
        )
        total = first.above - second.above if minus else first.above + second.above
        return Ratio(total, self.times(Ratio(other.below.ring.one, other.below)).below)


def normal_form(node: Node, symbols: Sequence[str]) -> Ratio | None:
    """The expression as a ratio of polynomials, or None where that is out of bounds."""
    if size(node) > LARGEST:
        return None
    one, generators = _ring(len(symbols))
    try:
        return _form(node, dict(zip(symbols, generators, strict=True)), one)
    except TooLarge:
        return None


def coefficients(answer: Ratio, key: Ratio) -> list[Fraction] | None:
    """By how much each coefficient of the answer exceeds the key's, once both stand over one denominator.

    None where the two have not the same powers of the symbols.
    """
    try:
        mine = answer.times(Ratio(key.below, key.below.ring.one)).above
        theirs = key.times(Ratio(answer.below, answer.below.ring.one)).above
    except TooLarge:
        return None
    if set(mine) != set(theirs) or not mine:
        return None
    return [Fraction(*_parts(mine[power])) / Fraction(*_parts(theirs[power])) for power in mine]


@lru_cache(maxsize=64)
def _ring(count: int) -> tuple[Polynomial, tuple[Polynomial, ...]]:
    made = ring([f"x{number}" for number in range(count)] or ["x"], QQ)
    return made[0].one, tuple(made[1:])[:count]


def _form(node: Node, generators: dict[str, Polynomial], one: Polynomial) -> Ratio:
    match node:
        case Number(value):
            return Ratio(one * QQ(value.numerator, value.denominator), one)
        case Symbol(name):
            return Ratio(generators[name], one)
        case Sum(terms):
            total = Ratio(one * 0, one)
            for term, minus in terms:
                total = total.plus(_form(term, generators, one), minus)
            return total
        case Product(factors):
            total = Ratio(one, one)
            for factor, divides in factors:
                total = total.times(_form(factor, generators, one), divides)
            return total
        case Power(base, exponent):
            return _powered(_form(base, generators, one), _whole(exponent))


def _whole(exponent: Node) -> int:
    """The exponent where it is a small whole number; anything else has no polynomial."""
    if not isinstance(exponent, Number) or exponent.value.denominator != 1 or abs(exponent.value) > 99:
        raise TooLarge
    return int(exponent.value)


def _powered(base: Ratio, exponent: int) -> Ratio:
    monomial = len(base.above) <= 1 and len(base.below) == 1
    if abs(exponent) > HIGHEST_POWER and not monomial:
        raise TooLarge
    if monomial and exponent:
        above, below = base.above ** abs(exponent), base.below ** abs(exponent)
        return Ratio(below, above) if exponent < 0 else Ratio(above, below)
    one = base.below.ring.one
    total = Ratio(one, one)
    for _step in range(abs(exponent)):
        total = total.times(base, exponent < 0)
    return total


def _bits(number: Any) -> int:
    above, below = _parts(number)
    return max(abs(above), below).bit_length()


def _parts(number: Any) -> tuple[int, int]:
    return int(number.numerator), int(number.denominator)
