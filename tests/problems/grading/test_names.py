"""Names in front of an answer: one name and an equals sign are dropped, another name is not."""

import pytest

from problems.grading.names import drop_name, same_name, split_name
from problems.grading.typed import UnreadableError


@pytest.mark.parametrize(
    ("text", "name", "rest"),
    [
        ("m = 3 g", "m", "3 g"),
        ("m=3 g", "m", "3 g"),
        ("V(H2) = 3 mL", "V(H2)", "3 mL"),
        ("V_{H2} = 3 mL", "V_{H2}", "3 mL"),
        ("n(e-) = 3 mol", "n(e-)", "3 mol"),
        ("c[H+] = 1", "c[H+]", "1"),
        ("ΔT = 3 K", "ΔT", "3 K"),
        ("volume of hydrogen = 3 mL", "volume of hydrogen", "3 mL"),
        ("E° = 1.2 V", "E°", "1.2 V"),
        ("m ≈ 3 g", "m", "3 g"),
        ("3 g", "", "3 g"),
        ("3 g = 3000 mg", "", "3 g = 3000 mg"),
        ("a + b = c", "", "a + b = c"),
        ("= 3", "", "= 3"),
        ("", "", ""),
    ],
)
def test_one_name_is_split_off(text: str, name: str, rest: str) -> None:
    found = split_name(text)
    assert (found.name, text[found.start :].strip()) == (name, rest)


@pytest.mark.parametrize(
    ("written", "asked", "same"),
    [
        ("m", "m", True),
        ("m", "M", False),
        ("n", "m", False),
        ("pH", "pH", True),
        ("ph", "pH", True),
        ("PH", "pH", True),
        ("pOH", "pH", False),
        ("V_{H2}", "V(H2)", True),
        ("V_H2", "V(H₂)", True),
        ("V(H2)", "V", True),
        ("V", "V(H2)", True),
        ("V(O2)", "V(H2)", False),
        ("mass", "m", False),
        ("V", "volume of hydrogen", True),
    ],
)
def test_names_that_can_mean_the_same(written: str, asked: str, same: bool) -> None:
    assert same_name(written, asked) is same


def test_another_name_than_the_asked_one_is_refused_at_its_place() -> None:
    with pytest.raises(UnreadableError, match="“M” is written in front, but m is asked") as caught:
        drop_name("M = 3 g", "m")
    assert (caught.value.start, caught.value.end) == (0, 1)


def test_any_name_is_dropped_where_none_is_asked() -> None:
    assert drop_name("M = 3 g", "") == 3
