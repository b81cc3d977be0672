"""`grade_expression`: a typed expression becomes a verdict."""

from collections.abc import Iterator
from dataclasses import dataclass

from problems.grading.codes import sentence
from problems.grading.expressions.grammar import Binding, parse
from problems.grading.expressions.key import ExpressionKey
from problems.grading.expressions.points import NoValueError
from problems.grading.expressions.tokens import Token, tokens
from problems.grading.expressions.tree import Node, shown
from problems.grading.expressions.worth import Worth, agrees_at_first, worth
from problems.grading.names import drop_name
from problems.grading.typed import Typed, UnreadableError, read_or_refuse
from problems.grading.verdict import Verdict
from problems.words import _

KIND = "expression"


@dataclass(frozen=True, slots=True)
class Reading:
    """One way to read the answer."""

    node: Node
    worth: Worth


def grade_expression(answer: str, key: ExpressionKey) -> Verdict:
    """Judge a typed expression.

    >>> key = ExpressionKey.from_case({"expected": "I*t/(2*F)", "symbols": ["I", "t", "F"]})
    >>> grade_expression("It/2F", key).verdict, grade_expression("It/F", key).codes
    ('correct', ('constant_factor',))
    """
    return read_or_refuse(answer, lambda typed: _judge(typed, key))


def _judge(typed: Typed, key: ExpressionKey) -> Verdict:
    readings = _readings(typed.text, key)
    for reading in readings:
        if reading.worth.equals(key.right):
            return Verdict("correct", (), shown(reading.node), _("Right."))
    _refuse_open_denominator(typed.text, readings[0], key)
    code = _code(readings[0].worth, key)
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


def _readings(text: str, key: ExpressionKey) -> list[Reading]:
    """The readings that the rules allow, the preferred first; more than one where a mark has two meanings."""
    start = drop_name(text, key.asked)
    found: list[Reading] = []
    for pieces, number in _cuts(text, start, key):
        node = parse(pieces, reading=number)
        if all(node != reading.node for reading in found):
            found.append(_reading(node, key, text))
    return found


def _cuts(text: str, start: int, key: ExpressionKey) -> Iterator[tuple[list[Token], int]]:
    """The text cut into tokens, with the number of the reading of its marks."""
    pieces = tokens(text, start, key.symbols)
    yield pieces, 0
    if any(len(token.values) > 1 for token in pieces):
        yield pieces, 1
    powers = (place for place, token in enumerate(pieces) if token.sort == "number" and "10" in token.text)
    if any(place and pieces[place - 1].sort == "/" for place in powers):
        yield tokens(text, start, key.symbols, whole_numbers=False), 0


def _reading(node: Node, key: ExpressionKey, text: str) -> Reading:
    try:
        return Reading(node, worth(node, key.names, key.points))
    except NoValueError as error:
        raise UnreadableError(str(error), 0, len(text)) from None


def _refuse_open_denominator(text: str, taken: Reading, key: ExpressionKey) -> None:
    """Ask for brackets where the answer is right only if a product after a slash is meant otherwise."""
    pieces = tokens(text, drop_name(text, key.asked), key.symbols)
    slash = next((token for token in pieces if token.sort == "/"), None)
    if slash is None:
        return
    for binding in (Binding.LEFT_TO_RIGHT, Binding.WHOLE_DENOMINATOR):
        node = parse(pieces, binding)
        if node != taken.node and _is_right(node, key):
            message = _("This can be read in two ways: put brackets round the denominator.")
            raise UnreadableError(message, slash.start, len(text))


def _is_right(node: Node, key: ExpressionKey) -> bool:
    try:
        if not agrees_at_first(node, key.right, key.points):
            return False
        return worth(node, key.names, key.points).equals(key.right)
    except NoValueError:
        return False
