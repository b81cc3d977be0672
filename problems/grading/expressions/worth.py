"""What an expression comes to, and when two come to the same.

Equal are two expressions whose values agree at every point and, where both have a normal form, whose
powers of the symbols are the same with numbers that agree. Points are looked at one by one, so that
most wrong answers are known for wrong after the first.
"""

from collections.abc import Callable
from fractions import Fraction
from functools import cached_property

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


class Worth:
    """An expression with its values at the points and its normal form, each found when first needed.

    Raises NoValueError, when built or later, where there is no value.
    """

    def __init__(self, node: Node, symbols: tuple[str, ...], at: tuple[Point, ...]) -> None:
        if count_roots(node) > MOST_ROOTS:
            raise NoValueError(_("These are too many roots and powers."))
        self.node, self.symbols, self.at = node, symbols, at
        self._values: list[Value] = [evaluate(node, at[0])]

    @cached_property
    def form(self) -> Ratio | None:
        return normal_form(self.node, self.symbols)

    def value(self, number: int) -> Value:
        """The value at the point of this number."""
        while len(self._values) <= number:
            self._values.append(evaluate(self.node, self.at[len(self._values)]))
        return self._values[number]

    @property
    def is_zero(self) -> bool:
        return not any(self.value(number) for number in range(len(self.at)))

    def equals(self, other: "Worth") -> bool:
        return self._is_times(other, EXACT.mpf(1))

    def is_negative_of(self, other: "Worth") -> bool:
        return self._is_times(other, EXACT.mpf(-1))

    def is_multiple_of(self, other: "Worth") -> bool:
        """True where the two differ by a number only."""
        if not self.value(0) or not other.value(0):
            return False
        return self._is_times(other, self.value(0) / other.value(0))

    def is_reciprocal_of(self, other: "Worth") -> bool:
        agree = self._agree(lambda number: self.value(number) * other.value(number), EXACT.mpf(1), other)
        if not agree or not self.form or not other.form:
            return agree
        turned = Ratio(self.form.below, self.form.above)
        return _numbers_agree(coefficients(turned, other.form), EXACT.mpf(1))

    def _is_times(self, other: "Worth", factor: Value) -> bool:
        """True where this is `factor` times the other, within the tolerance of numbers."""
        if not self.value(0) or not other.value(0):
            return self.is_zero and other.is_zero

        def ratio(number: int) -> Value:
            return self.value(number) / other.value(number) if other.value(number) else EXACT.inf

        agree = self._agree(ratio, factor, other)
        if not agree or not self.form or not other.form:
            return agree
        return _numbers_agree(coefficients(self.form, other.form), factor)

    def _agree(self, measure: Callable[[int], Value], wanted: Value, other: "Worth") -> bool:
        """True where the measure is what is wanted at every point, more loosely where forms decide."""
        slack = TOLERANCE + FAINT
        if any(abs(measure(number) / wanted - 1) > 2 * slack for number in range(len(self.at))):
            return False
        if self.form and other.form:
            return True
        return all(abs(measure(number) / wanted - 1) <= slack for number in range(len(self.at)))


def _numbers_agree(ratios: list[Fraction] | None, factor: Value) -> bool:
    """True where every number of the one is `factor` times that of the other."""
    return ratios is not None and all(abs(exact(ratio) / factor - 1) <= TOLERANCE + FAINT for ratio in ratios)
