"""The door to the grader: one case, one key for many answers, and a stream of lines.

Source: the grading rules, Input and Output.
"""

import json
import re
from collections.abc import Iterator
from io import BytesIO
from itertools import islice
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from problems.grading.case import LONGEST_LINE, CaseError, grade, grade_lines, lines_of, prepare

OUTPUT = ["id", "verdict", "score", "codes", "reading", "message", "position", "length"]
QUANTITY: dict[str, Any] = {"id": "q", "kind": "quantity", "answer": "3 g", "expected": "3 g"}
CASES: dict[str, dict[str, Any]] = {
    "quantity": QUANTITY,
    "equation": {"id": "e", "kind": "equation", "answer": "Zn -> Zn2+ + 2e-", "expected": "Zn -> Zn2+ + 2e-",
                 "role": "half_reaction"},
    "formula": {"id": "f", "kind": "formula", "answer": "ZnO", "expected": "ZnO"},
    "expression": {"id": "x", "kind": "expression", "answer": "a", "expected": "a", "symbols": ["a", "b"]},
    "ratio": {"id": "r", "kind": "ratio", "answer": "2:1", "expected": "2:1"},
    "oxidation_number": {"id": "o", "kind": "oxidation_number", "answer": "+2", "expected": "+2"},
    "choice": {"id": "c", "kind": "choice", "answer": ["a"], "expected": ["a"]},
}  # fmt: skip


def line(**changed: Any) -> bytes:
    return json.dumps(QUANTITY | changed).encode()


def only(*lines: bytes) -> dict[str, Any]:
    """The one output of the last line."""
    return list(grade_lines(lines))[-1]


@pytest.mark.parametrize("kind", CASES)
def test_every_kind_has_a_right_answer(kind: str) -> None:
    assert grade(CASES[kind]).verdict == "correct"


@pytest.mark.parametrize("kind", CASES)
def test_the_output_has_the_fields_of_the_rules(kind: str) -> None:
    result = only(json.dumps(CASES[kind]).encode())
    assert list(result) == OUTPUT
    assert (result["id"], result["verdict"], result["score"]) == (CASES[kind]["id"], "correct", 1)


@pytest.mark.parametrize(
    ("answer", "verdict", "score"),
    [("3 g", "correct", 1), ("3", "partly", 0.5), ("4 g", "wrong", 0), ("three", "unreadable", None)],
)
def test_the_score_goes_with_the_verdict(answer: str, verdict: str, score: float | None) -> None:
    result = only(line(answer=answer))
    assert (result["verdict"], result["score"]) == (verdict, score)


def test_one_key_judges_many_answers() -> None:
    key = prepare(QUANTITY)
    assert [key.grade(answer).verdict for answer in ("3 g", "3000 mg", "5 g")] == [
        "correct",
        "correct",
        "wrong",
    ]


@pytest.mark.parametrize("kind", CASES)
@pytest.mark.parametrize("name", ["answer", "expected", "kind"])
def test_a_missing_field_is_named(kind: str, name: str) -> None:
    case = {key: value for key, value in CASES[kind].items() if key != name}
    with pytest.raises(CaseError, match=f"“{name}” is missing"):
        grade(case)


@pytest.mark.parametrize(
    ("kind", "changed", "says"),
    [
        ("quantity", {"answer": 3}, "“answer” must be a text"),
        ("quantity", {"answer": None}, "“answer” must be a text"),
        ("quantity", {"answer": ["3 g"]}, "“answer” must be a text"),
        ("quantity", {"expected": 3}, "“expected” must be a text"),
        ("quantity", {"kind": "number"}, "“kind” is “number”"),
        ("quantity", {"kind": 1}, "“kind” must be a text"),
        ("quantity", {"tolerance": "0.1"}, "“tolerance” must be a number"),
        ("quantity", {"tolerance": -0.1}, "“tolerance” must be a number"),
        ("quantity", {"tolerance": True}, "“tolerance” must be a number"),
        ("quantity", {"figures": 2.5}, "“figures” must be a whole number"),
        ("quantity", {"figures": 0}, "“figures” must be a whole number"),
        ("quantity", {"figures": True}, "“figures” must be a whole number"),
        ("quantity", {"unit": 5}, "“unit” must be a text"),
        ("quantity", {"unit": "blorps"}, "“unit” is no known unit"),
        ("quantity", {"unit": "mL"}, "measures something else"),
        ("quantity", {"asked": 1}, "“asked” must be a text"),
        ("quantity", {"slips": ["6 g"]}, "“slips” must be"),
        ("quantity", {"slips": {"two": 6}}, "“slips” must be"),
        ("quantity", {"slips": {"two": "6 blorps"}}, "“slips.two” does not read"),
        ("quantity", {"expected": ""}, "“expected” does not read"),
        ("quantity", {"expected": "3 blorps"}, "“expected” does not read"),
        ("quantity", {"expected": "3-4 g"}, "“expected” does not read"),
        ("equation", {"role": "anode"}, "“role” is “anode”"),
        ("equation", {"expected": "Zn -> Zn2+ + e-"}, "does not balance"),
        ("equation", {"expected": "Zn"}, "does not read"),
        ("equation", {"other": "Zn ->"}, "does not read"),
        ("equation", {"medium": "either"}, "“medium” is “either”"),
        ("equation", {"states": "some"}, "“states” is “some”"),
        ("formula", {"expected": "Qq"}, "does not read"),
        ("expression", {"symbols": "ab"}, "“symbols” must be a list"),
        ("expression", {"symbols": ["a", 1]}, "“symbols” must be a list"),
        ("expression", {"symbols": ["a", ""]}, "cannot be a symbol"),
        ("expression", {"symbols": ["b"]}, "“expected” does not read"),
        ("expression", {"expected": "a/"}, "“expected” does not read"),
        ("expression", {"expected": "a/0"}, "“expected” does not read"),
        ("expression", {"slips": {"wrong": "a/c"}}, "“slips.wrong” does not read"),
        ("ratio", {"expected": "2:"}, "“expected” does not read"),
        ("ratio", {"expected": "0:1"}, "“expected” does not read"),
        ("ratio", {"slips": {"wrong": "x"}}, "“slips.wrong” does not read"),
        ("oxidation_number", {"expected": "+12"}, "“expected” does not read"),
        ("choice", {"answer": "a"}, "“answer” must be a list"),
        ("choice", {"answer": [1]}, "“answer” must be a list"),
        ("choice", {"expected": []}, "no right option"),
        ("choice", {"expected": "a"}, "“expected” must be a list"),
        ("choice", {"slips": {"b": "b"}}, "“b” must be a list"),
    ],
)
def test_what_cannot_be_graded_is_said_in_one_sentence(kind: str, changed: dict[str, Any], says: str) -> None:
    with pytest.raises(CaseError, match=says) as caught:
        grade(CASES[kind] | changed)
    assert "\n" not in str(caught.value)
    assert str(caught.value).endswith(".")


@pytest.mark.parametrize("kind", ["expression", "equation"])
def test_fields_of_one_kind_only_are_required_there(kind: str) -> None:
    needed = {"expression": "symbols", "equation": "role"}[kind]
    case = {key: value for key, value in CASES[kind].items() if key != needed}
    with pytest.raises(CaseError, match=f"“{needed}” is missing"):
        grade(case)


def test_fields_of_other_kinds_do_not_matter() -> None:
    assert grade(CASES["ratio"] | {"figures": "many", "symbols": 5, "role": "none"}).verdict == "correct"


@pytest.mark.parametrize(
    ("raw", "says"),
    [
        (b"\n", "empty"),
        (b"", "empty"),
        (b" \t\r\n", "empty"),
        (b"{", "not valid JSON"),
        (b"{'id': 'a'}", "not valid JSON"),
        (b'{"id": "a", "tolerance": NaN}', "not valid JSON"),
        (b"[" * 100_000, "not valid JSON"),
        (b'{"id": "a", "figures": ' + b"9" * 5000 + b"}", "cannot be read"),
        (b"[1, 2]", "not a JSON object"),
        (b"3", "not a JSON object"),
        (b"null", "not a JSON object"),
        (b'{"id": "\xff"}', "not valid UTF-8"),
        (b"\xff\xfe{\x00}\x00", "not valid UTF-8"),
        (b'{"id": "a"}', "“kind” is missing|“answer” is missing"),
    ],
)
def test_a_bad_line_costs_only_itself(raw: bytes, says: str) -> None:
    first, bad, last = grade_lines([line(id="1"), raw, line(id="3")])
    assert (first["verdict"], last["verdict"]) == ("correct", "correct")
    assert set(bad) == {"id", "error"}
    assert re.search(says, bad["error"])


def test_the_id_of_a_line_with_an_error_is_handed_back_where_it_is_known() -> None:
    assert only(line(expected=3))["id"] == "q"
    assert only(line(id=7)) == {"id": None, "error": "The field “id” must be a text."}
    without = json.dumps({key: value for key, value in QUANTITY.items() if key != "id"}).encode()
    assert only(without) == {"id": None, "error": "The field “id” is missing."}


@pytest.mark.parametrize("identity", ["", "é", "\ud800", "a\nb", "id" * 5000])
def test_any_text_is_an_id(identity: str) -> None:
    assert only(line(id=identity))["id"] == identity


def test_a_byte_order_mark_and_windows_line_ends_cost_nothing() -> None:
    results = list(grade_lines([b"\xef\xbb\xbf" + line() + b"\r\n", line() + b"\r\n"]))
    assert [result["verdict"] for result in results] == ["correct", "correct"]


def test_lines_are_judged_as_they_come() -> None:
    """Constant memory: an endless stream gives its first results, and no line is read ahead."""
    read = 0

    def endless() -> Iterator[bytes]:
        nonlocal read
        while True:
            read += 1
            yield line(id=str(read))

    assert [result["id"] for result in islice(grade_lines(endless()), 3)] == ["1", "2", "3"]
    assert read == 3


def test_a_line_without_end_cannot_fill_the_memory() -> None:
    """Of a line that is too long the rest is passed over, and the next one is graded."""
    stream = BytesIO(line(answer="x" * 3_000_000) + b"\n" + line() + b"\n" + b" " * 2_000_001)
    taken = list(lines_of(stream))
    assert max(len(one) for one in taken) <= LONGEST_LINE + 1
    long, right, last = grade_lines(taken)
    assert (long["error"], last["error"]) == (f"The line is longer than {LONGEST_LINE} bytes.",) * 2
    assert right["verdict"] == "correct"


@pytest.mark.parametrize("size", [LONGEST_LINE - 1, LONGEST_LINE, LONGEST_LINE + 1])
def test_the_limit_of_a_line_with_and_without_its_end(size: int) -> None:
    for end in (b"", b"\n"):
        full = line() + b" " * (size - len(line()) - len(end)) + end
        results = list(grade_lines(lines_of(BytesIO(full + (line() if end else b"")))))
        assert ["error" in result for result in results] == [size > LONGEST_LINE, *([False] if end else [])]


@given(st.lists(st.one_of(st.binary(max_size=60), st.builds(lambda text: line(answer=text), st.text()))))
def test_one_line_out_for_each_line_in(lines: list[bytes]) -> None:
    results = list(grade_lines(lines))
    assert len(results) == len(lines)
    for result in results:
        assert list(result) in (OUTPUT, ["id", "error"])
        json.dumps(result).encode("ascii")


@given(st.text(max_size=520), st.sampled_from(sorted(CASES)))
def test_no_text_raises(text: str, kind: str) -> None:
    answer = [text] if kind == "choice" else text
    verdict = grade(CASES[kind] | {"answer": answer})
    assert (verdict.verdict == "unreadable") == (verdict.reading is None)
    assert verdict.message.strip()
    if verdict.position is not None:
        assert 0 <= verdict.position <= verdict.position + (verdict.length or 0) <= len(text)


DENSE = {
    "expression": "ab0123.,+-*/^()[]{}√²⁻½ ",
    "quantity": "0123456789.,eE+-x×·*10^⁻² mLgkMol/()½%°C",
    "ratio": "0123:/to.,½ -",
    "oxidation_number": "0123IVX+-/½.,() ⁺⁻",
}


@settings(max_examples=500)
@given(st.data(), st.sampled_from(sorted(DENSE)))
def test_no_text_of_the_right_characters_raises(data: st.DataObject, kind: str) -> None:
    """Nearly every such text gets past the first steps of its reader."""
    text = data.draw(st.text(alphabet=DENSE[kind], max_size=30))
    verdict = grade(CASES[kind] | {"answer": text})
    assert verdict.codes or verdict.verdict == "correct"


@pytest.mark.parametrize("kind", sorted(set(CASES) - {"choice"}))
def test_more_than_500_characters_are_not_read(kind: str) -> None:
    case = CASES[kind]
    padded = case["answer"] + " " * (500 - len(case["answer"]))
    assert grade(case | {"answer": padded}).verdict == "correct"
    verdict = grade(case | {"answer": padded + " "})
    assert verdict.codes == ("unreadable",)
    assert "500" in verdict.message
