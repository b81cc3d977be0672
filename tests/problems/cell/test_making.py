"""What a cell is filled with, against sums done by hand with handbook molar masses."""

import pytest

from problems.cell.evidence import evidence
from problems.cell.making import dilution, middle, solution_volume, weighings
from problems.cell.setup import Setup
from problems.generators.setups import OFFERED, SHOWCASE

# Molar masses [g/mol] as printed on labels (CRC Handbook of Chemistry and Physics, Physical Constants of
# Inorganic Compounds), times mol/L, times 0.150 L.
BY_HAND = [
    ("KNO3", 250.0, {"KNO3": 101.103 * 0.25 * 0.15}),
    ("CuSO4", 250.0, {"CuSO4": 159.609 * 0.25 * 0.15, "CuSO4.5H2O": 249.685 * 0.25 * 0.15}),
    ("NaOH", 250.0, {"NaOH": 39.997 * 0.25 * 0.15}),
    ("NaCl", 2000.0, {"NaCl": 58.443 * 2 * 0.15}),
]


def cell(electrolyte: str, concentration: float, **more: object) -> Setup:
    return Setup(electrolyte, concentration, "graphite", "graphite", None, 0.1, 600.0, **more)  # type: ignore[arg-type]


@pytest.mark.parametrize(("salt", "concentration", "masses"), BY_HAND)
def test_the_mass_agrees_with_the_balance(salt: str, concentration: float, masses: dict[str, float]) -> None:
    found = {each.solid.plain: each.mass * 1000 for each in weighings(cell(salt, concentration))}
    assert found == pytest.approx(masses, abs=0.005)


@pytest.mark.parametrize(
    ("arm", "flask"), [(20e-6, 50), (25e-6, 100), (40e-6, 100), (50e-6, 150), (60e-6, 150)]
)
def test_the_flask_is_larger_than_both_arms(arm: float, flask: int) -> None:
    assert round(solution_volume(cell("KNO3", 250.0, arm_volume=arm)) * 1e6, 6) == flask


def test_an_acid_is_diluted_and_not_weighed() -> None:
    acid = cell("H2SO4", 200.0)
    found = dilution(acid)
    assert weighings(acid) == ()
    assert found is not None
    # c V before and after: 1 mol/L × 30 mL = 0.2 mol/L × 150 mL.
    assert found.concentration * found.volume == pytest.approx(200.0 * 150e-6)
    assert dilution(SHOWCASE) is None


@pytest.mark.parametrize("setup", OFFERED.values(), ids=OFFERED)
def test_every_offered_cell_is_either_weighed_or_diluted(setup: Setup) -> None:
    assert bool(weighings(setup)) != (dilution(setup) is not None)


# USP 32-NF 27, Indicators: bromothymol blue yellow 6.0-7.6 blue, phenol red yellow 6.8-8.2 red.
@pytest.mark.parametrize(
    ("indicator", "colours"),
    [("phenol red", ("yellow", "orange", "red")), ("bromothymol blue", ("yellow", "green", "blue"))],
)
def test_the_middle_lies_between_the_two_colours(indicator: str, colours: tuple[str, str, str]) -> None:
    found = middle(Setup("Na2SO4", 200.0, "platinum", "platinum", indicator, 0.1, 600.0))
    assert found is not None
    assert (found.acidic, found.middle, found.basic) == colours
    assert (found.acid, found.base) == ("sulfuric acid", "sodium hydroxide")


@pytest.mark.parametrize(
    "setup",
    [
        Setup("KNO3", 250.0, "graphite", "graphite", None, 0.1, 600.0),
        Setup("KNO3", 250.0, "graphite", "graphite", "phenolphthalein", 0.1, 600.0),
        Setup("NaOH", 250.0, "platinum", "platinum", "phenol red", 0.1, 600.0),
        Setup("CuSO4", 250.0, "copper", "copper", "bromothymol blue", 0.1, 600.0),
        Setup("KI", 200.0, "graphite", "graphite", "bromothymol blue", 0.1, 600.0),
    ],
    ids=["no indicator", "no middle at pH 7", "a base", "a coloured salt", "no acid at hand"],
)
def test_some_solutions_stay_as_they_are(setup: Setup) -> None:
    assert middle(setup) is None


@pytest.mark.parametrize("setup", OFFERED.values(), ids=OFFERED)
def test_the_middle_colour_is_the_one_that_the_fresh_cell_shows(setup: Setup) -> None:
    found = middle(setup)
    assert found is None or found.middle == evidence(setup).start_colour
