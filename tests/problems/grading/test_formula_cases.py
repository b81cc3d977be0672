"""Every labelled formula gets the verdict and the first code that its label says."""

from collections import Counter

import pytest

from problems.grading import codes
from problems.grading.formulas import FormulaKey, grade_formula
from tests.problems.grading.cases import Row, rows, wanted

ROWS = rows("formulas*.jsonl")


@pytest.mark.parametrize("row", ROWS, ids=[row["id"] for row in ROWS])
def test_verdict_and_first_code(row: Row) -> None:
    verdict = grade_formula(row["answer"], FormulaKey.from_case(row))
    first = verdict.codes[0] if verdict.codes else None
    assert verdict.verdict in wanted(row), (row["why"], verdict)
    assert row["want_code"] in (first, "*"), (row["why"], verdict)
    assert verdict.message
    assert (verdict.reading is None) == (verdict.verdict == "unreadable")


def test_every_code_has_six_rows_and_more() -> None:
    found = Counter(row["want_code"] for row in ROWS)
    few = {code.code: found[code.code] for code in codes.codes("formula") if found[code.code] < 6}
    # There is one hydronium ion: two ways to ask for it, and few ways to answer.
    assert few.keys() <= {"hydronium_form", "unknown_element"}, few


def test_a_key_is_right_beside_itself() -> None:
    for row in ROWS:
        verdict = grade_formula(row["expected"], FormulaKey.from_case(row))
        assert (verdict.verdict, verdict.codes) == ("correct", ()), row["expected"]
