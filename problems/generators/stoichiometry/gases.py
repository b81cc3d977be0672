"""The volume of gas made, dry or collected over water."""

from random import Random

from problems.cell.evidence import Evidence
from problems.cell.setup import Setup
from problems.cell.water import vapour_pressure
from problems.generators import amounts, build, say
from problems.question import Level, Made, Part, Skill
from problems.words import _, decimals, number

MILLILITRES = 1e6


def volume_applies(setup: Setup, cell: Evidence) -> bool:
    return bool(amounts.made(cell, "gas_volume"))


def make_dry(setup: Setup, cell: Evidence, level: Level, rng: Random) -> Made:
    """The volume of dry gas made at one electrode."""
    changed = rng.choice(amounts.made(cell, "gas_volume"))
    return Made.single(dry_part(setup, changed), say.cell(setup))


def dry_part(setup: Setup, changed: amounts.Changed) -> Part:
    """The part that asks for a dry volume; chains use it too."""
    volume = _volume(changed.amount, setup.temperature, setup.pressure)
    electrons = setup.current * setup.time / say.FARADAY
    return build.quantity(
        _(
            "What volume of dry {gas} is made at the {where}, at the temperature and pressure given? F = "
            "{faraday}, R = {gas_constant}."
        ).format(
            gas=say.product_name(changed.substance),
            where=say.electrode(changed.electrode.role),
            faraday=say.faraday(),
            gas_constant=say.gas_constant(),
        ),
        volume,
        "mL",
        _dry_hints(),
        (*_to_amount(setup, changed), _gas_line(setup, changed, setup.pressure, volume)),
        {
            "celsius_for_kelvin": _volume(changed.amount, setup.temperature - 273.15, setup.pressure),
            "minutes_for_seconds": volume / 60,
            "electrons_per_molecule_forgotten": _volume(electrons, setup.temperature, setup.pressure),
            "multiplied_by_electrons": _volume(
                electrons * changed.electrons, setup.temperature, setup.pressure
            ),
            "molar_volume_at_zero_celsius": changed.amount * 22_400,
        },
        skill="stoichiometry.gas_volume",
    )


def _volume(amount: float, temperature: float, pressure: float) -> float:
    return amount * say.GAS_CONSTANT * temperature / pressure * MILLILITRES


def _to_amount(setup: Setup, changed: amounts.Changed) -> tuple[str, ...]:
    return (
        amounts.half_line(changed),
        amounts.charge_line(setup),
        amounts.electrons_line(setup),
        amounts.amount_line(setup, changed),
    )


def _gas_line(setup: Setup, changed: amounts.Changed, pressure: float, volume: float) -> str:
    return _(
        "V = n R T/p = {amount} mol × {constant} × {temperature} K / {pressure} Pa = {volume} mL"
    ).format(
        amount=number(changed.amount),
        constant=say.gas_constant(),
        temperature=decimals(setup.temperature, 1),
        pressure=decimals(pressure, 0),
        volume=number(volume),
    )


def _dry_hints() -> tuple[str, str, str]:
    return (
        _("Find the amount of gas first, by way of charge and electrons."),
        _("The gas law then turns an amount into a volume; its temperature counts from absolute zero."),
        _("In the unit of R given, pressure goes in pascals and the volume comes out in cubic metres."),
    )


def make_wet(setup: Setup, cell: Evidence, level: Level, rng: Random) -> Made:
    """The volume collected over water, levels made equal."""
    changed = rng.choice(amounts.made(cell, "gas_volume"))
    vapour = round(vapour_pressure(setup.temperature), -1)
    own = setup.pressure - vapour
    volume = _volume(changed.amount, setup.temperature, own)
    electrons = setup.current * setup.time / say.FARADAY
    part = build.quantity(
        _(
            "The {gas} from the {where} is collected over water, none dissolves, and the levels are made "
            "equal; the vapour pressure of water is {vapour} kPa. What volume is read? F = {faraday}, R = "
            "{gas_constant}."
        ).format(
            gas=say.product_name(changed.substance),
            where=say.electrode(changed.electrode.role),
            vapour=number(vapour / 1000),
            faraday=say.faraday(),
            gas_constant=say.gas_constant(),
        ),
        volume,
        "mL",
        _wet_hints(),
        (
            *_to_amount(setup, changed),
            _("The gas itself has p − p(water) = {pressure} kPa − {vapour} kPa = {own} kPa.").format(
                pressure=decimals(setup.pressure / 1000, 1),
                vapour=number(vapour / 1000),
                own=decimals(own / 1000, 2),
            ),
            _gas_line(setup, changed, own, volume),
        ),
        {
            "vapour_pressure_forgotten": _volume(changed.amount, setup.temperature, setup.pressure),
            "vapour_pressure_added": _volume(changed.amount, setup.temperature, setup.pressure + vapour),
            "celsius_for_kelvin": _volume(changed.amount, setup.temperature - 273.15, own),
            "minutes_for_seconds": volume / 60,
            "electrons_per_molecule_forgotten": _volume(electrons, setup.temperature, own),
        },
        tolerance=0.008,
    )
    return Made.single(part, say.cell(setup))


def _wet_hints() -> tuple[str, str, str]:
    return (
        _("The tube holds two gases: the one made and water vapour."),
        _("With equal levels both together press as hard as the air outside."),
        _("Take the vapour's share off the pressure before you use the gas law."),
    )


SKILLS: tuple[Skill, ...] = (
    Skill(
        "stoichiometry.gas_volume",
        "stoichiometry",
        "Volume of gas",
        ("first_year",),
        "quantity",
        volume_applies,
        make_dry,
        ("stoichiometry.product_amount",),
    ),
    Skill(
        "stoichiometry.gas_over_water",
        "stoichiometry",
        "Gas over water",
        ("second_year",),
        "quantity",
        volume_applies,
        make_wet,
        ("stoichiometry.gas_volume",),
    ),
)
