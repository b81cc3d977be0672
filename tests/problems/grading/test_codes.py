"""The codes: their order and verdicts as in the grading rules, and entries that say what is true."""

import pytest

from problems.grading.case import grade
from problems.grading.codes import Code, codes, entry, ordered, sentence, worst
from problems.words import language

U, W, P, C = "unreadable", "wrong", "partly", "correct"

# Source: the tables of the grading rules, most important first.
RULES: dict[str, list[tuple[str, str]]] = {
    "equation": [
        ("unreadable", U), ("letter_case", U), ("look_alike", U), ("unknown_element", U),
        ("other_electrode", W), ("reversed", W), ("not_diatomic", W), ("wrong_ion_charge", W),
        ("changed_formula", W), ("missing_species", W), ("unexpected_species", W),
        ("electrons_missing", P), ("electrons_wrong_side", P), ("electrons_left_over", P), ("medium", P),
        ("spectator_ions", P), ("not_cancelled", P), ("atoms_unbalanced", P), ("charge_unbalanced", P),
        ("proportions", P), ("not_smallest_whole_numbers", P), ("state_symbol", P), ("hydronium_form", C),
    ],
    "formula": [
        ("unreadable", U), ("letter_case", U), ("look_alike", U), ("unknown_element", U),
        ("not_diatomic", W), ("wrong_ion_charge", W), ("changed_formula", W), ("unexpected_species", W),
        ("extra_coefficient", P), ("hydronium_form", C),
    ],
    "quantity": [
        ("unreadable", U), ("wrong_dimension", W), ("power_of_ten", W), ("sign", W), ("off_value", W),
        ("unit_missing", P), ("rounding", P), ("figures", C),
    ],
    "expression": [
        ("unreadable", U), ("unknown_symbol", U), ("sign", W), ("inverted", W), ("constant_factor", W),
        ("off_value", W),
    ],
    "ratio": [("unreadable", U), ("inverted", W), ("off_value", W)],
    "oxidation_number": [("unreadable", U), ("sign", W), ("off_value", W)],
    "choice": [("unreadable", U), ("off_choice", W), ("incomplete", P)],
}  # fmt: skip
ALL = [code for kind in RULES for code in codes(kind)]


@pytest.mark.parametrize("kind", RULES)
def test_codes_and_verdicts_stand_in_the_order_of_the_rules(kind: str) -> None:
    assert [(code.code, code.verdict) for code in codes(kind)] == RULES[kind]


def _case(code: Code) -> dict[str, object]:
    """The grading case of an entry's example."""
    role = "half_reaction" if "e-" in code.right else "overall"
    case: dict[str, object] = {"kind": code.kind, "answer": code.example, "expected": code.right}
    if code.kind == "equation":
        case["role"] = role
    if code.kind == "choice":
        case |= {
            "answer": code.example.split(", ") if code.example else [],
            "expected": code.right.split(", "),
        }
    return case | dict(code.case)


@pytest.mark.parametrize("code", ALL, ids=lambda code: f"{code.kind}-{code.code}")
def test_the_example_of_an_entry_gets_its_code(code: Code) -> None:
    verdict = grade(_case(code))
    assert code.code in verdict.codes
    assert verdict.verdict == code.verdict


@pytest.mark.parametrize("code", ALL, ids=lambda code: f"{code.kind}-{code.code}")
def test_the_right_answer_of_an_entry_is_right(code: Code) -> None:
    case = _case(code)
    assert grade({**case, "answer": case["expected"]}).verdict == "correct"


@pytest.mark.parametrize("code", ALL, ids=lambda code: f"{code.kind}-{code.code}")
def test_an_entry_is_a_sentence_under_a_heading(code: Code) -> None:
    assert code.sentence.endswith(".")
    assert code.sentence[0].isupper()
    assert not code.heading.endswith(".")


def test_an_unknown_verdict_or_an_empty_entry_is_refused() -> None:
    with pytest.raises(ValueError, match="is none"):
        Code("ratio", "x", "nearly", "Title", "Means.", "1:2", "2:1")  # type: ignore[arg-type]
    with pytest.raises(ValueError, match="not complete"):
        Code("ratio", "x", "wrong", "", "Means.", "1:2", "2:1")


def test_the_worst_code_decides_and_a_slip_is_wrong() -> None:
    assert worst("quantity", []) == "correct"
    assert worst("quantity", ["figures"]) == "correct"
    assert worst("quantity", ["figures", "rounding"]) == "partly"
    assert worst("quantity", ["unit_missing", "forgot_to_halve"]) == "wrong"
    assert worst("equation", ["hydronium_form", "medium"]) == "partly"


def test_codes_are_put_in_order_once_each_slips_before_other_wrong_ones() -> None:
    found = ["figures", "unit_missing", "sign", "some_slip", "figures"]
    assert ordered("quantity", found) == ("some_slip", "sign", "unit_missing", "figures")


@pytest.mark.parametrize("kind", RULES)
def test_a_slip_stands_between_what_is_unreadable_and_what_is_wrong(kind: str) -> None:
    names = [code for code, _verdict in RULES[kind]]
    unreadable = [code for code, verdict in RULES[kind] if verdict == U]
    assert ordered(kind, [*reversed(names), "some_slip"]) == (
        *unreadable,
        "some_slip",
        *names[len(unreadable) :],
    )


def test_a_slip_has_no_entry_but_a_sentence_that_names_it() -> None:
    assert entry("quantity", "forgot_to_halve_twice") is None
    assert "forgot to halve twice" in sentence("quantity", "forgot_to_halve_twice")


def test_a_slip_of_the_table_says_what_the_mistake_was() -> None:
    case = {"kind": "ratio", "answer": "1:1", "expected": "2:1", "slips": {"electrons_doubled": "1:1"}}
    assert grade(case).message == "That counts every electron twice: it passes the wire once."


def test_a_language_without_catalogue_falls_back() -> None:
    with language("xx"):
        assert sentence("ratio", "off_value") == "The ratio is another one."
