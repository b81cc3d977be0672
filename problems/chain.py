"""Follow-through: a later part of a question is judged on the student's own earlier results.

A dependent part keeps how its key follows from earlier ones, as text over `part0`, `part1`, ...: sums,
products and quotients of the numbers (each in the unit its part asked for), and

    overall(part1, part2)    the sum of a cathode's and an anode's half-reaction
    factors(part1, part2)    how often each of them is taken, as a ratio
    share(part1)             units of the product for one electron in a half-reaction

The text comes from a stored question. It is parsed and walked here, never evaluated by the language.
Where an earlier result cannot be carried (unreadable, of another kind or dimension, an equation that does
not balance), the key of that part stands in. Right from the carried results or from the true ones both count.
"""

import ast
import operator
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from math import isfinite
from typing import Any

from problems.chemistry.equation import Equation
from problems.chemistry.equation import overall as added
from problems.chemistry.formula import HYDROGEN_ION, HYDRONIUM, HYDROXIDE, WATER
from problems.chemistry.notation import as_unicode
from problems.chemistry.reading import ReadEquation, ReadingError
from problems.errors import ProblemError
from problems.generators.build import KEY_FIGURES, written
from problems.grading.case import grade, prepare
from problems.grading.equations import EquationKey
from problems.grading.quantities import QuantityKey
from problems.grading.quantities.reading import readings
from problems.grading.typed import UnreadableError, clean
from problems.grading.verdict import Verdict
from problems.question import Grading, Part
from problems.words import _, number

Result = float | Equation | Fraction
"""A number in the unit that was asked for, an equation, or a ratio."""
FORMS = frozenset({HYDROGEN_ION, HYDRONIUM, HYDROXIDE, WATER})


class ChainError(ProblemError):
    """A formula of a dependent part that cannot be worked out."""

    def __init__(self, formula: str) -> None:
        self.formula = formula
        super().__init__(_("“{formula}” cannot be worked out from these results.").format(formula=formula))


@dataclass(frozen=True, slots=True)
class Carried:
    """An earlier result that a part is judged on, and whether it is the student's own."""

    part: int
    shown: str
    own: bool


@dataclass(frozen=True, slots=True)
class Judged:
    """The verdict on a part, and what was carried into it; empty for an independent part."""

    verdict: Verdict
    carried: tuple[Carried, ...] = ()


def judge(parts: Sequence[Part], index: int, answer: Any, earlier: Mapping[int, str]) -> Judged:
    """The verdict on `answer` to part `index`; `earlier` holds the student's last answers by part.

    Raises CaseError where the answer is of the wrong type.
    """
    part = parts[index]
    true = grade({**part.grading, "answer": answer})
    if not part.carries:
        return Judged(true)
    carried, own = _on_own_results(parts, index, earlier)
    if own is None or true.verdict == "correct":
        return Judged(true, carried)
    followed = grade({**own, "answer": answer})
    better = followed.score is not None and (true.score is None or followed.score >= true.score)
    return Judged(followed if better else true, carried)


def carried(parts: Sequence[Part], index: int, earlier: Mapping[int, str]) -> tuple[Carried, ...]:
    """What is carried into a part, before anything is answered to it; empty for an independent part."""
    return _on_own_results(parts, index, earlier)[0] if parts[index].carries else ()


def carried_grading(parts: Sequence[Part], index: int, earlier: Mapping[int, str]) -> Grading:
    """The grading of a part with its key worked out from the student's own results where there are any."""
    own = _on_own_results(parts, index, earlier)[1]
    return parts[index].grading if own is None else own


def _on_own_results(
    parts: Sequence[Part], index: int, earlier: Mapping[int, str]
) -> tuple[tuple[Carried, ...], Grading | None]:
    """What is carried, and the grading that follows; none where nothing of it is the student's own."""
    part = parts[index]
    results: dict[str, Result] = {}
    carried = []
    for place in part.carries:
        own = result_of(parts[place], earlier[place]) if place in earlier else None
        value = _key_of(parts[place]) if own is None else own
        results[f"part{place}"] = value
        carried.append(Carried(place, _shown(value, parts[place]), own is not None))
    if not any(each.own for each in carried):
        return tuple(carried), None
    try:
        grading = _graded(part.grading, work_out(part.formula, results))
        prepare(grading)
    except ProblemError:
        return _keys_only(parts, part), None
    return tuple(carried), grading


def _keys_only(parts: Sequence[Part], part: Part) -> tuple[Carried, ...]:
    return tuple(Carried(place, _shown(_key_of(parts[place]), parts[place]), False) for place in part.carries)


def _graded(grading: Grading, value: Result) -> Grading:
    """The grading with another key; slips, which belong to the true key, are left out."""
    own = {name: field for name, field in grading.items() if name != "slips"}
    own["expected"] = _text(value, grading)
    return own


def _text(value: Result, grading: Grading) -> str:
    if isinstance(value, Fraction):
        return f"{value.numerator}:{value.denominator}"
    return str(value) if isinstance(value, Equation) else written(value, grading.get("unit", ""))


def _shown(value: Result, part: Part) -> str:
    if isinstance(value, float):
        return f"{number(value, KEY_FIGURES)} {part.grading.get('unit', '')}".strip()
    return as_unicode(value) if isinstance(value, Equation) else _text(value, part.grading)


def result_of(part: Part, typed: str) -> Result | None:
    """A typed answer as a number in the asked unit or an equation; None where it cannot be carried."""
    reader = _READERS.get(part.grading["kind"])
    return reader(part.grading, typed) if reader else None


def _key_of(part: Part) -> Result:
    value = result_of(part, part.grading["expected"])
    if value is None:
        raise ChainError(part.grading["expected"])
    return value


def _number(grading: Grading, typed: str) -> float | None:
    key = QuantityKey.from_case(grading)
    try:
        found = readings(clean(typed).text, key)
    except UnreadableError:
        return None
    fitting = [each.value for each in found if each.value.dimension == key.right.dimension]
    if not fitting:
        return None
    value = fitting[0].amount_in(key.unit)
    return value if isfinite(value) and value > 0 else None


def _equation(grading: Grading, typed: str) -> Equation | None:
    """A typed equation, where it balances: only such a one can be added to another or serve as a key."""
    try:
        return _balanced(typed, EquationKey.from_case(grading))
    except ProblemError:
        return None


@lru_cache(maxsize=512)
def _balanced(typed: str, key: EquationKey) -> Equation | None:
    try:
        equation = _plain(key.read(typed))
    except ReadingError:
        return None
    return equation if equation.is_balanced else None


def _plain(read: ReadEquation) -> Equation:
    sides = []
    for side in read.sides:
        total: dict[Any, Fraction] = {}
        for term in side:
            known = total.get(term.species)
            total[term.species] = term.coefficient if known is None else known + term.coefficient
        sides.append(total)
    return Equation.of(sides[0], sides[1]).cancelled()


_READERS: Mapping[str, Callable[[Grading, str], Result | None]] = {
    "quantity": _number,
    "equation": _equation,
}


def work_out(formula: str, results: Mapping[str, Result]) -> Result:
    """The value of a part's formula over earlier results.

    >>> work_out("part0 * 2 / (1 + 3)", {"part0": 5.0})
    2.5

    Raises ChainError for anything but the forms that the head of this module lists.
    """
    try:
        return _walk(_parsed(formula), results)
    except (LookupError, SyntaxError, TypeError, AttributeError, ArithmeticError, ValueError) as error:
        raise ChainError(formula) from error


@lru_cache(maxsize=256)
def _parsed(formula: str) -> ast.expr:
    return ast.parse(formula, mode="eval").body


def _walk(node: ast.expr, results: Mapping[str, Result]) -> Result:
    match node:
        case ast.Constant(value=int() | float() as value):
            return float(value)
        case ast.Name(id=name):
            return results[name]
        case ast.BinOp(left=left, op=sign, right=right):
            return float(_SIGNS[type(sign)](_walk(left, results), _walk(right, results)))
        case ast.Call(func=ast.Name(id=name), args=arguments, keywords=[]):
            return _FUNCTIONS[name](*(_walk(each, results) for each in arguments))
    raise TypeError(ast.dump(node))


def _overall(cathode: Equation, anode: Equation) -> Equation:
    return added(cathode, anode)


def _factors(cathode: Equation, anode: Equation) -> Fraction:
    """How often the cathode's half-reaction is taken for each of the anode's."""
    return -anode.electrons / cathode.electrons


def _share(half: Equation) -> float:
    """Units of the first product that is no ion of water, for one electron."""
    made = (count for species, count in half.right if species not in FORMS and not species.is_electron)
    product = next(made, Fraction())
    return float(product / abs(half.electrons))


_SIGNS: Mapping[type[ast.operator], Callable[[Any, Any], Any]] = {
    ast.Add: operator.add,
    ast.Sub: operator.sub,
    ast.Mult: operator.mul,
    ast.Div: operator.truediv,
}
_FUNCTIONS: Mapping[str, Callable[..., Result]] = {
    "overall": _overall,
    "factors": _factors,
    "share": _share,
}
