"""The atoms of a species' body, by the grammar `species.lark`."""

import re
from collections import Counter
from functools import cache, lru_cache
from pathlib import Path

from lark import Lark, Token, Transformer, UnexpectedInput, v_args

from problems.chemistry.formula import LONGEST, SYMBOLS, Atoms

GRAMMAR = Path(__file__).with_name("species.lark")
LETTERS = re.compile(r"[A-Za-z]+")
SYMBOL = re.compile(r"[A-Z][a-z]?|[a-z]")
_COUNTS = re.compile(r"\d+")


class _Count(Transformer[Token, Counter[str]]):
    """Atoms counted from the leaves up."""

    def body(self, parts: list[Counter[str] | int]) -> Counter[str]:
        total: Counter[str] = Counter()
        factor = 1
        for part in parts:
            if isinstance(part, int):
                factor = part
                continue
            total += Counter({symbol: count * factor for symbol, count in part.items()})
            factor = 1
        return total

    def part(self, units: list[Counter[str]]) -> Counter[str]:
        return sum(units, Counter())

    @v_args(inline=True)
    def unit(self, symbol: Token, count: Token | str = "1") -> Counter[str]:
        return Counter({str(symbol): int(count)})

    @v_args(inline=True)
    def group(self, part: Counter[str], count: Token | str = "1") -> Counter[str]:
        return Counter({symbol: number * int(count) for symbol, number in part.items()})

    @v_args(inline=True)
    def lead(self, count: Token) -> int:
        return int(count)


@cache
def _parser() -> Lark:
    return Lark(GRAMMAR.read_text(encoding="utf-8"), start="body", parser="lalr", transformer=_Count())


@lru_cache(maxsize=4096)
def atoms_in(body: str) -> Atoms | None:
    """The atoms of a body in plain notation, sorted by symbol; None where it is none.

    >>> atoms_in("CuSO4*5H2O")
    (('Cu', 1), ('H', 10), ('O', 9), ('S', 1))
    """
    if len(body) > LONGEST or not all(symbol in SYMBOLS for symbol in symbols_in(body)):
        return None
    try:
        total = _parser().parse(body)
    except UnexpectedInput:
        return None
    return tuple(sorted(total.items()))  # type: ignore[attr-defined]


@lru_cache(maxsize=4096)
def is_well_built(body: str) -> bool:
    """True where the body would be one if its letters were elements, its digits counts or its 0 an O."""
    for text in (body, body.replace("0", "O")):
        try:
            _parser().parse(_COUNTS.sub("2", LETTERS.sub("H", text)))
        except UnexpectedInput:
            continue
        return True
    return False


def symbols_in(body: str) -> list[str]:
    """The symbols as a reader divides the letters; a lone small letter stands for itself."""
    return SYMBOL.findall(body)
