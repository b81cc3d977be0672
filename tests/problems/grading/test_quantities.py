"""Quantities: units against published definitions, and the rules on tolerance, figures, readings."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from problems.grading.case import grade
from problems.grading.quantities.tail import is_formula, is_substance, read_tail
from problems.grading.quantities.units import measured, registry, units
from problems.grading.verdict import Verdict
from problems.words import language


def judge(answer: str, expected: str, **fields: object) -> Verdict:
    return grade({"kind": "quantity", "answer": answer, "expected": expected, **fields})


# Source: BIPM, The SI Brochure, 9th edition (2019, updated 2022), tables 4, 5, 7, 8 and section 5.4;
# the calorie and the conventional millimetre of mercury: NIST Special Publication 811 (2008), appendix B.8.
DEFINITIONS = [
    ("1 L", "0.001 m3"),
    ("1 mL", "1 cm3"),
    ("1 t", "1000 kg"),
    ("1 min", "60 s"),
    ("1 h", "3600 s"),
    ("1 d", "86400 s"),
    ("1 A h", "3600 C"),
    ("1 C", "1 A s"),
    ("1 V", "1 J/C"),
    ("1 J", "1 N m"),
    ("1 W", "1 J/s"),
    ("1 Pa", "1 N/m2"),
    ("1 Hz", "1 s-1"),
    ("1 Ω", "1 V/A"),
    ("1 bar", "100 kPa"),
    ("1 atm", "101.325 kPa"),
    ("1 Torr", "133.3224 Pa"),
    ("1 mmHg", "133.3224 Pa"),
    ("1 cal", "4.184 J"),
    ("1 kWh", "3.6 MJ"),
    ("1 eV", "1.602176634e-19 J"),
    ("1 u", "1.66053907e-27 kg"),
    ("1 M", "1 mol/L"),
    ("1 mol/dm3", "1000 mol/m3"),
    ("25 °C", "298.15 K"),
    ("77 °F", "25 °C"),
]


@pytest.mark.parametrize(("one", "other"), DEFINITIONS)
def test_a_unit_is_what_it_is_defined_to_be(one: str, other: str) -> None:
    assert judge(one, other, tolerance=1e-6).verdict == "correct"
    assert judge(other, one, tolerance=1e-6).verdict == "correct"


def test_every_spelling_is_its_unit_in_the_table() -> None:
    for spelling, named in units().exact.items():
        assert units().candidates(spelling)[0] == named
    for spelling, found in units().folded.items():
        assert {named.unit for _written, named in found} >= {units().candidates(spelling)[0].unit}


def test_no_spelling_in_its_own_case_has_two_units() -> None:
    """A second unit of the same letters would silently win or lose."""
    seen: dict[str, object] = {}
    for found in units().folded.values():
        for written, named in found:
            if written in units().exact and written[0] != "M":
                assert seen.setdefault(written, named.unit) == named.unit, written


@pytest.mark.parametrize("unit", ["L", "g", "mol", "A", "V", "m"])
def test_capital_m_before_these_is_milli(unit: str) -> None:
    assert judge(f"7 M{unit}", f"0.007 {unit}").verdict == "correct"


@pytest.mark.parametrize("unit", ["J", "Pa", "W", "Hz"])
def test_capital_m_before_these_is_mega(unit: str) -> None:
    assert judge(f"7 M{unit}", f"7000000 {unit}").verdict == "correct"


@pytest.mark.parametrize(
    ("typed", "meant"),
    [("PA", "Pa"), ("pa", "Pa"), ("KPA", "kPa"), ("mpa", "mPa"), ("MOL", "mol"), ("Kg", "kg"), ("hz", "Hz")],
)
def test_a_unit_known_only_in_another_case_is_read_so(typed: str, meant: str) -> None:
    assert judge(f"3 {typed}", f"3 {meant}").verdict == "correct"


@pytest.mark.parametrize(
    ("typed", "expected"),
    [
        ("3 PA", "3 pA"),
        ("3 PA", "3 Pa"),
        ("3 MM", "3 mM"),
        ("3 MM", "3 mm"),
        ("21 c", "21 °C"),
        ("3 c", "3 C"),
    ],
)
def test_of_several_units_the_one_of_the_asked_dimension_is_meant(typed: str, expected: str) -> None:
    assert judge(typed, expected).verdict == "correct"


@pytest.mark.parametrize(
    "text",
    [
        "Cu",
        "H2",
        "H₂",
        "CuSO4.5H2O",
        "Cu(OH)2",
        "(Cu)",
        "Cu2+",
        "SO4^2-",
        "SO₄²⁻",
        "OH-",
        "e-",
        "O2(g)",
        "Fe^{3+}",
    ],
)
def test_formulas_behind_a_unit(text: str) -> None:
    assert is_formula(text)
    assert judge(f"3 g {text}", "3 g").verdict == "correct"


@pytest.mark.parametrize("text", ["Xx", "blorp", "cu", "or", "2", "H2 or", "=", "Cu(", "²", "+"])
def test_what_is_no_formula_behind_a_unit(text: str) -> None:
    assert not is_formula(text)
    assert judge(f"3 g {text}", "3 g").verdict == "unreadable"


@pytest.mark.parametrize(
    ("text", "is_one"),
    [("copper", True), ("of pure copper wire", True), ("hydrogen gas", True), ("of", False), ("of 3", False)],
)
def test_words_behind_a_unit(text: str, is_one: bool) -> None:
    assert is_substance(text) is is_one


@pytest.mark.parametrize(
    ("unit", "shown"),
    [
        ("mol L-1", "mol/L"),
        ("mol·dm⁻³", "mol/dm³"),
        ("J/(mol K)", "J/(mol·K)"),
        ("J mol^-1 K^-1", "J/(mol·K)"),
        ("kg m2 s-2", "kg·m²/s²"),
        ("per min", "1/min"),
        ("s^-1", "1/s"),
        ("grams per mole", "g/mol"),
        ("cubic metres", "m³"),
        ("Liters", "L"),
    ],
)
def test_a_unit_is_shown_as_it_was_understood(unit: str, shown: str) -> None:
    tail = read_tail(unit, ())
    assert tail is not None
    assert tail.named.shown == shown


@pytest.mark.parametrize(
    "unit",
    ["m^99", "m^0", "mL/", "/", "m**9**9", "(m", "m)", "m^m", "()", "((((m))))", "g g g g g g g", "10", "^2"],
)
def test_what_is_no_unit(unit: str) -> None:
    assert read_tail(unit, ()) is None


def test_the_unit_library_never_sees_what_was_typed(monkeypatch: pytest.MonkeyPatch) -> None:
    """Its parser evaluates arithmetic: the table is complete before any answer comes."""
    judge("3 g", "3 g")

    def refuse(*args: object, **more: object) -> None:
        raise AssertionError(f"the unit library was asked to parse {args}")

    for name in ("parse_units", "parse_expression", "parse_unit_name"):
        monkeypatch.setattr(type(registry()), name, refuse)
    assert judge("0.25 mol L-1", "250 mmol/L").verdict == "correct"
    assert judge("3 __import__('os')", "3 g").verdict == "unreadable"


@pytest.mark.parametrize("factor", [0.981, 0.99, 1.0, 1.01, 1.019])
def test_inside_the_tolerance(factor: float) -> None:
    assert judge(f"{500 * factor:.4f} s", "500.0 s").verdict == "correct"


@pytest.mark.parametrize("factor", [0.941, 0.97, 0.979, 1.021, 1.05, 1.059])
def test_outside_but_within_three_tolerances(factor: float) -> None:
    assert judge(f"{500 * factor:.4f} s", "500.0 s").codes == ("rounding",)


@pytest.mark.parametrize("factor", [0.5, 0.939, 1.061, 2.0])
def test_beyond_three_tolerances(factor: float) -> None:
    assert judge(f"{500 * factor:.4f} s", "500.0 s").codes == ("off_value",)


@pytest.mark.parametrize(("answer", "codes"), [("3.264 g", ()), ("3.136 g", ()), ("3.392 g", ("rounding",))])
def test_the_limits_themselves_count_as_inside(answer: str, codes: tuple[str, ...]) -> None:
    assert judge(answer, "3.200 g").codes == codes


@pytest.mark.parametrize(
    ("answer", "codes"), [("7.1", ()), ("6.9", ()), ("7.2", ("rounding",)), ("7.21", ("off_value",))]
)
def test_the_limits_of_a_ph(answer: str, codes: tuple[str, ...]) -> None:
    assert judge(answer, "7.0", unit="pH").codes == codes


@pytest.mark.parametrize(
    ("expected", "fields"),
    [
        ("7.0", {"unit": "pH"}),
        ("7.0", {"asked": "pH"}),
        ("pH = 7.0", {}),
        ("pH = 7.0", {"asked": "acidity"}),
        ("7.0 pH", {}),
    ],
)
def test_a_ph_is_known_by_its_unit_or_a_name(expected: str, fields: dict[str, str]) -> None:
    assert judge("7.1", expected, **fields).codes == ()
    assert judge("7.3", expected, **fields).codes == ("off_value",)


@pytest.mark.parametrize("power", [*range(-12, 0), *range(1, 13)])
def test_every_power_of_ten_up_to_twelve(power: int) -> None:
    assert judge(f"3.2e{power} g", "3.2 g").codes == ("power_of_ten",)


@pytest.mark.parametrize("power", [-13, 13, 40])
def test_no_power_of_ten_beyond_twelve(power: int) -> None:
    assert judge(f"3.2e{power} g", "3.2 g").codes == ("off_value",)


@given(st.integers(100, 999), st.integers(-6, 6), st.sampled_from(["g", "mg", "kg", "µg"]))
def test_a_value_is_right_in_every_unit_of_its_dimension(digits: int, power: int, unit: str) -> None:
    in_grams = digits * 10.0**power
    scale = {"g": 1.0, "mg": 1e3, "kg": 1e-3, "µg": 1e6}[unit]
    assert judge(f"{in_grams * scale:.6e} {unit}", f"{in_grams:.6e} g").verdict == "correct"


@given(st.floats(-200, 1000).filter(lambda celsius: abs(celsius) > 1))
def test_temperatures_convert_with_the_offset(celsius: float) -> None:
    assert judge(f"{celsius + 273.15:.6f} K", f"{celsius:.6f} °C", tolerance=1e-4).verdict == "correct"


@given(st.integers(11, 99))
def test_a_key_of_two_figures_is_met_by_what_rounds_to_it(key: int) -> None:
    assert judge(f"{key + 0.4} mL", f"{key} mL").verdict == "correct"
    assert judge(f"{key - 0.4} mL", f"{key} mL").verdict == "correct"


@pytest.mark.parametrize("answer", ["85 %", "85", "0.85", "85 percent", "0.85000"])
def test_a_share_in_three_notations_is_exactly_the_same(answer: str) -> None:
    assert judge(answer, "85 %", tolerance=1e-6).verdict == "correct"
    assert judge(answer, "85", unit="%", tolerance=1e-6).verdict == "correct"


def test_a_zero_key_has_an_absolute_tolerance() -> None:
    for answer, verdict in (
        ("0.02 V", "correct"),
        ("-20 mV", "correct"),
        ("0.06 V", "partly"),
        ("0.07 V", "wrong"),
    ):
        assert judge(answer, "0 V").verdict == verdict


def test_a_wrong_unit_is_pointed_at_and_named_with_what_it_measures() -> None:
    verdict = judge("V = 22.4 g", "22.4 mL")
    assert (verdict.position, verdict.length) == (9, 1)
    assert "“g” measures a mass" in verdict.message
    assert "a volume is asked" in verdict.message


@pytest.mark.parametrize(
    ("answer", "position", "length"),
    [
        ("22.4 florps", 5, 6),
        ("22.4 mL + 1 mL", 5, 9),
        ("volume", 0, 6),
        ("  x", 2, 1),
        ("", 0, 0),
        ("22.4 $m$ x", 6, 4),
    ],
)
def test_unreadable_text_is_pointed_at_in_what_was_typed(answer: str, position: int, length: int) -> None:
    verdict = judge(answer, "22.4 mL")
    assert (verdict.position, verdict.length) == (position, length)


def test_no_message_gives_the_key_away() -> None:
    for answer in ("30 mL", "22.4", "224 mL", "23.2 mL", "g", "22.4 g", "", "1-2 mL", "77 florps"):
        verdict = judge(answer, "22.6 mL", slips={"half": "11.3 mL"})
        assert "22.6" not in verdict.message


def test_every_measure_of_the_table_has_words() -> None:
    for spelling in ("mL", "mol", "V", "°C", "kPa", "C", "min", "J", "M", "%", "pH"):
        assert measured(units().exact[spelling].unit.dimensionality) != "something else"
    assert measured(registry().Unit("").dimensionality) == "something else"


def test_readings_are_written_for_the_reader() -> None:
    assert judge("2,24 x 10^-2 l", "22.4 mL").reading == "2.24 × 10⁻² L"
    assert judge("1,250 s", "1250 s").reading == "1250 s"
    assert judge("1,250 s", "1.25 s").reading == "1.250 s"
    assert judge("ph=2", "2.0", unit="pH").reading == "2"
    with language("de"):
        assert judge("-22.4 mol L-1", "3 g").reading == "−22,4 mol/L"


def test_one_figure_may_be_all_that_the_data_justify() -> None:
    assert judge("22.4 mL", "22.4 mL", figures=1).codes == ("figures",)
    assert judge("2.0 mL", "2 mL", figures=1).codes == ()


def test_huge_and_tiny_numbers_stay_finite() -> None:
    for answer in ("9" * 40 + "e99 kL", "1e-99 nL", "9e99 km9 km9 m-9", "0." + "0" * 30 + "1 L"):
        verdict = judge(answer, "22.4 mL")
        assert verdict.verdict == "wrong"
