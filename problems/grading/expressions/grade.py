"""`grade_expression`: a typed expression becomes a verdict."""

from collections.abc import Iterator

from problems.chemistry.reading.normal import Typed
from problems.grading.codes import sentence
from problems.grading.expressions.grammar import Binding, parse
from problems.grading.expressions.key import ExpressionKey
from problems.grading.expressions.points import NoValueError
from problems.grading.expressions.tokens import Token, tokens
from problems.grading.expressions.tree import Node, shown
from problems.grading.expressions.worth import Worth
from problems.grading.names import drop_name
from problems.grading.typed import UnreadableError, read_or_refuse
from problems.grading.verdict import Verdict
from problems.words import _

KIND = "expression"

Cut = tuple[list[Token], int]
"""Tokens, and which of the readings of its numbers is meant."""


def grade_expression(answer: str, key: ExpressionKey) -> Verdict:
    """Judge a typed expression.

    >>> key = ExpressionKey.from_case({"expected": "I*t/(2*F)", "symbols": ["I", "t", "F"]})
    >>> grade_expression("It/2F", key).verdict, grade_expression("It/F", key).codes
    ('correct', ('constant_factor',))
    """
    return read_or_refuse(answer, lambda typed: _judge(typed, key))


def _judge(typed: Typed, key: ExpressionKey) -> Verdict:
    start = drop_name(typed.text, key.asked)
    pieces = tokens(typed.text, start, key.symbols)
    try:
        return _judge_pieces(typed.text, start, pieces, key)
    except NoValueError as error:
        raise UnreadableError(str(error), start, len(typed.text)) from None


def _judge_pieces(text: str, start: int, pieces: list[Token], key: ExpressionKey) -> Verdict:
    readings = _readings(text, start, pieces, key)
    for reading in readings:
        if reading.equals(key.right):
            return Verdict("correct", (), shown(reading.node), _("Right."))
    _refuse_open_denominator(pieces, readings[0], key)
    code = _code(readings[0], key)
    return Verdict("wrong", (code,), shown(readings[0].node), sentence(KIND, code))


def _code(answer: Worth, key: ExpressionKey) -> str:
    slip = next((code for code, wrong in key.slips if answer.equals(wrong)), "")
    if slip:
        return slip
    if answer.is_negative_of(key.right):
        return "sign"
    if answer.is_reciprocal_of(key.right):
        return "inverted"
    return "constant_factor" if answer.is_multiple_of(key.right) else "off_value"


def _readings(text: str, start: int, pieces: list[Token], key: ExpressionKey) -> list[Worth]:
    """The readings that the rules allow, the preferred first; more than one where a mark has two meanings."""
    found: list[Worth] = []
    for cut, number in _cuts(text, start, pieces, key):
        node = parse(cut, reading=number)
        if all(node != reading.node for reading in found):
            found.append(Worth(node, key.names, key.points))
    return found


def _cuts(
    text: str, start: int, pieces: list[Token], key: ExpressionKey
) -> Iterator[tuple[list[Token], int]]:
    """The ways to cut the text into tokens and to read its marks, the preferred one first."""
    yield pieces, 0
    if any(len(token.values) > 1 for token in pieces):
        yield pieces, 1
    powers = (place for place, token in enumerate(pieces) if token.sort == "number" and "10" in token.text)
    if any(place and pieces[place - 1].sort == "/" for place in powers):
        yield tokens(text, start, key.symbols, whole_numbers=False), 0


def _refuse_open_denominator(pieces: list[Token], taken: Worth, key: ExpressionKey) -> None:
    """Ask for brackets where the answer is right only if a product after a slash is meant otherwise."""
    slash = next((token for token in pieces if token.sort == "/"), None)
    if slash is None:
        return
    for binding in set(Binding) - {Binding.TIGHT}:
        node = parse(pieces, binding)
        if node != taken.node and _is_right(node, key):
            message = _("This can be read in two ways: put brackets round the denominator.")
            raise UnreadableError(message, slash.start, pieces[-1].end)


def _is_right(node: Node, key: ExpressionKey) -> bool:
    try:
        return Worth(node, key.names, key.points).equals(key.right)
    except NoValueError:
        return False
