"""The whole chain on one cell: from what is seen to ions, half-reactions, their sum, and amounts."""

from dataclasses import replace
from random import Random

from problems.cell.evidence import Evidence
from problems.cell.setup import Setup
from problems.generators import amounts, build, say
from problems.generators.acid_base.colour import arm_behind, ion_part
from problems.generators.balancing import halves, sums
from problems.generators.redox import half_reaction
from problems.generators.stoichiometry import electrons, gases
from problems.question import Level, Made, Part, Skill
from problems.words import _, number

ASKS = ("gas_volume", "deposit")


def applies(setup: Setup, cell: Evidence) -> bool:
    return sums.applies(setup, cell) and bool(amounts.made_any(cell, ASKS))


def make(setup: Setup, cell: Evidence, level: Level, rng: Random) -> Made:
    """Six to eight parts, each on the results of those before it."""
    changed = rng.choice(amounts.made_any(cell, ASKS))
    behind = next((found for arm in cell.electrodes if (found := arm_behind(setup, cell, arm))), None)
    parts = [ion_part(setup, behind)] if behind else []
    cathode = len(parts)
    anode, total = cathode + 1, cathode + 4
    parts += [half_reaction.part(setup, cell, each) for each in cell.electrodes]
    parts.append(_carrying(_factors(cell), (cathode, anode), f"factors(part{cathode}, part{anode})"))
    parts.append(_carrying(_sum(cell), (cathode, anode), f"overall(part{cathode}, part{anode})"))
    parts.append(electrons.electrons_part(setup))
    half = cathode if changed.electrode.role == "cathode" else anode
    amount = electrons.product_part(setup, changed)
    parts.append(_carrying(amount, (total, half), f"part{total} * share(part{half})"))
    parts.append(_measure(setup, changed, total + 1))
    return Made(tuple(parts), say.cell(setup))


def _carrying(part: Part, carries: tuple[int, ...], formula: str) -> Part:
    return replace(part, carries=carries, formula=formula)


def _factors(cell: Evidence) -> Part:
    """As the question of its own, without the half-reactions, which the student has found."""
    asked = _(
        "In what ratio must your half-reactions be taken, cathode first, so that all electrons given are "
        "taken up?"
    )
    return replace(halves.equal_part(cell, turned=False), prompt=asked)


def _sum(cell: Evidence) -> Part:
    prompt = _(
        "Add your half-reactions for equal electrons, join H⁺ and OH⁻ to water, cancel, and write the "
        "overall equation in smallest whole numbers."
    )
    return sums.sum_part(cell, prompt)


def _measure(setup: Setup, changed: amounts.Changed, amount: int) -> Part:
    """The last part: the volume of the gas or the mass of the metal."""
    if changed.electrode.gas is not None:
        factor = say.GAS_CONSTANT * setup.temperature / setup.pressure * gases.MILLILITRES
        return _carrying(gases.dry_part(setup, changed), (amount,), f"part{amount} * {factor!r}")
    molar = round(changed.substance.molar_mass, 2)
    return _carrying(_mass(changed, molar), (amount,), f"part{amount} * {molar!r}")


def _mass(changed: amounts.Changed, molar: float) -> Part:
    grams = changed.amount * molar
    return build.quantity(
        _("What is the mass of that amount of {metal}? M = {molar} g/mol.").format(
            metal=say.product_name(changed.substance), molar=number(molar, 4)
        ),
        grams,
        "g",
        (
            _("You have the amount already."),
            _("The molar mass is the mass of one mole."),
            _("Multiply the amount by the molar mass."),
        ),
        (
            _("m = n M = {amount} mol × {molar} g/mol = {mass} g").format(
                amount=number(changed.amount), molar=number(molar, 4), mass=number(grams)
            ),
        ),
        {
            "mass_over_molar_mass": changed.amount / molar,
            "electrons_per_molecule_forgotten": grams * changed.each,
            "multiplied_by_electrons": grams * changed.each**2,
            "minutes_for_seconds": grams / 60,
            "two_electrons_for_one": grams / 2,
        },
        skill="stoichiometry.deposit",
    )


SKILLS: tuple[Skill, ...] = (
    Skill(
        "stoichiometry.whole_chain",
        "stoichiometry",
        "The whole chain",
        ("first_year",),
        "quantity",
        applies,
        make,
        (
            "acid_base.ion_behind_colour",
            "balancing.overall",
            "stoichiometry.gas_volume",
            "stoichiometry.deposit",
        ),
        spread="reaction",
    ),
)
