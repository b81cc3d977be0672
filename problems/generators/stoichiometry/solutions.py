"""Making the electrolyte: how much salt, or hydrate, to weigh out, and diluting a stock solution."""

from random import Random

from problems.cell.evidence import Evidence
from problems.cell.setup import Setup
from problems.chemistry.formula import WATER
from problems.generators import build, say
from problems.question import Level, Made, Skill
from problems.words import _, decimals, number

VOLUMES = tuple(range(100, 951, 50))
NO_SOLID = frozenset({"H2SO4", "HCl"})


def weighing_applies(setup: Setup, cell: Evidence) -> bool:
    return cell.use != "refused" and setup.electrolyte not in NO_SOLID


def hydrate_applies(setup: Setup, cell: Evidence) -> bool:
    return cell.use != "refused" and bool(setup.row.hydrates)


def dilution_applies(setup: Setup, cell: Evidence) -> bool:
    return cell.use != "refused"


def make_weighing(setup: Setup, cell: Evidence, level: Level, rng: Random) -> Made:
    """The mass of anhydrous salt for a flask of the solution."""
    flask = rng.choice(VOLUMES)
    molar = round(setup.row.formula.molar_mass, 1)
    grams = setup.molarity * flask / 1000 * molar
    part = build.quantity(
        _(
            "What mass of anhydrous {salt} is needed for {flask} mL of this solution? M = {molar} g/mol."
        ).format(salt=say.uni(setup.electrolyte), flask=decimals(flask, 0), molar=decimals(molar, 1)),
        grams,
        "g",
        _hints(),
        _solution(setup, flask, molar, grams),
        {
            "millilitres_for_litres": grams * 1000,
            "volume_left_out": setup.molarity * molar,
            "divided_by_volume": setup.molarity / (flask / 1000) * molar,
            "divided_by_molar_mass": setup.molarity * flask / 1000 / molar,
        },
    )
    return Made.single(part, say.cell(setup))


def make_hydrate(setup: Setup, cell: Evidence, level: Level, rng: Random) -> Made:
    """The mass of a hydrate for a flask of the solution."""
    flask = rng.choice(VOLUMES)
    solid = setup.solid if setup.hydrate else rng.choice(setup.row.hydrates)
    molar, dry = round(solid.molar_mass, 1), round(setup.row.formula.molar_mass, 1)
    amount = setup.molarity * flask / 1000
    part = build.quantity(
        _(
            "The bottle holds {hydrate}. What mass of it is needed for {flask} mL of this solution? "
            "M({salt}) = {dry} g/mol, M(H₂O) = {water} g/mol."
        ).format(
            hydrate=say.uni(solid),
            flask=decimals(flask, 0),
            salt=say.uni(setup.electrolyte),
            dry=decimals(dry, 1),
            water=decimals(WATER.molar_mass, 2),
        ),
        amount * molar,
        "g",
        (
            _("The crystals bring their own water along: it is weighed too."),
            _("Find the amount of salt first; one unit of crystal holds one unit of salt."),
            _("Add the molar mass of all the crystal water to that of the salt before multiplying."),
        ),
        _solution(setup, flask, molar, amount * molar),
        {
            "anhydrous_mass_for_the_hydrate": amount * dry,
            "one_water_only": amount * (dry + WATER.molar_mass),
            "crystal_water_taken_off": amount * max(2 * dry - molar, 1.0),
            "volume_left_out": setup.molarity * molar,
            "divided_by_volume": setup.molarity / (flask / 1000) * molar,
        },
    )
    return Made.single(part, say.cell(setup))


def _hints() -> tuple[str, str, str]:
    return (
        _("The concentration says what amount of salt is in one litre."),
        _("Turn the volume into litres to find the amount in this flask."),
        _("Amount times molar mass is the mass to weigh out."),
    )


def _solution(setup: Setup, flask: int, molar: float, grams: float) -> tuple[str, ...]:
    amount = setup.molarity * flask / 1000
    return (
        _("n = c V = {concentration} × {litres} L = {amount} mol").format(
            concentration=say.concentration(setup), litres=decimals(flask / 1000, 3), amount=number(amount)
        ),
        _("M = {molar} g/mol for the solid that is weighed").format(molar=decimals(molar, 1)),
        _("m = n M = {amount} mol × {molar} g/mol = {mass} g").format(
            amount=number(amount), molar=decimals(molar, 1), mass=number(grams)
        ),
    )


def make_dilution(setup: Setup, cell: Evidence, level: Level, rng: Random) -> Made:
    """The volume of a stock solution that is diluted to this one."""
    flask = rng.choice(VOLUMES)
    strong = round(min(setup.molarity * rng.uniform(2, 6), setup.row.solubility * 0.95), 2)
    volume = setup.molarity * flask / strong
    part = build.quantity(
        _(
            "What volume of a {stock} mol/L stock solution is diluted with water to {flask} mL of this "
            "solution?"
        ).format(stock=number(strong), flask=decimals(flask, 0)),
        volume,
        "mL",
        (
            _("Adding water changes the volume, but not the amount of salt."),
            _("So concentration times volume is the same before and after."),
            _("Solve that for the smaller volume, that of the stronger solution."),
        ),
        (
            _("n = c V = {concentration} × {flask} mL = {amount} mmol, before and after").format(
                concentration=say.concentration(setup),
                flask=decimals(flask, 0),
                amount=number(setup.molarity * flask),
            ),
            _("V = {amount} mmol / {stock} mol/L = {volume} mL").format(
                amount=number(setup.molarity * flask), stock=number(strong), volume=number(volume)
            ),
        ),
        {
            "ratio_turned_over": strong * flask / setup.molarity,
            "water_for_stock": flask - volume,
            "amount_for_volume": setup.molarity * flask,
            "concentrations_multiplied": setup.molarity * strong * flask,
            "stock_on_top_of_water": volume * flask / max(flask - volume, 1.0),
        },
    )
    return Made.single(part, say.cell(setup))


SKILLS: tuple[Skill, ...] = (
    Skill(
        "stoichiometry.weighing",
        "stoichiometry",
        "Making the solution",
        ("first_year",),
        "quantity",
        weighing_applies,
        make_weighing,
    ),
    Skill(
        "stoichiometry.hydrate",
        "stoichiometry",
        "Making the solution from a hydrate",
        ("first_year",),
        "quantity",
        hydrate_applies,
        make_hydrate,
        ("stoichiometry.weighing",),
    ),
    Skill(
        "stoichiometry.dilution",
        "stoichiometry",
        "Diluting a stock solution",
        ("first_year",),
        "quantity",
        dilution_applies,
        make_dilution,
    ),
)
