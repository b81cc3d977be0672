"""Which gas forms at an electrode, and which test shows it."""

from random import Random

from problems.cell import tables
from problems.cell.evidence import Electrode, Evidence
from problems.cell.setup import Setup
from problems.chemistry.formula import Formula
from problems.generators import build, say, seen
from problems.question import Level, Made, Option, Skill
from problems.words import _

SHOWN = ("H2", "O2", "Cl2", "CO2")
SWAPPED = {"H2": "O2", "O2": "H2", "Cl2": "H2", "CO2": "O2"}
"""Whose test is wrongly named with a gas."""


def applies(setup: Setup, cell: Evidence) -> bool:
    return bool(_electrodes(cell))


def _electrodes(cell: Evidence) -> list[Electrode]:
    return [
        each
        for each in cell.electrodes
        if {"product", "gas_amount"} <= each.fair and each.gas is not None and each.gas.plain in SHOWN
    ]


def make(setup: Setup, cell: Evidence, level: Level, rng: Random) -> Made:
    """The gas at one electrode with its test."""
    found = _electrodes(cell)
    # Hydrogen forms in most cells: the other gases get their share by being drawn more often.
    electrode = rng.choices(found, [3 if each.role == "cathode" else 4 for each in found])[0]
    gas = seen.gas(electrode).plain
    other = next((each.gas for each in cell.electrodes if each is not electrode), None)
    options = [
        Option(name, _text(name, name), "" if name == gas else _why_not(name, electrode)) for name in SHOWN
    ]
    options.append(
        Option(
            _swapped(gas),
            _text(gas, SWAPPED[gas]),
            _("The gas is right, but this is the test for another gas."),
        )
    )
    part = build.choice(
        _("Which gas is made at the {where}, and which test shows it?").format(
            where=say.electrode(electrode.role)
        ),
        options,
        (
            _("At a cathode look for what can take electrons, at an anode for what can give them."),
            _("Water can give a gas at either electrode, a different one at each."),
            _(
                "One gas burns, one makes things burn better, one bleaches and one clouds: which belongs "
                "here?"
            ),
        ),
        _solution(electrode, gas),
        rng,
        {
            "gas_of_the_other_electrode": [other.plain] if other is not None and other.plain in SHOWN else [],
            "test_of_another_gas": [_swapped(gas)],
        },
    )
    return Made.single(part, say.cell(setup))


def _swapped(gas: str) -> str:
    return f"{gas}_wrong_test"


def _text(gas: str, test: str) -> str:
    return _("{gas}: {test}.").format(
        gas=say.product_name(Formula.parse(gas)).capitalize(),
        test=_(tables.gases()[Formula.parse(test)].test),
    )


def _why_not(name: str, electrode: Electrode) -> str:
    if name == "CO2":
        return _("Nothing at this electrode holds carbon that could give this gas.")
    if (name == "H2") != (electrode.role == "cathode"):
        return (
            _("This gas comes from taking electrons, which does not happen at the anode.")
            if name == "H2"
            else _("This gas comes from giving electrons, which does not happen at the cathode.")
        )
    return _("This electrode discharges something else here. {why}").format(why=electrode.why)


def _solution(electrode: Electrode, gas: str) -> tuple[str, ...]:
    return (
        electrode.why,
        say.uni(seen.half(electrode)),
        _("The gas is {gas}. Test: {test}.").format(
            gas=say.product_name(Formula.parse(gas)), test=_(tables.gases()[Formula.parse(gas)].test)
        ),
    )


SKILLS: tuple[Skill, ...] = (
    Skill(
        "reaction_types.gas_test",
        "reaction_types",
        "Which gas, which test",
        ("first_year",),
        "choice",
        applies,
        make,
    ),
)
