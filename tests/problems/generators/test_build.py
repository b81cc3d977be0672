"""The parts that generators build: keys with honest figures, slips that say something, drawn orders."""

from random import Random

import pytest

from problems.chemistry.equation import Equation
from problems.chemistry.formula import Formula
from problems.generators import build
from problems.generators.build import written
from problems.grading.case import grade
from problems.question import Option, Part

HINTS = ("One.", "Two.", "Three.")
LINES = ("So.",)


def quantity(value: float, unit: str, slips: dict[str, float], **more: object) -> Part:
    return build.quantity("How much?", value, unit, HINTS, LINES, slips, **more)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [
        (0.0012437, "mol", "0.001244 mol"),
        (5.0, "g", "5.000 g"),
        (270.0, "mL", "270.0 mL"),
        (96485.33, "C/mol", "96490 C/mol"),
        (6.02214e23, "mol^-1", "6.022e23 mol^-1"),
        (7.9e-12, "mol/L", "7.900e-12 mol/L"),
        (0.5, "", "0.5000"),
        (-0.41, "V", "-0.4100 V"),
    ],
)
def test_values_are_written_with_one_figure_to_spare(value: float, unit: str, text: str) -> None:
    assert written(value, unit) == text


@pytest.mark.parametrize("value", [0.0012437, 270.04, 6.02214e23, 7.94e-12])
def test_what_is_written_is_right_for_the_grader(value: float) -> None:
    part = quantity(value, "mol", {})
    assert grade({**part.grading, "answer": f"{value!r} mol"}).verdict == "correct"


def test_a_slip_that_equals_the_key_is_left_out() -> None:
    assert quantity(10.0, "mL", {"same": 10.1, "near": 10.4, "far": 11.0}).grading["slips"] == {
        "far": "11.00 mL"
    }


def test_of_two_equal_slips_the_first_is_kept() -> None:
    assert quantity(10.0, "mL", {"one": 20.0, "two": 20.3}).grading["slips"] == {"one": "20.00 mL"}


def test_a_narrower_tolerance_keeps_nearer_slips() -> None:
    part = quantity(10.0, "mL", {"near": 10.3}, tolerance=0.008)
    assert part.grading["slips"] == {"near": "10.30 mL"}
    assert part.grading["tolerance"] == 0.008
    assert grade({**part.grading, "answer": "10.3 mL"}).codes == ("near",)


def test_few_figures_in_the_data_are_few_in_the_key() -> None:
    assert quantity(0.0024831, "mol/L", {}, figures=2).grading["expected"] == "0.0025 mol/L"


def test_a_ph_has_an_absolute_tolerance_and_slips_apart_from_it() -> None:
    part = build.ph("Which pH?", 12.3, HINTS, LINES, {"near": 12.45, "poh": 1.7})
    assert part.grading["slips"] == {"poh": "1.700"}
    assert grade({**part.grading, "answer": "12.4"}).verdict == "correct"
    assert grade({**part.grading, "answer": "pOH 1.7"}).verdict != "correct"


def test_ratios_that_are_equal_when_shortened_are_one() -> None:
    part = build.ratio(
        "Which ratio?", (2, 1), HINTS, LINES, {"same": (4, 2), "turned": (1, 2), "again": (2, 4)}
    )
    assert part.grading["slips"] == {"turned": "1:2"}


def test_an_equation_keeps_the_other_electrode_and_the_convention() -> None:
    half = Equation.parse("2 H2O + 2 e^- -> H2 + 2 OH^-")
    other = Equation.parse("2 H2O -> O2 + 4 H^+ + 4 e^-")
    part = build.equation("Write it.", half, "half_reaction", HINTS, LINES, other=other, accepted=True)
    assert grade({**part.grading, "answer": str(other)}).codes == ("other_electrode",)
    assert grade({**part.grading, "answer": "2 H+ + 2 e- -> H2"}).verdict == "correct"
    plain = build.equation("Write it.", half, "half_reaction", HINTS, LINES)
    assert "medium" not in plain.grading
    assert "other" not in plain.grading


def test_formulas_and_oxidation_numbers_drop_slips_that_equal_the_key() -> None:
    part = build.formula(
        "Which?",
        Formula.parse("OH^-"),
        HINTS,
        LINES,
        {"same": Formula.parse("OH^-"), "acid": Formula.parse("H^+")},
    )
    assert part.grading["slips"] == {"acid": "H^+"}
    number = build.oxidation_number(
        "Which?", "+5", HINTS, LINES, {"same": "+5", "turned": "-5", "again": "-5"}
    )
    assert number.grading["slips"] == {"turned": "-5"}


OPTIONS = (Option("a", "A"), Option("b", "B"), Option("c", "C", "No."), Option("d", "D", "No."))


def test_a_choice_is_in_a_drawn_order_with_all_right_ones_as_its_key() -> None:
    orders = set()
    for seed in range(20):
        part = build.choice("Which?", OPTIONS, HINTS, LINES, Random(seed), several=True)
        assert part.grading["expected"] == ["a", "b"]
        orders.add(tuple(option.key for option in part.options))
    assert len(orders) > 5


def test_slips_of_a_choice_are_sets_that_are_offered_and_wrong() -> None:
    slips = {"key": ["b", "a"], "absent": ["z"], "none": [], "swap": ["d", "c"], "again": ["c", "d"]}
    part = build.choice("Which?", OPTIONS, HINTS, LINES, Random(1), slips, several=True)
    assert part.grading["slips"] == {"swap": ["c", "d"]}


def test_an_expression_names_what_is_asked() -> None:
    part = build.expression(
        "Give it.", "I t/F", ("I", "t", "F"), "n", HINTS, LINES, {"same": "I t/F", "twice": "2 I t/F"}
    )
    assert grade({**part.grading, "answer": "n = t*I/F"}).verdict == "correct"
    assert grade({**part.grading, "answer": "2 I t / F"}).codes == ("twice",)
    assert part.grading["slips"] == {"twice": "2 I t/F"}


def test_several_right_options_need_a_part_that_takes_several() -> None:
    with pytest.raises(ValueError, match="several may be chosen"):
        build.choice("Which?", OPTIONS, HINTS, LINES, Random(1))
