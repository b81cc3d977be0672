"""An expression as values: numbers, symbols, sums, products, powers.

A trap: `Product` and `Sum` are as written; nothing is simplified, so two trees of the same algebra
differ where they are written differently.
"""

from dataclasses import dataclass
from fractions import Fraction

from problems import words


@dataclass(frozen=True, slots=True)
class Number:
    """An exact number."""

    value: Fraction


@dataclass(frozen=True, slots=True)
class Symbol:
    """A positive real quantity; no name has a meaning of its own."""

    name: str


@dataclass(frozen=True, slots=True)
class Sum:
    """Terms, each with True where it is taken away."""

    terms: tuple[tuple["Node", bool], ...]


@dataclass(frozen=True, slots=True)
class Product:
    """Factors, each with True where it divides."""

    factors: tuple[tuple["Node", bool], ...]


@dataclass(frozen=True, slots=True)
class Power:
    """A base and its exponent; a root is a power."""

    base: "Node"
    exponent: "Node"


Node = Number | Symbol | Sum | Product | Power

HALF = Number(Fraction(1, 2))
_SUBSCRIPTS = str.maketrans("0123456789", "₀₁₂₃₄₅₆₇₈₉")


def added(terms: list[tuple[Node, bool]]) -> Node:
    """The sum of the terms; a single one is itself, or the negative number that it is."""
    if len(terms) > 1:
        return Sum(tuple(terms))
    term, minus = terms[0]
    if minus and isinstance(term, Number):
        return Number(-term.value)
    return Sum(((term, True),)) if minus else term


def multiplied(factors: list[tuple[Node, bool]]) -> Node:
    """The product of the factors; a single one that does not divide is itself."""
    return factors[0][0] if len(factors) == 1 and not factors[0][1] else Product(tuple(factors))


def size(node: Node) -> int:
    """How many numbers and symbols stand in the expression.

    >>> size(Power(Symbol("a"), HALF))
    2
    """
    match node:
        case Sum(parts) | Product(parts):
            return sum(size(part) for part, _flag in parts)
        case Power(base, exponent):
            return size(base) + size(exponent)
    return 1


def shown(node: Node) -> str:
    """The expression on one line, each product and denominator made plain.

    >>> shown(Product(((Symbol("I"), False), (Symbol("t"), False), (Symbol("F"), True))))
    'I·t/F'
    """
    match node:
        case Number(value):
            return _number(value)
        case Symbol(name):
            return _symbol(name)
        case Sum(terms):
            return _sum(terms)
        case Product(factors):
            return _product(factors)
        case Power(base, exponent):
            return _power(base, exponent)


def _number(value: Fraction) -> str:
    mark = words.DECIMAL_SIGN.get(words.current_language(), ".")
    if value.denominator == 1 and abs(value) < 10**7:
        return str(value).replace("-", words.MINUS)
    if value.denominator < 100:
        return f"{value}".replace("-", words.MINUS)
    return f"{_as_float(value):.12g}".replace("-", words.MINUS).replace(".", mark)


def _as_float(value: Fraction) -> float:
    """The nearest float; beyond its range the greatest one, since this is only shown."""
    try:
        return float(value)
    except OverflowError:
        return 1.7976931348623157e308


def _symbol(name: str) -> str:
    base, mark, index = name.partition("_")
    return base + index.strip("{}").translate(_SUBSCRIPTS) if mark and index.strip("{}").isdigit() else name


def _sum(terms: tuple[tuple[Node, bool], ...]) -> str:
    text = ""
    for term, negative in terms:
        sign = words.MINUS if negative else "+"
        written = _within(term, Sum)
        text += f" {sign} {written}" if text else f"{sign if negative else ''}{written}"
    return text


def _product(factors: tuple[tuple[Node, bool], ...]) -> str:
    above = "·".join(_factor(factor) for factor, divides in factors if not divides)
    below = [factor for factor, divides in factors if divides]
    if not below:
        return above
    parts = "·".join(_factor(factor) for factor in below)
    simple = len(below) == 1 and not isinstance(below[0], Product)
    return f"{above or '1'}/{parts if simple else f'({parts})'}"


def _factor(node: Node) -> str:
    """A factor of a product, in brackets where it is a sum or has a denominator."""
    fraction = isinstance(node, Product) and any(divides for _factor, divides in node.factors)
    return f"({shown(node)})" if fraction else _within(node, Sum)


def _power(base: Node, exponent: Node) -> str:
    if exponent == HALF:
        return f"√{_within(base, Sum, Product, Power)}"
    inner = _within(base, Sum, Product, Power)
    if isinstance(exponent, Number) and exponent.value.denominator == 1 and abs(exponent.value) < 1000:
        return f"{inner}{str(exponent.value).translate(words.SUPERSCRIPTS)}"
    return f"{inner}^({shown(exponent)})"


def _within(node: Node, *bracketed: type) -> str:
    """The node inside another, in brackets where it needs them."""
    fraction = isinstance(node, Number) and (node.value.denominator != 1 or node.value < 0)
    text = shown(node)
    return f"({text})" if isinstance(node, bracketed) or (fraction and "/" in text) else text
