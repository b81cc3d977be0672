"""What stands behind a number: a unit, and perhaps the substance that is measured."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from itertools import islice, product

import periodictable

from problems.chemistry.formula import FormulaError, atoms_of
from problems.grading.quantities.units import Dimension, Named, kelvin, units
from problems.grading.quantities.units import product as unit_product

MOST_READINGS = 32
MOST_FACTORS = 6
GREATEST_POWER = 9
DEEPEST = 3

Factor = tuple[str, int]

_WORD = re.compile(
    r"°(?:\s?[CcFf](?:elsius|ahrenheit)?)?(?![A-Za-z])"
    r"|(?i:deg(?:ree)?s?\.?\s?(?:celsius|centigrade|fahrenheit|c|f)(?![A-Za-z]))"
    r"|(?i:per\s?cent(?![A-Za-z]))"
    r"|(?!per(?![A-Za-z]))(?!of(?![A-Za-z]))[A-Za-zµΩ]+|%"
)
_CUBIC = re.compile(r"(?i:(cubic|square)\s+)(?=[A-Za-z])")
_POWER = re.compile(
    r"\s?(?:\^|\*\*)\s?(?:\{\s?([+-]?[1-9])\s?\}|\(\s?([+-]?[1-9])\s?\)|([+-]?[1-9]))(?![0-9])"
    r"|([⁺⁻]?[¹²³⁴-⁹])(?![⁰¹²³⁴-⁹])|([+-]?[1-9])(?![0-9])"
)
_SUPERSCRIPTS = str.maketrans("⁺⁻¹²³⁴⁵⁶⁷⁸⁹", "+-123456789")
_DIVIDED = re.compile(r"\s*(?:/|per(?![A-Za-z]))\s*")
_ONE = re.compile(r"1\s*(?=/)")
_TIMES = re.compile(r"\s*[*·×]\s*|\.(?=[A-Za-zµΩ°])|\s+|(?=\()")
_FORMULA = re.compile(
    r"\(?(?P<body>(?:[A-Z][a-z]?|[()\[\]]|[0-9₀-₉]|[·.*](?=[0-9]*[A-Z])|_\{?[0-9]+\}?)+?)"
    r"(?:\^?\{?[0-9]*[+-]{1,4}[0-9]?\}?|[⁰¹²³⁴-⁹]*[⁺⁻])?(?:\((?:s|l|g|aq)\))?\)?"
)
_ELECTRON = re.compile(r"e(?:\^?\{?-\}?|⁻)?")
_SUBSCRIPTS = str.maketrans("₀₁₂₃₄₅₆₇₈₉", "0123456789", "_{}")
_MOST_WORDS = 6
_SUBSTANCES = frozenset(element.name for element in periodictable.elements) | frozenset(
    (
        "gas",
        "water",
        "electron",
        "electrons",
        "metal",
        "solution",
        "acid",
        "ions",
        "ion",
        "dry",
        "the",
        "pure",
    )
)


@dataclass(frozen=True, slots=True)
class Tail:
    """One reading of what stands behind a number."""

    named: Named
    with_substance: bool

    @property
    def dimension(self) -> Dimension:
        return self.named.unit.dimensionality


@lru_cache(maxsize=2048)
def read_tail(text: str, wanted: tuple[Dimension, ...]) -> Tail | None:
    """The unit behind a number, or None where it is not one.

    Where the text can be read in several ways, the reading that measures what is wanted wins, the
    first wanted first, even without its spaces (`m L`); else the one that takes most of the text for a
    unit.
    """
    temperature = kelvin().dimensionality in wanted
    text = text.strip().replace("[", "(").replace("]", ")")
    readings = list(islice(_readings(text, temperature), MOST_READINGS))
    joined = islice(_readings(text.replace(" ", ""), temperature), MOST_READINGS)
    for dimension in wanted:
        for reading in (*readings, *joined):
            if reading.dimension == dimension:
                return reading
    return readings[0] if readings else None


def _readings(text: str, temperature: bool) -> Iterator[Tail]:
    prefixes = [(factors, end) for factors, end in _unit_prefixes(text) if _ends_well(text, end)]
    for factors, end in sorted(prefixes, key=lambda prefix: -prefix[1]):
        choices = [units().candidates(word, temperature) for word, _ in factors]
        for chosen in product(*choices):
            powers = (power for _, power in factors)
            yield Tail(unit_product(zip(chosen, powers, strict=True)), end < len(text))


def _ends_well(text: str, end: int) -> bool:
    rest = text[end:]
    return not rest.strip() or (rest[0] in " (" and is_substance(rest.strip()))


def is_substance(text: str) -> bool:
    """True for a formula, the name of an element, or “of …”.

    >>> is_substance("Cu"), is_substance("of copper wire"), is_substance("or 5 g")
    (True, True, False)
    """
    parts = text.split()
    named = parts[0] == "of"
    parts = parts[1:] if named else parts
    if not 0 < len(parts) <= _MOST_WORDS:
        return False
    return all(is_formula(part) or _is_word(part, named) for part in parts)


def _is_word(part: str, named: bool) -> bool:
    bare = part.strip("()").casefold()
    return bare in _SUBSTANCES or (named and bare.isalpha() and bare not in ("or", "and", "to"))


def is_formula(text: str) -> bool:
    """True for the formula of a substance, an ion or the electron, however its charge is written."""
    if _ELECTRON.fullmatch(text):
        return True
    match = _FORMULA.fullmatch(text)
    if not match:
        return False
    body = match["body"].translate(_SUBSCRIPTS).replace("*", ".").strip(".")
    for candidate in (body, body + ")", body.removesuffix(")")):
        try:
            return bool(atoms_of(candidate))
        except FormulaError:
            continue
    return False


def _unit_prefixes(text: str) -> list[tuple[tuple[Factor, ...], int]]:
    """Every beginning of the text that is built like a unit, and where it ends."""
    return [(tuple(factors), end) for factors, end in _products(text, 0, 0)]


def _products(text: str, start: int, depth: int) -> Iterator[tuple[list[Factor], int]]:
    """Longer and longer products from `start`; all factors behind a slash divide, also in `1/mol`."""
    factors: list[Factor] = []
    one = _ONE.match(text, start)
    sign, place = 1, one.end() if one else start
    slash = _DIVIDED.match(text, place)
    while True:
        if slash:
            sign, place = -1, slash.end()
        found = _factor(text, place, depth)
        if not found:
            return
        more, place = found
        factors += [(word, sign * power) for word, power in more]
        if len(factors) > MOST_FACTORS or any(abs(power) > GREATEST_POWER for _, power in factors):
            return
        yield list(factors), place
        slash = _DIVIDED.match(text, place)
        times = None if slash else _TIMES.match(text, place)
        if not slash and not times:
            return
        place = times.end() if times else place


def _factor(text: str, start: int, depth: int) -> tuple[list[Factor], int] | None:
    """One unit with its exponent, or a product in brackets."""
    opened = text.startswith("(", start)
    inner = _bracketed(text, start, depth) if opened else _single(text, start)
    if not inner:
        return None
    factors, end = inner
    match = _POWER.match(text, end)
    if not match:
        return factors, end
    digits = next(group for group in match.groups() if group).translate(_SUPERSCRIPTS)
    return [(word, power * int(digits)) for word, power in factors], match.end()


def _single(text: str, start: int) -> tuple[list[Factor], int] | None:
    shape = _CUBIC.match(text, start)
    power = (3 if shape[1].lower() == "cubic" else 2) if shape else 1
    match = _WORD.match(text, shape.end() if shape else start)
    if not match:
        return None
    word = re.sub(r"[\s.]", "", match.group())
    return ([(word, power)], match.end()) if units().candidates(word, True) else None


def _bracketed(text: str, start: int, depth: int) -> tuple[list[Factor], int] | None:
    if depth >= DEEPEST:
        return None
    for factors, end in _products(text, start + 1, depth + 1):
        if text.startswith(")", end):
            return factors, end + 1
    return None
