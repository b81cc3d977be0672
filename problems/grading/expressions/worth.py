"""What an expression comes to, and when two come to the same.

Equal are two expressions whose values agree at every point and, where both have a normal form, whose
powers of the symbols are the same with numbers that agree.
"""

from dataclasses import dataclass

from problems.grading.expressions.normal import Ratio, coefficients, normal_form
from problems.grading.expressions.points import (
    EXACT,
    MOST_ROOTS,
    NoValueError,
    Point,
    Value,
    count_roots,
    evaluate,
    exact,
)
from problems.grading.expressions.tree import Node
from problems.words import _

TOLERANCE = 0.005
"""Two numbers are the same within this [relative]."""
FAINT = 1e-9


@dataclass(frozen=True, slots=True)
class Worth:
    """The values at the points, and the normal form where there is one."""

    values: tuple[Value, ...]
    form: Ratio | None

    @property
    def is_zero(self) -> bool:
        return not any(self.values)

    def equals(self, other: "Worth") -> bool:
        return _alike(self, other, EXACT.mpf(1))

    def is_negative_of(self, other: "Worth") -> bool:
        return _alike(self, other, EXACT.mpf(-1))

    def is_multiple_of(self, other: "Worth") -> bool:
        """True where the two differ by a number only."""
        if self.is_zero or not all(self.values) or not all(other.values):
            return False
        return _alike(self, other, self.values[0] / other.values[0])

    def is_reciprocal_of(self, other: "Worth") -> bool:
        if not all(self.values):
            return False
        form = Ratio(self.form.below, self.form.above) if self.form and self.form.above else None
        return Worth(tuple(1 / value for value in self.values), form).equals(other)


def worth(node: Node, symbols: tuple[str, ...], at: tuple[Point, ...]) -> Worth:
    """Evaluate an expression; raises NoValueError where it has no value."""
    if count_roots(node) > MOST_ROOTS:
        raise NoValueError(_("These are too many roots and powers."))
    return Worth(tuple(evaluate(node, point) for point in at), normal_form(node, symbols))


def agrees_at_first(node: Node, key: Worth, at: tuple[Point, ...]) -> bool:
    """A quick look at one point: False where the expression cannot equal the key."""
    value = evaluate(node, at[0])
    return bool(abs(value - key.values[0]) <= 2 * TOLERANCE * abs(key.values[0]))


def _alike(answer: Worth, key: Worth, factor: Value) -> bool:
    """True where the answer is `factor` times the key, within the tolerance of numbers."""
    if answer.is_zero or key.is_zero:
        return answer.is_zero and key.is_zero
    ratios = coefficients(answer.form, key.form) if answer.form and key.form else None
    if answer.form and key.form and ratios is None:
        return False
    slack = TOLERANCE * (2 if ratios else 1) + FAINT
    for mine, theirs in zip(answer.values, key.values, strict=True):
        if abs(mine - factor * theirs) > slack * abs(factor * theirs):
            return False
    return all(abs(exact(ratio) / factor - 1) <= TOLERANCE + FAINT for ratio in ratios or ())
