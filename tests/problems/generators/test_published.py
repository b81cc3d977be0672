"""Published worked examples, recast as setups, give the published numbers; sources in `data/published.json`.

Where a cell of ours is smaller than the one in print, current and amount are divided by the same number.
"""

import json
from dataclasses import replace
from math import log10
from pathlib import Path
from typing import Any

import pytest

from problems.cell.evidence import evidence
from problems.cell.setup import Setup
from problems.chemistry.equation import Equation
from problems.generators.acid_base import conversions
from problems.question import Part, Question
from problems.registry import make_question

DATA = json.loads((Path(__file__).parent / "data" / "published.json").read_text(encoding="utf-8"))
PUBLISHED: dict[str, dict[str, Any]] = DATA["examples"]
HOUR = 3600.0
KELVIN = 273.15
LITRE = 1e-3
BY_MOLE = 22.414  # L/mol at 0 °C and 1 atm


def given(example: str, name: str) -> float:
    return float(PUBLISHED[example]["inputs"][name])


def printed(example: str) -> float:
    return float(PUBLISHED[example]["expected"]["value"])


def number(part: Part) -> float:
    return float(part.grading["expected"].split(" ")[0])


def ask(skill: str, setup: Setup, level: str = "first_year", seed: int = 1) -> Question:
    return make_question(skill, level, seed, setup)


def ask_until(skill: str, setup: Setup, words: str, level: str = "first_year") -> Part:
    """The first question of the skill on this setup whose text holds `words`."""
    made = (ask(skill, setup, level, seed).parts[0] for seed in range(400))
    return next(part for part in made if words in part.prompt)


def silver(amperes: float, seconds: float, arm: float = 50e-6) -> Setup:
    return Setup(
        "AgNO3", 200.0, "platinum", "platinum", None, amperes, seconds, arm_volume=arm, tube_volume=LITRE
    )


# Electrolysis


def test_the_amount_of_electrons() -> None:
    example = "OS-Example_17.9_a"
    setup = silver(given(example, "I_A") / 1000, given(example, "t_h") * HOUR)
    part = ask("stoichiometry.electrons", setup).parts[0]
    assert number(part) * 1000 == pytest.approx(printed(example), rel=1e-3)


def test_the_mass_of_silver() -> None:
    example = "OS-Example_17.9_b"
    setup = silver(given(example, "I_A") / 1000, given(example, "t_h") * HOUR)
    part = ask("stoichiometry.deposit", setup).parts[0]
    assert number(part) * 1000 == pytest.approx(printed(example), rel=1e-3)


def test_the_current_that_plates_silver_in_a_time() -> None:
    """Run the other way round: the printed current gives the printed mass."""
    example = "AV-19_Example_15"
    setup = silver(printed(example), given(example, "t_h") * HOUR, arm=1e-3)
    part = ask("stoichiometry.deposit", setup).parts[0]
    assert number(part) == pytest.approx(given(example, "m_g"), rel=0.01)


def test_the_volume_of_hydrogen() -> None:
    """The printed volume is the dry one, rounded to 0.79 L."""
    example = "OS-exercise_17.48"
    setup = Setup(
        "H2SO4",
        400.0,
        "platinum",
        "platinum",
        None,
        given(example, "I_A"),
        given(example, "t_min") * 60,
        temperature=given(example, "T_C") + KELVIN,
        pressure=given(example, "p_torr") / 760 * 101_325,
        tube_volume=LITRE,
    )
    part = ask_until("stoichiometry.gas_volume", setup, "hydrogen")
    assert number(part) / 1000 == pytest.approx(printed(example), abs=0.005)


def test_the_volume_of_chlorine() -> None:
    example = "AV-19.7_problem_3"
    amperes = given(example, "I_A") / 10
    setup = Setup(
        "NaCl", 5000.0, "graphite", "graphite", None, amperes, HOUR, arm_volume=LITRE, tube_volume=LITRE
    )
    part = ask_until("stoichiometry.product_amount", setup, "chlorine")
    assert number(part) * BY_MOLE * 10 == pytest.approx(printed(example), abs=0.05)


def test_brine_gives_the_printed_equation() -> None:
    example = "OS-Example_4.2_check"
    part = ask("balancing.overall", brine()).parts[0]
    assert Equation.parse(part.grading["expected"]) == Equation.parse(
        PUBLISHED[example]["expected"]["equation"]
    )


def brine() -> Setup:
    return Setup("NaCl", 2000.0, "graphite", "graphite", "litmus", 0.1, 600.0)


# Solutions


@pytest.mark.parametrize(
    ("example", "molarity", "millilitres"),
    [("OS-Example_3.17", 5.3, 250), ("AV-4_Example_4_exercise", 0.16, 250)],
)
def test_salt_for_a_solution(example: str, molarity: float, millilitres: int) -> None:
    assert given(example, "c") == molarity
    setup = replace(brine(), concentration=molarity * 1000)
    part = ask_until("stoichiometry.weighing", setup, f"for {millilitres} mL")
    assert number(part) == pytest.approx(printed(example), rel=0.02)


# Acid and base


@pytest.mark.parametrize(
    ("example", "way", "ph"),
    [
        ("OS-Example_14.4", 0, -log10(0.0012)),
        ("OS-Example_14.5", 2, 7.3),
        ("BL-12_Example_13_b", 3, 4.88),
    ],
)
def test_conversions(example: str, way: int, ph: float) -> None:
    cathode = evidence(brine()).electrodes[0]
    part = conversions.ASKS[way](cathode, ph)
    given_value = PUBLISHED[example]["inputs"].get("pH", ph)
    assert given_value == ph
    assert number(part) == pytest.approx(printed(example), rel=0.02)


def test_the_ph_of_sodium_hydroxide() -> None:
    """The charge of 5 C changes the printed concentration by half a percent."""
    example = "OS-exercise_14.19_b"
    setup = Setup("NaOH", given(example, "c") * 1000, "platinum", "platinum", None, 0.05, 100.0)
    part = ask("acid_base.arm_ph", setup).parts[0]
    assert number(part) == pytest.approx(printed(example), abs=0.01)


# Redox


@pytest.mark.parametrize(
    ("example", "salt", "level"),
    [
        ("OS-Example_4.5_c", "Na2SO4", "second_year"),
        ("OS-Example_4.5_check_a", "KNO3", "second_year"),
        ("OS-Example_4.5_check_c", "(NH4)2SO4", "second_year"),
    ],
)
def test_oxidation_numbers(example: str, salt: str, level: str) -> None:
    inputs = PUBLISHED[example]["inputs"]
    shown = {"Na2SO4": "Na₂SO₄", "KNO3": "KNO₃", "NH4^+": "NH₄⁺"}[inputs["species"]]
    setup = Setup(salt, 200.0, "platinum", "platinum", None, 0.1, 1000.0)
    part = ask_until("redox.oxidation_number", setup, f"of {inputs['element']} in {shown}?", level)
    assert int(part.grading["expected"]) == printed(example)


# Balancing


def test_copper_and_nitric_acid() -> None:
    setup = Setup("Cu(NO3)2", 200.0, "platinum", "platinum", None, 0.1, 1000.0)
    part = ask_until("balancing.atoms", setup, "Cu + HNO₃")
    assert Equation.parse(part.grading["expected"]) == Equation.parse(
        PUBLISHED["OS-exercise_4.3_b"]["expected"]["equation"]
    )


def test_chloride_to_chlorate_in_base() -> None:
    right = Equation.parse(PUBLISHED["OS-exercise_4.37_h"]["expected"]["equation"])
    made = [ask("balancing.acid_to_base", brine(), "second_year", seed).parts[0] for seed in range(200)]
    assert right in {Equation.parse(part.grading["expected"]) for part in made}


# Reaction types


@pytest.mark.parametrize(
    ("example", "salt", "equation", "kind"),
    [
        ("OS-Example_4.3_b", "NaCl", "Ag⁺ + Cl⁻ → AgCl", "precipitation"),
        ("OS-Example_4.6_d", "K2SO4", "Ba²⁺ + SO₄²⁻ → BaSO₄", "precipitation"),
        ("OS-exercise_4.13_b", "KNO3", "H⁺ + OH⁻ → H₂O", "neutralisation"),
    ],
)
def test_types_of_reaction(example: str, salt: str, equation: str, kind: str) -> None:
    """The printed types; the second and third stand in print with whole formulas."""
    assert kind in PUBLISHED[example]["expected"]["value"]
    molarity = 2000.0 if salt == "NaCl" else 200.0
    setup = Setup(salt, molarity, "graphite", "graphite", None, 0.1, 700.0)
    made = [ask("reaction_types.follow_up_type", setup, seed=seed).parts[0] for seed in range(200)]
    asked = [part for part in made if equation in part.solution]
    assert asked
    assert {part.grading["expected"][0] for part in asked} == {kind}


def test_brine_is_redox() -> None:
    assert PUBLISHED["OS-Example_4.2_check_(type)"]["expected"]["redox"]
    part = ask("reaction_types.overall_type", brine()).parts[0]
    (right,) = (option.text for option in part.options if not option.why_wrong)
    assert right.startswith("Redox")


def test_every_example_in_the_table_is_used() -> None:
    text = Path(__file__).read_text(encoding="utf-8")
    assert all(f'"{example}"' in text for example in PUBLISHED)
    assert all(row["source"] for row in PUBLISHED.values())
