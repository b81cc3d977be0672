"""The table of reactions round the cell: balanced, on the right cells, safe to tell."""

import re

import pytest

from problems.cell.evidence import evidence
from problems.cell.setup import Setup
from problems.cell.tables import electrolytes
from problems.chemistry.balancing import Balanced, balance
from problems.chemistry.medium import in_base
from problems.generators.reactions import fitting, table
from problems.generators.setups import RECIPES, SHOWCASE

MAKING, AFTER, FORMS = table("making"), table("follow_up"), table("acid_form")


@pytest.mark.parametrize("row", MAKING + AFTER, ids=lambda row: str(row.equation))
def test_every_equation_is_balanced_in_the_smallest_whole_numbers(row) -> None:  # type: ignore[no-untyped-def]
    """Where there is more than one way to balance, atoms, charge and smallest numbers are checked."""
    found = balance(row.equation)
    assert row.equation.is_balanced
    assert row.equation == row.equation.smallest_whole()
    assert not isinstance(found, Balanced) or found.equation == row.equation


@pytest.mark.parametrize("row", FORMS, ids=lambda row: str(row.equation))
def test_forms_for_acid_balance_and_hold_no_hydroxide(row) -> None:  # type: ignore[no-untyped-def]
    assert row.equation.is_balanced
    plains = {species.plain for species in row.equation.species}
    assert "H^+" in plains
    assert "OH^-" not in plains
    assert row.equation.electrons
    assert in_base(row.equation).is_balanced


def test_rows_name_known_salts_and_ions() -> None:
    salts = set(electrolytes())
    ions = {ion for row in electrolytes().values() for ion in row.ions}
    for row in MAKING + AFTER + FORMS:
        assert row.salts <= salts
        assert row.but <= salts
        assert row.ions <= ions


def test_every_electrolyte_that_is_proposed_has_a_reaction_to_balance() -> None:
    for recipe in RECIPES:
        setup = _setup(recipe.electrolyte, recipe.pairs[0], recipe.molarities[0])
        assert fitting("making", setup, evidence(setup)), recipe.electrolyte
        assert fitting("acid_form", setup, evidence(setup))


def _setup(salt: str, pair: tuple[str, str], molarity: float) -> Setup:
    return Setup(salt, molarity * 1000, *pair, None, 0.12, 500.0)


@pytest.mark.parametrize("row", AFTER, ids=lambda row: str(row.equation))
def test_what_is_told_is_one_sentence_without_the_equations_products(row) -> None:  # type: ignore[no-untyped-def]
    assert row.told[0].isupper()
    assert row.told.endswith(".")
    assert row.told.count(". ") == 0
    assert "->" not in row.told
    assert not re.search(r"\b(?:precipitation|neutralis|displace|redox)", row.told)
    assert row.type is not None


def test_no_two_gases_are_brought_together() -> None:
    """The rule of the bench: never collect two gases in one vessel."""
    assert not any({"H2", "O2"} <= {gas.plain for gas in row.arms} for row in AFTER)


def test_what_needs_acid_or_base_of_an_arm_fits_plain_salts_only() -> None:
    arms = [row for row in AFTER if {each.plain for each in row.arms} & {"H^+", "OH^-"}]
    assert arms
    for salt, molarity, fits in (
        ("KNO3", 0.2, True),
        ("Na2SO4", 0.2, True),
        ("AgNO3", 0.1, False),
        ("CuSO4", 0.2, False),
    ):
        setup = _setup(salt, ("platinum", "platinum"), molarity)
        cell = evidence(setup)
        assert any(row.fits(setup, cell) for row in arms) == fits, salt
    sulfate = _setup("MgSO4", ("platinum", "platinum"), 0.2)
    assert not any(row.fits(sulfate, evidence(sulfate)) for row in arms)


def test_ions_decide_what_is_added() -> None:
    told = [row.told for row in fitting("follow_up", SHOWCASE, evidence(SHOWCASE))]
    assert any("poured together" in each for each in told)
    assert not any("Silver nitrate" in each for each in told)
    brine = _setup("NaCl", ("graphite", "graphite"), 2.0)
    assert any("Silver nitrate" in row.told for row in fitting("follow_up", brine, evidence(brine)))


def test_barium_is_not_added_to_sulfuric_acid() -> None:
    """Hydrogensulfate stands there as well, so that no single net ionic equation is right."""
    acid = _setup("H2SO4", ("platinum", "platinum"), 0.2)
    assert not any("Barium" in row.told for row in fitting("follow_up", acid, evidence(acid)))
