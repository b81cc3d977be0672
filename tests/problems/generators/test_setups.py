"""Proposed cells: what a bench can drive, allowed, varied, with honest figures."""

from collections import Counter
from random import Random

import pytest

from problems.cell.evidence import evidence
from problems.cell.setup import Setup, SetupError
from problems.generators.setups import (
    OFFERED,
    RECIPES,
    SHOWCASE,
    NoSetupError,
    draw,
    propose_setup,
    setup_for,
    setup_on,
)
from problems.question import Skill
from problems.registry import SKILLS, skills_for

PROPOSED = [propose_setup(Random(seed)) for seed in range(300)]


def test_the_showcase_is_potassium_nitrate_with_phenol_red_on_graphite() -> None:
    assert (SHOWCASE.electrolyte, SHOWCASE.indicator) == ("KNO3", "phenol red")
    assert {SHOWCASE.cathode, SHOWCASE.anode} == {"graphite"}
    cell = evidence(SHOWCASE)
    assert cell.use == "bench"
    assert [arm.colour for arm in cell.electrodes] == ["red", "yellow"]
    assert all("colour" in arm.fair for arm in cell.electrodes)


def test_proposed_setups_are_allowed_in_class_and_mostly_for_the_bench() -> None:
    uses = Counter(evidence(setup).use for setup in PROPOSED)
    assert set(uses) == {"bench", "hood"}
    assert uses["bench"] > uses["hood"]


def test_no_proposed_run_ends_before_its_time() -> None:
    assert all(evidence(setup).ends_at is None for setup in PROPOSED)


def test_proposed_numbers_are_those_of_a_bench() -> None:
    for setup in PROPOSED:
        assert 0.05 <= setup.current <= 0.15
        assert 4 * 60 <= setup.time <= 60 * 60
        assert 290 <= setup.temperature <= 299
        assert 97_000 <= setup.pressure <= 103_000


def test_proposed_numbers_have_three_honest_figures() -> None:
    """What is printed with three figures is what is reckoned with."""
    for setup in PROPOSED:
        assert float(f"{setup.current:.3g}") == setup.current
        assert float(f"{setup.molarity:.3g}") == setup.molarity
        assert (setup.time / 60 * 10) % 1 == pytest.approx(0, abs=1e-9)
        assert setup.pressure % 100 == 0


def test_proposed_setups_vary() -> None:
    assert len({setup.electrolyte for setup in PROPOSED}) >= 18
    assert len({setup.indicator for setup in PROPOSED}) >= 14
    assert len({(setup.cathode, setup.anode) for setup in PROPOSED}) >= 6


def test_the_same_random_gives_the_same_setup() -> None:
    assert propose_setup(Random("x")) == propose_setup(Random("x"))


@pytest.mark.parametrize("recipe", RECIPES, ids=lambda each: f"{each.electrolyte} {each.pairs[0][0]}")
def test_every_recipe_is_of_the_use_it_names(recipe) -> None:  # type: ignore[no-untyped-def]
    for seed in range(12):
        assert evidence(draw(recipe, Random(seed))).use == recipe.use


@pytest.mark.parametrize("name", OFFERED)
def test_every_offered_setup_can_be_asked_about_in_class(name: str) -> None:
    assert evidence(OFFERED[name]).allowed_in_class
    assert len(skills_for(OFFERED[name])) >= 12


def test_half_of_the_ion_of_an_arm_stays_at_least() -> None:
    """Rule of the trade: what is discharged may not run low, or the products change."""
    for setup in PROPOSED:
        for electrode in evidence(setup).electrodes:
            assert len(electrode.stages) == 1


def test_every_skill_finds_its_setups() -> None:
    for skill in SKILLS.values():
        for level in skill.levels:
            setup = setup_for(skill, level, Random(1))
            assert skill.applies(setup, evidence(setup))


def test_a_skill_that_fits_nowhere_says_so() -> None:
    nowhere = Skill(
        "redox.nowhere",
        "redox",
        "Nowhere",
        ("first_year",),
        "choice",
        lambda setup, cell: False,
        lambda *_: None,  # type: ignore[arg-type, return-value]
    )
    with pytest.raises(NoSetupError, match="nowhere"):
        setup_for(nowhere, "first_year", Random(1))


def test_a_setup_with_an_electrolyte_that_is_asked_for() -> None:
    setup = setup_on(SKILLS["stoichiometry.deposit"], "CuSO4", Random(1))
    assert setup.electrolyte == "CuSO4"
    assert SKILLS["stoichiometry.deposit"].applies(setup, evidence(setup))
    assert setup_on(SKILLS["redox.half_reaction"], "NaClO4", Random(1)).electrolyte == "NaClO4"
    with pytest.raises(SetupError):
        setup_on(SKILLS["redox.half_reaction"], "XeF9", Random(1))


def test_setups_read_back_from_their_texts() -> None:
    for setup in PROPOSED[:60]:
        assert Setup.from_json(setup.as_json()) == setup
