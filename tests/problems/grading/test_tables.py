"""Every labelled answer of the kinds without chemistry gets its verdict and its first code.

Source of the labels: the grading rules, row by row; none was taken from what the grader said. The
files `*_sample.jsonl` came with those rules.
"""

import json
import re
from collections import Counter

import pytest

from problems.grading.case import grade
from problems.grading.codes import codes
from tests.problems.grading.cases import Row, rows, wanted

TABLES = {
    "quantity": "quantities",
    "expression": "expressions",
    "ratio": "ratios",
    "oxidation_number": "oxidation_numbers",
    "choice": "choices",
}
ALL = [row for name in TABLES.values() for row in rows(f"{name}*.jsonl")]
LEAST_PER_CODE = 6


@pytest.mark.parametrize("row", ALL, ids=lambda row: row["id"])
def test_a_labelled_answer_is_judged_as_labelled(row: Row) -> None:
    verdict = grade(row)
    first = verdict.codes[0] if verdict.codes else None
    assert verdict.verdict in wanted(row), (row["why"], verdict)
    assert row["want_code"] in ("*", first), (row["why"], verdict)


def test_ids_are_unique() -> None:
    counted = Counter(row["id"] for row in ALL)
    assert max(counted.values()) == 1, counted.most_common(3)


@pytest.mark.parametrize("kind", TABLES)
def test_each_code_has_six_rows_of_our_own(kind: str) -> None:
    counted = Counter(row["want_code"] for row in rows(f"{TABLES[kind]}.jsonl"))
    named = {code.code for code in codes(kind)}
    slips = sum(count for code, count in counted.items() if code not in named and code is not None)
    assert {code: counted[code] for code in named if counted[code] < LEAST_PER_CODE} == {}
    assert slips >= LEAST_PER_CODE


@pytest.mark.parametrize("kind", TABLES)
def test_no_two_rows_differ_in_numbers_only(kind: str) -> None:
    def masked(row: Row) -> str:
        bare = {name: value for name, value in row.items() if name not in ("id", "why")}
        return re.sub(r"[0-9]+", "0", json.dumps(bare, ensure_ascii=False))

    counted = Counter(masked(row) for row in rows(f"{TABLES[kind]}.jsonl"))
    assert [text for text, count in counted.items() if count > 1] == []


def test_the_right_answer_of_every_row_is_right() -> None:
    for row in ALL:
        verdict = grade({**row, "answer": row["expected"]})
        bare = row["kind"] == "quantity" and re.fullmatch(r"[-0-9.]+", row["expected"]) and row.get("unit")
        assert verdict.verdict == "correct" or bare, (row["id"], verdict)


def test_every_slip_of_every_row_is_known_as_itself_or_as_an_earlier_one() -> None:
    for row in ALL:
        for code, answer in row.get("slips", {}).items():
            verdict = grade({**row, "answer": answer})
            right = grade({**row, "answer": row["expected"], "slips": {}})
            if verdict.verdict == "correct":
                assert row["want_code"] is None, (row["id"], right)
            elif verdict.verdict != "unreadable":
                assert verdict.codes[0] in list(row["slips"])[: list(row["slips"]).index(code) + 1], row["id"]


@pytest.mark.parametrize("row", [row for row in ALL if row["kind"] != "choice"], ids=lambda row: row["id"])
def test_no_message_gives_the_key_away(row: Row) -> None:
    """The key's own digits or formula are not said, unless the student typed them."""
    verdict = grade(row)
    said = [
        part for part in re.split(r"[\s=]+", row["expected"]) if len(part) > 2 and part not in row["answer"]
    ]
    assert [part for part in said if part in verdict.message] == []
