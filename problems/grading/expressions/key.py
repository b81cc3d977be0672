"""`ExpressionKey`: everything an expression is judged against, read once from a case."""

from dataclasses import dataclass

from problems.grading import fields
from problems.grading.expressions.grammar import parse
from problems.grading.expressions.points import NoValueError, Point, points
from problems.grading.expressions.tokens import Symbols, tokens
from problems.grading.expressions.tree import Node
from problems.grading.expressions.worth import Worth
from problems.grading.names import split_name
from problems.grading.typed import UnreadableError, clean
from problems.words import _

_INDICES = str.maketrans("0123456789", "₀₁₂₃₄₅₆₇₈₉")


@dataclass(frozen=True, slots=True)
class ExpressionKey:
    """The right expression, the symbols that may be used, and wrong expressions of known mistakes."""

    right: Worth
    symbols: Symbols
    names: tuple[str, ...]
    asked: str = ""
    slips: tuple[tuple[str, Worth], ...] = ()

    @classmethod
    def from_case(cls, case: fields.Case) -> "ExpressionKey":
        symbols = _symbols(fields.texts(case, "symbols"))
        names = tuple(symbols.allowed)
        at = points(names)
        expected = clean(fields.text(case, "expected")).text
        name, start = split_name(expected)
        right = _worth(expected, start, symbols, at, "expected")
        slips = []
        for code, text in fields.text_slips(case).items():
            bare = clean(text).text
            slips.append((code, _worth(bare, split_name(bare).start, symbols, at, f"slips.{code}")))
        asked = fields.optional_text(case, "asked", name).strip()
        return cls(right, symbols, names, asked, tuple(slips))

    @property
    def points(self) -> tuple[Point, ...]:
        return points(self.names)


def _worth(text: str, start: int, symbols: Symbols, at: tuple[Point, ...], field: str) -> Worth:
    """What an expression of the case comes to; raises CaseError where it does not read."""
    try:
        node: Node = parse(tokens(text, start, symbols))
        return Worth(node, tuple(symbols.allowed), at)
    except (UnreadableError, NoValueError) as error:
        message = _("The field “{field}” does not read as an expression: {reason}")
        raise fields.CaseError(message.format(field=field, reason=error)) from None


def _symbols(names: tuple[str, ...]) -> Symbols:
    """The allowed symbols, each with the ways to write its index."""
    spellings: dict[str, str] = {}
    for name in names:
        cleaned = clean(name).text
        if not cleaned or not cleaned[0].isalpha():
            raise fields.CaseError(_("“{symbol}” cannot be a symbol.").format(symbol=name))
        spellings[cleaned] = cleaned
    for cleaned in list(spellings):
        base, mark, index = cleaned.partition("_")
        index = index.strip("{}")
        for spelling in _spellings(base, index) if mark and index else ():
            spellings.setdefault(spelling, cleaned)
    return Symbols(spellings)


def _spellings(base: str, index: str) -> tuple[str, ...]:
    written = (f"{base}_{index}", f"{base}_{{{index}}}", f"{base}{index.translate(_INDICES)}")
    return (*written, base + index)
