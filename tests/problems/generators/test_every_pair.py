"""One suite over every skill and level: keys, slips, near misses, hints, options, solutions."""

import tomllib
from pathlib import Path

import pytest

import problems
from problems.grading.case import prepare
from problems.grading.codes import codes, entry
from problems.question import Part
from tests.problems.generators.bank import NUMERIC, PAIRS, equations_in, parts, questions
from tests.problems.generators.leaks import leaks
from tests.problems.generators.near_misses import near_misses

SLIPS = tomllib.loads((Path(problems.__file__).parent / "data" / "slips.toml").read_text(encoding="utf-8"))
HINT_SEEDS = 4

every_pair = pytest.mark.parametrize(("name", "level"), PAIRS)


@every_pair
def test_the_key_is_right(name: str, level: str) -> None:
    for part in parts(name, level):
        verdict = prepare(part.grading).grade(part.grading["expected"])
        assert (verdict.verdict, verdict.codes) == ("correct", ()), part.grading


@every_pair
def test_each_slip_has_its_own_code_and_sentence(name: str, level: str) -> None:
    for part in parts(name, level):
        prepared = prepare(part.grading)
        for code, answer in part.grading.get("slips", {}).items():
            verdict = prepared.grade(answer)
            assert (verdict.verdict, verdict.codes[0]) == ("wrong", code), part.grading
            assert SLIPS[code] in verdict.message


@every_pair
def test_a_near_miss_is_not_right(name: str, level: str) -> None:
    for part in parts(name, level):
        prepared = prepare(part.grading)
        for answer in near_misses(part):
            assert prepared.grade(answer).verdict != "correct", (answer, part.grading)


@pytest.mark.parametrize(("name", "level"), NUMERIC)
def test_a_numeric_question_knows_three_slips(name: str, level: str) -> None:
    for part in parts(name, level):
        if part.grading["kind"] == "quantity":
            assert len(part.grading["slips"]) >= 3, part.grading


@every_pair
def test_hints_do_not_hold_the_answer(name: str, level: str) -> None:
    for part in parts(name, level, HINT_SEEDS):
        assert list(leaks(part)) == []


@every_pair
def test_options_are_distinct_and_just_the_right_ones_have_nothing_against_them(
    name: str, level: str
) -> None:
    for part in parts(name, level):
        keys = [option.key for option in part.options]
        assert len(set(keys)) == len(keys)
        assert len({option.text for option in part.options}) == len(keys)
        right = sorted(option.key for option in part.options if not option.why_wrong)
        assert part.grading["kind"] != "choice" or right == sorted(part.grading["expected"])
        assert not part.options or 2 < len(keys) < 8


@every_pair
def test_equations_in_solutions_and_prompts_balance(name: str, level: str) -> None:
    for question in questions(name, level):
        for part in question.parts:
            for line in part.solution:
                for equation in equations_in(line):
                    assert equation.is_balanced, line


@every_pair
def test_a_solution_of_an_equation_ends_with_the_key(name: str, level: str) -> None:
    for part in parts(name, level):
        if part.grading["kind"] == "equation":
            found = [equation for line in part.solution for equation in equations_in(line)]
            assert any(str(each) == part.grading["expected"] for each in found), part.solution


@every_pair
def test_slips_are_none_of_the_codes_of_the_contract(name: str, level: str) -> None:
    for part in parts(name, level):
        for code in part.grading.get("slips", {}):
            assert entry(part.grading["kind"], code) is None
        if part.grading["kind"] == "equation":
            assert "slips" not in part.grading


def test_every_sentence_for_a_slip_is_used_and_no_code_is_one_of_the_contract() -> None:
    used = {code for pair in PAIRS for part in parts(*pair) for code in part.grading.get("slips", {})}
    assert used <= SLIPS.keys()
    assert SLIPS.keys() - used <= {"ratio_of_electrons"}
    contract = {code.code for kind in ("equation", "quantity", "choice") for code in codes(kind)}
    assert not contract & SLIPS.keys()


@every_pair
def test_the_same_seed_gives_the_same_question(name: str, level: str) -> None:
    again = questions.__wrapped__(name, level, 5)
    assert again == questions(name, level)[:5]
    assert len({repr(each.parts) for each in questions(name, level)}) > 1


def test_the_leak_test_finds_leaks() -> None:
    """The check itself, on hints that do give the answer away."""
    grading = {"kind": "quantity", "expected": "0.0125 mol", "unit": "mol", "slips": {}}
    part = Part("?", grading, ("a", "It is about 0.0125 mol in all.", "b"), ("c",))
    assert list(leaks(part)) != []
    grading = {"kind": "equation", "expected": "2 H^+ + 2 e^- -> H2", "role": "half_reaction"}
    part = Part("?", grading, ("a", "Think of 2 H⁺ + 2 e⁻ → H₂ here.", "b"), ("c",))
    assert list(leaks(part)) != []
