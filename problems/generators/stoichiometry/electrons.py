"""From current and time to the amount of electrons, and on to the amount of a product."""

from random import Random

from problems.cell.evidence import Evidence
from problems.cell.setup import Setup
from problems.generators import amounts, build, say
from problems.question import Level, Made, Part, Skill
from problems.words import _

ASKS = ("gas_amount", "deposit")


def electrons_apply(setup: Setup, cell: Evidence) -> bool:
    return cell.charge is not None and cell.ends_at is None


def make_electrons(setup: Setup, cell: Evidence, level: Level, rng: Random) -> Made:
    """The amount of electrons that pass in the run."""
    return Made.single(electrons_part(setup), say.cell(setup))


def electrons_part(setup: Setup) -> Part:
    """The part that asks for the amount of electrons; chains use it too."""
    amount = setup.current * setup.time / say.FARADAY
    return build.quantity(
        _("What amount of electrons passes through the wire in this time? F = {faraday}.").format(
            faraday=say.faraday()
        ),
        amount,
        "mol",
        _electron_hints(),
        (amounts.charge_line(setup), amounts.electrons_line(setup)),
        {
            "minutes_for_seconds": amount / 60,
            "charge_times_faraday": setup.current * setup.time * say.FARADAY,
            "current_over_time": setup.current / setup.time / say.FARADAY,
            "time_left_out": setup.current / say.FARADAY,
            "electrons_doubled": amount * 2,
        },
        asked="n(e)",
        skill="stoichiometry.electrons",
    )


def _electron_hints() -> tuple[str, str, str]:
    return (
        _("First find the charge that passes; current says how much of it passes in each second."),
        _("The Faraday constant is the charge of one mole of electrons."),
        _("Turn the time into seconds, multiply by the current, then divide by the Faraday constant."),
    )


def product_applies(setup: Setup, cell: Evidence) -> bool:
    return bool(amounts.made_any(cell, ASKS))


def make_product(setup: Setup, cell: Evidence, level: Level, rng: Random) -> Made:
    """The amount of one product of the run."""
    changed = rng.choice(amounts.made_any(cell, ASKS))
    return Made.single(product_part(setup, changed), say.cell(setup))


def product_part(setup: Setup, changed: amounts.Changed) -> Part:
    """The part that asks for the amount of a product; chains use it too."""
    electrons = setup.current * setup.time / say.FARADAY
    return build.quantity(
        _("What amount of {product} is made at the {where}? F = {faraday}.").format(
            product=say.product_name(changed.substance),
            where=say.electrode(changed.electrode.role),
            faraday=say.faraday(),
        ),
        changed.amount,
        "mol",
        _product_hints(),
        (
            amounts.half_line(changed),
            amounts.charge_line(setup),
            amounts.electrons_line(setup),
            amounts.amount_line(setup, changed),
        ),
        {
            "minutes_for_seconds": changed.amount / 60,
            "electrons_per_molecule_forgotten": electrons,
            "multiplied_by_electrons": electrons * changed.electrons,
            "electrons_of_the_other_electrode": electrons * _other_share(changed),
            "mass_for_amount": changed.amount * changed.substance.molar_mass,
        },
        skill="stoichiometry.product_amount",
    )


def _other_share(changed: amounts.Changed) -> float:
    """The share that a two-electron product has where four belong here, and the reverse."""
    return 0.25 if changed.each == 2 else 0.5


def _product_hints() -> tuple[str, str, str]:
    return (
        _("Start with the charge, then the amount of electrons."),
        _("The half-reaction at this electrode says how many electrons go into one particle of the product."),
        _("Divide the amount of electrons by that number; seconds, not minutes, belong with amperes."),
    )


SKILLS: tuple[Skill, ...] = (
    Skill(
        "stoichiometry.electrons",
        "stoichiometry",
        "Charge to amount of electrons",
        ("first_year",),
        "quantity",
        electrons_apply,
        make_electrons,
    ),
    Skill(
        "stoichiometry.product_amount",
        "stoichiometry",
        "Amount of a product",
        ("first_year",),
        "quantity",
        product_applies,
        make_product,
        ("stoichiometry.electrons", "redox.half_reaction"),
    ),
)
