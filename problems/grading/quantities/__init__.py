"""Quantities: a number and a unit, judged against a key.

units.py      the closed table of units; text never reaches the unit library
tail.py       what may stand behind a number: a unit, a substance
key.py        `QuantityKey`, read once from a case
reading.py    a typed answer made into its possible readings
judging.py    one reading against the key: the codes in order
grade.py      `grade_quantity`
"""

from problems.grading.quantities.grade import grade_quantity
from problems.grading.quantities.key import QuantityKey

__all__ = ["QuantityKey", "grade_quantity"]
