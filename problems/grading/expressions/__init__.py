"""Expressions: algebra over the symbols a question gives, judged as algebra.

    tree.py      the values: numbers, symbols, sums, products, powers
    tokens.py    typed text cut into numbers, symbols and signs
    grammar.py   the grammar, and the ways in which an implied product can be meant
    points.py    exact evaluation at fixed positive points
    normal.py    a bounded normal form, as polynomials
    key.py       `ExpressionKey`, read once from a case
    grade.py     `grade_expression`

Nothing typed is ever evaluated as code, and no open-ended simplification is used.
"""

from problems.grading.expressions.grade import grade_expression
from problems.grading.expressions.key import ExpressionKey

__all__ = ["ExpressionKey", "grade_expression"]
