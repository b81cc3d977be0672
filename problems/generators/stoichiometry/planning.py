"""The time or the current that an amount wanted takes."""

from random import Random

from problems.cell.evidence import Evidence
from problems.cell.setup import Setup
from problems.generators import amounts, build, say
from problems.question import Level, Made, Skill
from problems.words import _, decimals, number

ASKS = ("gas_amount", "deposit")


def applies(setup: Setup, cell: Evidence) -> bool:
    return bool(amounts.made_any(cell, ASKS))


def _wanted(rng: Random, changed: amounts.Changed) -> float:
    """An amount near what the run makes [mol], in whole thousandths of a millimole with three figures."""
    return round(changed.amount * rng.uniform(0.5, 1.0), 5)


def make_time(setup: Setup, cell: Evidence, level: Level, rng: Random) -> Made:
    """How long the cell must run at its current."""
    changed = rng.choice(amounts.made_any(cell, ASKS))
    wanted = _wanted(rng, changed)
    charge = wanted * changed.each * say.FARADAY
    minutes = charge / setup.current / 60
    part = build.quantity(
        _(
            "At this current, after what time have {amount} mmol of {product} been made at the {where}? F = "
            "{faraday}."
        ).format(
            amount=number(wanted * 1000),
            product=say.product_name(changed.substance),
            where=say.electrode(changed.electrode.role),
            faraday=say.faraday(),
        ),
        minutes,
        "min",
        _hints(),
        (
            *_back(changed, wanted, charge),
            _("t = Q/I = {charge} C / {current} = {seconds} s = {minutes} min").format(
                charge=number(charge),
                current=say.current(setup),
                seconds=number(minutes * 60),
                minutes=number(minutes),
            ),
        ),
        {
            "electrons_per_molecule_forgotten": minutes / changed.each,
            "divided_by_electrons": minutes / changed.each**2,
            "seconds_for_minutes": minutes * 60,
            "multiplied_by_current": charge * setup.current / 60,
            "half_the_electrons": minutes / 2,
        },
    )
    return Made.single(part, say.cell(setup))


def make_current(setup: Setup, cell: Evidence, level: Level, rng: Random) -> Made:
    """What current makes an amount wanted in the given time."""
    changed = rng.choice(amounts.made_any(cell, ASKS))
    wanted = _wanted(rng, changed)
    charge = wanted * changed.each * say.FARADAY
    current = charge / setup.time
    part = build.quantity(
        _(
            "In the same time only {amount} mmol of {product} are wanted at the {where}. To what current "
            "must the supply be set? F = {faraday}."
        ).format(
            amount=number(wanted * 1000),
            product=say.product_name(changed.substance),
            where=say.electrode(changed.electrode.role),
            faraday=say.faraday(),
        ),
        current,
        "A",
        _hints(),
        (
            *_back(changed, wanted, charge),
            _("I = Q/t = {charge} C / {time} s = {current} A").format(
                charge=number(charge), time=decimals(setup.time, 0), current=number(current)
            ),
        ),
        {
            "electrons_per_molecule_forgotten": current / changed.each,
            "divided_by_electrons": current / changed.each**2,
            "minutes_for_seconds": current * 60,
            "multiplied_by_time": charge * setup.time,
            "half_the_electrons": current / 2,
        },
    )
    return Made.single(part, say.cell(setup))


def _hints() -> tuple[str, str, str]:
    return (
        _("Go the usual way backwards: from the product to the electrons, from those to the charge."),
        _("The half-reaction says how many electrons each particle of the product takes or gives."),
        _("Charge is current times time; solve that for what is asked, with the time in seconds."),
    )


def _back(changed: amounts.Changed, wanted: float, charge: float) -> tuple[str, ...]:
    electrons = wanted * changed.each
    return (
        amounts.half_line(changed),
        _("n(e⁻) = n({substance}) × {electrons}/{per} = {moles} mol").format(
            substance=say.uni(changed.substance),
            electrons=changed.electrons,
            per=changed.per_event,
            moles=number(electrons),
        ),
        _("Q = n(e⁻) F = {moles} mol × {faraday} = {charge} C").format(
            moles=number(electrons), faraday=say.faraday(), charge=decimals(charge, 1)
        ),
    )


SKILLS: tuple[Skill, ...] = (
    Skill(
        "stoichiometry.time_needed",
        "stoichiometry",
        "Time needed",
        ("first_year",),
        "quantity",
        applies,
        make_time,
        ("stoichiometry.product_amount",),
    ),
    Skill(
        "stoichiometry.current_needed",
        "stoichiometry",
        "Current needed",
        ("first_year",),
        "quantity",
        applies,
        make_current,
        ("stoichiometry.product_amount",),
    ),
)
