"""The whole chain on one cell: from what is seen to ions, half-reactions, their sum, and amounts."""

from dataclasses import replace
from math import gcd
from random import Random

from problems.cell.evidence import Electrode, Evidence
from problems.cell.setup import Setup
from problems.chemistry.equation import Equation
from problems.chemistry.formula import HYDROGEN_ION, WATER
from problems.generators import amounts, build, conventional, say, seen
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
    """Six to nine parts: ion, atoms, charge, halves, factors, sum, electrons, amount, volume or mass."""
    changed = rng.choice(amounts.made_any(cell, ASKS))
    parts = _first_parts(setup, cell)
    places: dict[str, int] = {}
    for electrode in cell.electrodes:
        if electrode is _stepwise(cell):
            parts += [_atoms(electrode), halves.charge_part(electrode)]
        else:
            parts.append(half_reaction.part(setup, cell, electrode))
        places[electrode.role] = len(parts) - 1
    cathode, anode = places["cathode"], places["anode"]
    parts.append(_carrying(_factors(cell), (cathode, anode), f"factors(part{cathode}, part{anode})"))
    parts.append(_carrying(_sum(cell), (cathode, anode), f"overall(part{cathode}, part{anode})"))
    parts.append(electrons.electrons_part(setup))
    total, half = len(parts) - 1, places[changed.electrode.role]
    amount = electrons.product_part(setup, changed)
    parts.append(_carrying(amount, (total, half), f"part{total} * share(part{half})"))
    parts.append(_measure(setup, changed, total + 1))
    return Made(tuple(parts), say.cell(setup))


def _stepwise(cell: Evidence) -> Electrode | None:
    """The electrode whose half-reaction is built up step by step: one that makes an ion of water."""
    return next((each for each in reversed(cell.electrodes) if each.ion is not None), None)


def _first_parts(setup: Setup, cell: Evidence) -> list[Part]:
    """The ion behind a colour, in the arm that is built up step by step if it may be asked there."""
    arms = sorted(cell.electrodes, key=lambda each: each is not _stepwise(cell))
    behind = next((found for arm in arms if (found := arm_behind(setup, cell, arm))), None)
    return [ion_part(setup, behind)] if behind else []


def _atoms(electrode: Electrode) -> Part:
    """From the skeleton to balanced atoms: water to the ion made from it."""
    half = seen.half(electrode)
    ion, gas = conventional.species(electrode.ion or HYDROGEN_ION), seen.gas(electrode)
    water, made = int(dict(half.left)[WATER]), int(dict(half.right)[ion])
    divisor = gcd(water, made)
    skeleton = Equation.of({WATER: 1}, {gas: 1, ion: 1})
    names = {"water": say.uni(WATER), "ion": say.uni(ion), "where": say.electrode(electrode.role)}
    return build.ratio(
        _(
            "The skeleton at the {where} is {skeleton}, electrons left out. In what ratio must {water} and "
            "{ion} stand, {water} first, so that all atoms agree?"
        ).format(skeleton=say.uni(skeleton), **names),
        (water // divisor, made // divisor),
        (
            _("Count one element after the other on both sides; leave the charge for later."),
            _("Begin with oxygen, then settle hydrogen."),
            _("Every hydrogen atom of the water must turn up again, in the gas or in the ion."),
        ),
        (
            _(
                "{first} {water} hold as many atoms of each element as {gas} and {second} {ion} together."
            ).format(first=water, second=made, gas=say.uni(gas), **names),
            _("So {water} and {ion} stand as {first} : {second}.").format(
                first=water // divisor, second=made // divisor, **names
            ),
        ),
        {
            "ratio_turned_over": (made, water),
            "numbers_left_out": (1, 1),
            "one_product_overlooked": (2, 1),
        },
        skill="balancing.atoms",
    )


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
