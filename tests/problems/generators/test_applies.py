"""Where each skill may be asked, and where not: nothing ambiguous, nothing that is not there."""

import pytest

from problems.cell.evidence import evidence
from problems.cell.setup import Setup
from problems.registry import SKILLS, make_question


def cell(
    salt: str, molarity: float, electrodes: str = "platinum", dye: str | None = None, seconds: float = 600.0
) -> Setup:
    cathode, _colon, anode = electrodes.partition(":")
    return Setup(salt, molarity * 1000, cathode, anode or cathode, dye, 0.12, seconds)


def can_ask(name: str, setup: Setup) -> bool:
    return SKILLS[name].applies(setup, evidence(setup))


NITRATE = cell("KNO3", 0.25, dye="bromothymol blue", seconds=1200)
COPPER = cell("CuSO4", 0.25)
REFINING = cell("CuSO4", 0.25, "copper")
BRINE = cell("NaCl", 2.0, "graphite")
WEAK_BRINE = cell("NaCl", 0.1, "graphite")
ZINC_ON_CARBON = cell("ZnSO4", 0.25, "graphite")
ALKALI = cell("NaOH", 0.25, dye="litmus", seconds=1200)
CARBON_IN_ALKALI = cell("NaOH", 0.25, "graphite", seconds=1200)
IODIDE = cell("KI", 0.2, dye="phenolphthalein")
CARBONATE = cell("Na2CO3", 0.25)
ALUMINIUM = cell("Al2(SO4)3", 0.08, dye="phenolphthalein")
SULFATE = cell("K2SO4", 0.2)
HYDROGENCARBONATE = cell("NaHCO3", 0.25)
PERCHLORATE = cell("NaClO4", 0.2, dye="bromothymol blue", seconds=1200)


@pytest.mark.parametrize(
    ("name", "setup", "fits"),
    [
        ("stoichiometry.deposit", NITRATE, False),  # nothing plates
        ("stoichiometry.deposit", COPPER, True),
        ("stoichiometry.deposit", ZINC_ON_CARBON, False),  # zinc and hydrogen side by side
        ("stoichiometry.dissolved", COPPER, False),
        ("stoichiometry.dissolved", REFINING, True),
        ("stoichiometry.gas_volume", REFINING, False),
        ("stoichiometry.gas_volume", NITRATE, True),
        ("stoichiometry.gas_ratio", NITRATE, True),
        ("stoichiometry.gas_ratio", CARBON_IN_ALKALI, False),  # oxygen burns the graphite
        ("stoichiometry.gas_ratio", CARBONATE, False),  # carbon dioxide comes with the oxygen
        ("stoichiometry.gas_ratio", IODIDE, False),
        ("stoichiometry.gas_ratio", WEAK_BRINE, False),
        ("stoichiometry.hydrate", NITRATE, False),
        ("stoichiometry.hydrate", COPPER, True),
        ("stoichiometry.weighing", cell("HCl", 1.5), False),  # no solid to weigh
        ("redox.half_reaction", WEAK_BRINE, True),  # at the cathode
        ("redox.oxidised_reduced", NITRATE, False),  # water is both
        ("redox.oxidised_reduced", COPPER, True),
        ("redox.discharged_ion", WEAK_BRINE, True),
        ("redox.spontaneous_electrodes", NITRATE, False),
        ("redox.spontaneous_electrodes", COPPER, True),
        ("redox.least_voltage", NITRATE, False),  # 1.23 V whatever the salt
        ("redox.least_voltage", COPPER, True),
        ("redox.gibbs_energy", REFINING, False),  # no voltage is needed
        ("balancing.overall", REFINING, False),
        ("balancing.overall", WEAK_BRINE, False),
        ("balancing.overall", HYDROGENCARBONATE, False),  # more than one equation is right
        ("balancing.equal_electrons", ZINC_ON_CARBON, False),
        ("acid_base.arm_colour", SULFATE, False),  # no indicator
        ("acid_base.arm_colour", NITRATE, True),
        ("acid_base.ion_behind_colour", ALUMINIUM, False),  # colourless is no colour
        ("acid_base.ion_behind_colour", COPPER, True),  # the blue of the copper ion
        ("acid_base.arm_ph", NITRATE, True),
        ("acid_base.arm_ph", SULFATE, False),  # depends on the model
        ("acid_base.arm_ph", cell("HCl", 1.5), False),  # off the scale
        ("acid_base.neutralising", cell("AgNO3", 0.1), False),  # hydroxide precipitates silver
        ("acid_base.neutralising", SULFATE, True),
        ("acid_base.mixed_arms", cell("(NH4)2SO4", 0.25), False),  # a buffer
        ("acid_base.mixed_arms", COPPER, True),
        ("acid_base.salt_solution", SULFATE, False),  # answers differ
        ("acid_base.salt_solution", ALKALI, False),  # no salt
        ("acid_base.salt_solution", CARBONATE, True),
        ("acid_base.hydrolysis", NITRATE, False),
        ("acid_base.hydrolysis", HYDROGENCARBONATE, True),
        ("acid_base.indicator_choice", NITRATE, True),
        ("acid_base.indicator_choice", COPPER, False),
        ("reaction_types.overall_type", REFINING, False),
        ("reaction_types.gas_test", REFINING, False),
        ("reaction_types.follow_up_type", PERCHLORATE, True),
        ("stoichiometry.whole_chain", NITRATE, True),
        ("stoichiometry.whole_chain", ALKALI, True),
        ("stoichiometry.whole_chain", REFINING, False),
    ],
)
def test_where_a_skill_may_be_asked(name: str, setup: Setup, fits: bool) -> None:
    assert can_ask(name, setup) == fits


def test_an_arm_that_a_metal_ion_holds_acidic_is_not_asked_for_its_base() -> None:
    """Aluminium ions take up the hydroxide of the cathode arm until all are used up."""
    arms = {make_question("acid_base.arm_colour", "first_year", seed, ALUMINIUM).prompt for seed in range(20)}
    assert arms
    assert not any("arm of the cathode" in prompt for prompt in arms)


def test_amounts_are_asked_only_where_the_run_lasts_its_time() -> None:
    """A tube that is full before the time is over makes the charge another than current times time."""
    full = Setup("KNO3", 250.0, "platinum", "platinum", None, 0.15, 3600.0)
    assert evidence(full).ends_at is not None
    for name in (
        "electrons",
        "product_amount",
        "gas_volume",
        "time_needed",
        "symbols",
        "yield",
        "whole_chain",
    ):
        assert not can_ask(f"stoichiometry.{name}", full)
