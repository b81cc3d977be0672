"""Exact evaluation of an expression at fixed positive points, in high precision.

The points are the same on every machine. No two symbols come near each other at a point, so that a
difference of two quantities never all but vanishes there and makes a rounded number look wrong.
"""

from collections.abc import Mapping, Sequence
from fractions import Fraction
from functools import lru_cache
from random import Random
from typing import Any

from mpmath.ctx_mp import MPContext

from problems.errors import ProblemError
from problems.grading.expressions.tree import Node, Number, Power, Product, Sum, Symbol
from problems.words import _

DIGITS = 40
POINTS = 6
SPACING = 0.6
"""Least distance of two symbols at one point [decades]."""
GREATEST_EXPONENT = 1000
GREATEST_SIZE = 10**6
"""Of a value, as a power of two."""
MOST_ROOTS = 24

Value = Any
"""A real or complex number of mpmath."""
Point = Mapping[str, Value]

# A context of our own: the library's shared one changes its precision under other threads.
EXACT: Any = MPContext()  # type: ignore[no-untyped-call]
EXACT.dps = DIGITS
_VANISHING = EXACT.mpf(10) ** -(DIGITS - 12)


class NoValueError(ProblemError):
    """The expression has no value that can be computed: a division by zero, or a huge power."""


def points(symbols: Sequence[str]) -> tuple[Point, ...]:
    """The points at which expressions over these symbols are compared."""
    return tuple(_point(tuple(symbols), number) for number in range(POINTS))


@lru_cache(maxsize=512)
def _point(symbols: tuple[str, ...], number: int) -> Point:
    rng = Random(f"point {number} of {len(symbols)}")
    ranks = list(range(len(symbols)))
    rng.shuffle(ranks)
    middle = (len(symbols) - 1) / 2
    decades = [(rank - middle) * 2 * SPACING + rng.uniform(-SPACING / 2, SPACING / 2) for rank in ranks]
    return {
        symbol: EXACT.mpf(10) ** EXACT.mpf(f"{power:.12f}")
        for symbol, power in zip(symbols, decades, strict=True)
    }


@lru_cache(maxsize=1024)
def exact(value: Fraction) -> Value:
    """A fraction as a number of the exact context."""
    return EXACT.mpf(value.numerator) / value.denominator


def evaluate(node: Node, point: Point) -> Value:
    """The value at a point; a sum whose terms cancel to all digits is exactly zero.

    Raises NoValueError for a division by zero and for what is too large to be meant.
    """
    match node:
        case Number(value):
            return exact(value)
        case Symbol(name):
            return point[name]
        case Sum(terms):
            return _sum([-evaluate(term, point) if minus else evaluate(term, point) for term, minus in terms])
        case Product(factors):
            return _product([(evaluate(factor, point), divides) for factor, divides in factors])
        case Power(base, exponent):
            return _power(evaluate(base, point), evaluate(exponent, point))


def count_roots(node: Node) -> int:
    """How many powers are not whole; they are the dear part of evaluation."""
    match node:
        case Sum(parts) | Product(parts):
            return sum(count_roots(part) for part, _flag in parts)
        case Power(base, exponent):
            whole = isinstance(exponent, Number) and exponent.value.denominator == 1
            return (not whole) + count_roots(base) + count_roots(exponent)
    return 0


def _sum(values: list[Value]) -> Value:
    total = EXACT.mpf(0)
    for value in values:
        total += value
    greatest = max(abs(value) for value in values)
    return EXACT.mpf(0) if abs(total) < greatest * _VANISHING else total


def _product(values: list[tuple[Value, bool]]) -> Value:
    total = EXACT.mpf(1)
    for value, divides in values:
        if divides and not value:
            raise NoValueError(_("This divides by zero."))
        total = total / value if divides else total * value
    return _bounded(total)


def _power(base: Value, exponent: Value) -> Value:
    if isinstance(exponent, EXACT.mpc) or abs(exponent) > GREATEST_EXPONENT:
        raise NoValueError(_("The exponents are too large."))
    if not base:
        if exponent < 0:
            raise NoValueError(_("This divides by zero."))
        return EXACT.mpf(0 if exponent else 1)
    if abs(EXACT.mag(base) * exponent) > GREATEST_SIZE:
        raise NoValueError(_("The exponents are too large."))
    whole = int(exponent)
    return base**whole if whole == exponent else base**exponent


def _bounded(value: Value) -> Value:
    if value and abs(EXACT.mag(value)) > GREATEST_SIZE:
        raise NoValueError(_("The exponents are too large."))
    return value
