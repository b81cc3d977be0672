"""Numbers as typed: one value, whatever the notation.

Sources of the notations: ISO 80000-1:2022, 7.3 (decimal sign comma or point, groups of three parted by
a small space), and the grading rules for what students type besides.
"""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from problems.grading.numbers import numbers_at, run_readings, significant
from problems.words import language

SUPERSCRIPTS = str.maketrans("+-0123456789", "⁺⁻⁰¹²³⁴⁵⁶⁷⁸⁹")


def read(text: str) -> list[Fraction]:
    """The values of all readings of a text that is a number from end to end."""
    numbers, end = numbers_at(text, 0)
    return [number.value for number in numbers] if end == len(text) else []


@pytest.mark.parametrize(
    ("run", "readings"),
    [
        ("12", ["12"]),
        ("12.5", ["12.5"]),
        ("12,5", ["12.5"]),
        ("12,50", ["12.50"]),
        ("1,250", ["1250", "1.250"]),
        ("12,345", ["12345", "12.345"]),
        ("123,456", ["123456", "123.456"]),
        ("1234,567", ["1234.567"]),
        ("0,125", ["0.125"]),
        ("05,125", ["05.125"]),
        ("1,2500", ["1.2500"]),
        ("1.250", ["1.250"]),
        ("1,250,000", ["1250000"]),
        ("1.250.000", ["1250000"]),
        ("1,250.75", ["1250.75"]),
        ("1.250,75", ["1250.75"]),
        ("1,250,000.5", ["1250000.5"]),
        ("1 250", ["1250"]),
        ("1 250 000,5", ["1250000.5"]),
        ("1 250,500", ["1250.500"]),
        ("0.000 12", ["0.00012"]),
        (".5", ["0.5"]),
        (",5", ["0.5"]),
        ("5.", ["5."]),
        ("1.2.3", []),
        ("12,34,56", []),
        ("1,25.5", []),
        ("1.25,5.5", []),
        ("1,250.5,5", []),
        ("12'500", ["12500"]),
    ],
)
def test_marks_are_decimal_or_part_thousands(run: str, readings: list[str]) -> None:
    assert run_readings(run) == readings


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("2.5e-3", Fraction(25, 10**4)),
        ("2.5E3", Fraction(2500)),
        ("2.5 x 10^3", Fraction(2500)),
        ("2.5×10³", Fraction(2500)),
        ("2.5*10**3", Fraction(2500)),
        ("2.5·10^{3}", Fraction(2500)),
        ("2.5 x 10^(-3)", Fraction(25, 10**4)),
        ("2.5 x 10-3", Fraction(25, 10**4)),
        ("2.5 x 10+3", Fraction(2500)),
        ("2.5 10^3", Fraction(2500)),
        ("10^-3", Fraction(1, 1000)),
        ("10⁻³", Fraction(1, 1000)),
        ("3/4", Fraction(3, 4)),
        ("1 3/4", Fraction(7, 4)),
        ("¾", Fraction(3, 4)),
        ("1¾", Fraction(7, 4)),
        ("1 ¾", Fraction(7, 4)),
        ("0", Fraction(0)),
        ("007", Fraction(7)),
    ],
)
def test_notations_of_one_value(text: str, value: Fraction) -> None:
    assert read(text) == [value]


@pytest.mark.parametrize(
    "text",
    [
        "",
        "x",
        "1e999",
        "2 x 103",
        "1/0",
        "2 x 10^1000",
        "e5",
        "--1",
        "1_000",
        "٣",
        "½½",
        "1" * 41,
        "∞",
        "0x1F",
    ],
)
def test_what_is_no_single_number(text: str) -> None:
    assert read(text) == []


@pytest.mark.parametrize(
    ("digits", "figures"),
    [
        ("0.0224", (3, 3)),
        ("22.40", (4, 4)),
        ("1200", (2, 4)),
        ("1200.", (4, 4)),
        ("1205", (4, 4)),
        ("0", None),
        ("0.00", None),
        ("100000", (1, 6)),
    ],
)
def test_significant_figures(digits: str, figures: tuple[int, int] | None) -> None:
    """Source: the usual counting rules, as in BIPM-style laboratory handbooks: common practice."""
    assert significant(digits) == figures


finite = st.decimals(min_value=Decimal("0.0001"), max_value=Decimal("999999"), places=4)


@given(finite)
def test_point_and_comma_say_the_same(value: Decimal) -> None:
    text = f"{value:f}"
    assert Fraction(value) in read(text)
    assert Fraction(value) in read(text.replace(".", ","))


@given(st.integers(1000, 10**9), st.sampled_from([" ", ",", "'", "."]))
def test_grouped_thousands_are_the_number(value: int, mark: str) -> None:
    grouped = f"{value:,}".replace(",", mark)
    if mark != "." or grouped.count(".") > 1:
        assert read(grouped)[0] == value


@given(st.integers(1, 9999), st.integers(-12, 12))
def test_every_power_notation_is_the_number(mantissa: int, power: int) -> None:
    raised = str(power).translate(SUPERSCRIPTS)
    notations = (
        f"{mantissa}e{power}",
        f"{mantissa} x 10^{power}",
        f"{mantissa}×10{raised}",
        f"{mantissa}*10**{power}",
    )
    assert {read(text)[0] for text in notations} == {mantissa * Fraction(10) ** power}


@given(st.text(alphabet="0123456789.,' eE+-x×*·10^{}()/½⁻²", max_size=60))
def test_reading_never_raises_and_ends_inside(text: str) -> None:
    numbers, end = numbers_at(text, 0)
    assert 0 <= end <= len(text)
    assert bool(numbers) == (end > 0)


def test_a_number_is_shown_in_the_language_of_the_reader() -> None:
    number = numbers_at("2,24 x 10^-2", 0)[0][0]
    assert number.shown == "2.24 × 10⁻²"
    with language("de"):
        assert number.negated().shown == "−2,24 × 10⁻²"
