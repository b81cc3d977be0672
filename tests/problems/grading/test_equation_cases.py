"""Every labelled equation gets the verdict and the first code that its label says.

The labels were typed from the grading rules, not from what the program answers.
"""

from collections import Counter

import pytest

from problems.grading import codes
from problems.grading.equations import EquationKey, grade_equation
from tests.problems.grading.cases import Row, rows, wanted

ROWS = rows("equations_*.jsonl")
NOT_SHOWN = {"unreadable", "letter_case", "look_alike", "unknown_element"}


@pytest.mark.parametrize("row", ROWS, ids=[row["id"] for row in ROWS])
def test_verdict_and_first_code(row: Row) -> None:
    verdict = grade_equation(row["answer"], EquationKey.from_case(row))
    first = verdict.codes[0] if verdict.codes else None
    assert verdict.verdict in wanted(row), (row["why"], verdict)
    assert row["want_code"] in (first, "*"), (row["why"], verdict)


@pytest.mark.parametrize("row", ROWS, ids=[row["id"] for row in ROWS])
def test_message_reading_and_place(row: Row) -> None:
    verdict = grade_equation(row["answer"], EquationKey.from_case(row))
    assert verdict.message
    assert (verdict.reading is None) == (verdict.verdict == "unreadable")
    if verdict.codes and verdict.codes[0] in NOT_SHOWN - {"unreadable"}:
        assert verdict.position is not None
    if verdict.position is not None:
        assert verdict.length is not None
        assert 0 <= verdict.position <= verdict.position + verdict.length <= len(row["answer"])


def test_every_code_has_six_rows_and_more() -> None:
    found = Counter(row["want_code"] for row in ROWS)
    few = {code.code: found[code.code] for code in codes.codes("equation") if found[code.code] < 6}
    # More than one proportion needs two reactions in one equation, which few keys allow.
    assert few.keys() <= {"proportions"}, few


def test_every_role_and_option_has_rows() -> None:
    assert {row["role"] for row in ROWS} == {"half_reaction", "net_ionic", "overall"}
    assert {row.get("medium") for row in ROWS} == {None, "partly", "accepted"}
    assert {row.get("states") for row in ROWS} == {None, "required"}
    assert sum("other" in row for row in ROWS) >= 20


def test_no_row_stands_twice() -> None:
    def identity(row: Row) -> tuple[str, ...]:
        return tuple(
            str(row.get(name)) for name in ("role", "answer", "expected", "other", "medium", "states")
        )

    own = [identity(row) for row in ROWS]
    assert [row for row, count in Counter(own).items() if count > 1] == []


def test_a_key_is_right_beside_itself() -> None:
    for row in ROWS:
        verdict = grade_equation(row["expected"], EquationKey.from_case(row))
        assert verdict.verdict == "correct", (row["expected"], verdict)
