"""The mass of metal deposited on a cathode or dissolved from an anode."""

from collections.abc import Callable
from random import Random

from problems.cell.evidence import Evidence
from problems.cell.setup import Setup
from problems.generators import amounts, build, say
from problems.question import Level, Made, Skill
from problems.words import _, mark, number


def deposit_applies(setup: Setup, cell: Evidence) -> bool:
    return bool(amounts.made(cell, "deposit"))


def loss_applies(setup: Setup, cell: Evidence) -> bool:
    return bool(amounts.made(cell, "mass_change"))


def make_deposit(setup: Setup, cell: Evidence, level: Level, rng: Random) -> Made:
    """The mass of metal on the cathode."""
    (changed,) = amounts.made(cell, "deposit")
    prompt = _("What mass of {metal} is deposited on the cathode? M = {molar_mass} g/mol, F = {faraday}.")
    return _mass(setup, changed, prompt)


def make_loss(setup: Setup, cell: Evidence, level: Level, rng: Random) -> Made:
    """The mass that the anode loses."""
    (changed,) = amounts.made(cell, "mass_change")
    prompt = _("What mass of {metal} does the anode lose? M = {molar_mass} g/mol, F = {faraday}.")
    return _mass(setup, changed, prompt)


def _mass(setup: Setup, changed: amounts.Changed, prompt: str) -> Made:
    molar = round(changed.substance.molar_mass, 2)
    grams = changed.amount * molar
    electrons = setup.current * setup.time / say.FARADAY
    part = build.quantity(
        prompt.format(
            metal=say.product_name(changed.substance), molar_mass=number(molar, 4), faraday=say.faraday()
        ),
        grams,
        "g",
        _hints(changed),
        (
            amounts.half_line(changed),
            amounts.charge_line(setup),
            amounts.electrons_line(setup),
            amounts.amount_line(setup, changed),
            _("m = n M = {amount} mol × {molar} g/mol = {mass} g").format(
                amount=number(changed.amount), molar=number(molar, 4), mass=number(grams)
            ),
        ),
        {
            "minutes_for_seconds": grams / 60,
            "electrons_per_molecule_forgotten": electrons * molar,
            "multiplied_by_electrons": electrons * changed.electrons * molar,
            "mass_over_molar_mass": changed.amount / molar,
            "two_electrons_for_one": electrons / 2 * molar,
            "mass_of_the_salt": changed.amount * setup.row.formula.molar_mass,
        },
        skill="",
    )
    return Made.single(part, say.cell(setup))


def _hints(changed: amounts.Changed) -> tuple[str, str, str]:
    return (
        _("Charge, then electrons, then metal, then mass: one step at a time."),
        _("The charge on the metal ion says how many electrons one atom needs."),
        _("Divide the amount of electrons by that number and multiply by the molar mass of the metal alone."),
    )


def _skill(
    step: str,
    title: str,
    applies: Callable[[Setup, Evidence], bool],
    make: Callable[[Setup, Evidence, Level, Random], Made],
) -> Skill:
    below = ("stoichiometry.product_amount",)
    return Skill(
        f"stoichiometry.{step}", "stoichiometry", title, ("first_year",), "quantity", applies, make, below
    )


SKILLS: tuple[Skill, ...] = (
    _skill("deposit", mark("Mass deposited"), deposit_applies, make_deposit),
    _skill("dissolved", mark("Mass dissolved"), loss_applies, make_loss),
)
