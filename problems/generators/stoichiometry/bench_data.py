"""From what was measured: the yield of a run, and the Faraday and Avogadro constants."""

from dataclasses import dataclass
from random import Random

from problems.cell.evidence import Evidence
from problems.cell.setup import Setup
from problems.generators import amounts, build, say
from problems.question import Level, Made, Skill
from problems.words import _, decimals, number

ELEMENTARY_CHARGE = 1.602e-19
"""As printed in the question [C]."""


@dataclass(frozen=True, slots=True)
class Measured:
    """What was measured of a product: a sentence, and the amount [mol] that follows from it."""

    changed: amounts.Changed
    sentence: str
    amount: float
    line: str


def applies(setup: Setup, cell: Evidence) -> bool:
    return bool(amounts.made_any(cell, ("gas_volume", "deposit")))


def _measured(setup: Setup, cell: Evidence, rng: Random, low: float, high: float) -> Measured:
    """A reading between `low` and `high` of what the charge would give, with three figures."""
    changed = rng.choice(amounts.made_any(cell, ("gas_volume", "deposit")))
    read = changed.amount * rng.uniform(low, high)
    return _volume(setup, changed, read) if changed.electrode.gas else _mass(changed, read)


def _rounded(value: float) -> float:
    return float(f"{value:.2e}")


def _volume(setup: Setup, changed: amounts.Changed, read: float) -> Measured:
    volume = _rounded(read * say.GAS_CONSTANT * setup.temperature / setup.pressure * 1e6)
    amount = setup.pressure * volume * 1e-6 / (say.GAS_CONSTANT * setup.temperature)
    sentence = _(
        "Made at the {where} and dried, {volume} mL of {gas} were measured at the temperature and pressure "
        "given; R = {constant}."
    ).format(
        constant=say.gas_constant(),
        where=say.electrode(changed.electrode.role),
        volume=number(volume),
        gas=say.product_name(changed.substance),
    )
    line = _(
        "n = p V/(R T) = {pressure} Pa × {volume} × 10⁻⁶ m³ / ({constant} × {temperature} K) = {amount} mol"
    ).format(
        pressure=decimals(setup.pressure, 0),
        volume=number(volume),
        constant=say.gas_constant(),
        temperature=decimals(setup.temperature, 1),
        amount=number(amount),
    )
    return Measured(changed, sentence, amount, line)


def _mass(changed: amounts.Changed, read: float) -> Measured:
    molar = round(changed.substance.molar_mass, 2)
    grams = _rounded(read * molar)
    sentence = _("The cathode became heavier by {mass} g of {metal} (M = {molar} g/mol).").format(
        mass=number(grams), metal=say.product_name(changed.substance), molar=decimals(molar, 2)
    )
    line = _("n = m/M = {mass} g / ({molar} g/mol) = {amount} mol").format(
        mass=number(grams), molar=decimals(molar, 2), amount=number(grams / molar)
    )
    return Measured(changed, sentence, grams / molar, line)


def make_yield(setup: Setup, cell: Evidence, level: Level, rng: Random) -> Made:
    """The share of the charge that gave the product."""
    measured = _measured(setup, cell, rng, 0.72, 0.96)
    changed = measured.changed
    percent = measured.amount / changed.amount * 100
    prompt = _("{sentence} What was the yield, in percent of what the charge should give? F = {faraday}.")
    part = build.quantity(
        prompt.format(sentence=measured.sentence, faraday=say.faraday()),
        percent,
        "%",
        (
            _("The yield compares what was found with what the charge could make at most."),
            _("Find both as amounts: one from the measurement, one from current, time and half-reaction."),
            _("Divide what was found by what could be made, not the other way round."),
        ),
        (
            measured.line,
            amounts.half_line(changed),
            amounts.charge_line(setup),
            amounts.electrons_line(setup),
            amounts.amount_line(setup, changed),
            _("yield = {found} mol / {possible} mol = {percent} %").format(
                found=number(measured.amount), possible=number(changed.amount), percent=decimals(percent, 1)
            ),
        ),
        {
            "ratio_turned_over": 10_000 / percent,
            "electrons_per_molecule_forgotten": percent / changed.each,
            "multiplied_by_electrons": percent / changed.each**2,
            "loss_for_yield": 100 - percent,
            "electrons_of_the_other_electrode": percent * (2 if changed.each == 2 else 0.5),
        },
        tolerance=0.01,
    )
    return Made.single(part, say.cell(setup))


def make_faraday(setup: Setup, cell: Evidence, level: Level, rng: Random) -> Made:
    """The Faraday constant from a measured product."""
    measured = _measured(setup, cell, rng, 0.97, 1.03)
    changed = measured.changed
    charge = setup.current * setup.time
    electrons = measured.amount * changed.each
    faraday = charge / electrons
    part = build.quantity(
        _("{sentence} What value of the Faraday constant follows from these readings alone?").format(
            sentence=measured.sentence
        ),
        faraday,
        "C/mol",
        (
            _("The Faraday constant is the charge for one mole of electrons."),
            _("The readings give the charge on one side and the amount of product on the other."),
            _("Turn the amount of product into an amount of electrons by the half-reaction, then divide."),
        ),
        (
            measured.line,
            amounts.half_line(changed),
            _("n(e⁻) = {each} × {amount} mol = {electrons} mol").format(
                each=f"{changed.each:g}", amount=number(measured.amount), electrons=number(electrons)
            ),
            amounts.charge_line(setup),
            _("F = Q/n(e⁻) = {charge} C / {electrons} mol = {faraday} C/mol").format(
                charge=number(charge), electrons=number(electrons), faraday=number(faraday)
            ),
        ),
        _constant_slips(faraday, changed.each),
        tolerance=0.01,
    )
    return Made.single(part, say.cell(setup))


def _constant_slips(value: float, each: float) -> dict[str, float]:
    return {
        "electrons_per_molecule_forgotten": value * each,
        "divided_by_electrons": value / each,
        "minutes_for_seconds": value / 60,
        "ratio_turned_over": 1 / value,
        "two_electrons_for_one": value / 2,
    }


def make_avogadro(setup: Setup, cell: Evidence, level: Level, rng: Random) -> Made:
    """The Avogadro constant from a measured product and the charge of one electron."""
    measured = _measured(setup, cell, rng, 0.97, 1.03)
    changed = measured.changed
    charge = setup.current * setup.time
    particles = charge / ELEMENTARY_CHARGE / changed.each
    avogadro = particles / measured.amount
    part = build.quantity(
        _(
            "{sentence} One electron carries {elementary} C. What value of the Avogadro constant follows "
            "from these readings alone?"
        ).format(sentence=measured.sentence, elementary=number(ELEMENTARY_CHARGE, 4)),
        avogadro,
        "mol^-1",
        (
            _("The Avogadro constant is the number of particles in one mole."),
            _("Count the electrons: all the charge divided by the charge of one of them."),
            _(
                "The half-reaction turns electrons into particles of product; divide their number by their "
                "amount."
            ),
        ),
        (
            measured.line,
            amounts.half_line(changed),
            amounts.charge_line(setup),
            _("N(e⁻) = Q/e = {charge} C / {elementary} C = {count}").format(
                charge=number(charge),
                elementary=number(ELEMENTARY_CHARGE, 4),
                count=number(charge / ELEMENTARY_CHARGE),
            ),
            _("N = N(e⁻)/{each} = {particles}").format(each=f"{changed.each:g}", particles=number(particles)),
            _("N/n = {particles} / {amount} mol = {avogadro} mol⁻¹").format(
                particles=number(particles), amount=number(measured.amount), avogadro=number(avogadro)
            ),
        ),
        _constant_slips(avogadro, changed.each),
        tolerance=0.01,
    )
    return Made.single(part, say.cell(setup))


SKILLS: tuple[Skill, ...] = (
    Skill(
        "stoichiometry.yield",
        "stoichiometry",
        "Yield of a run",
        ("second_year",),
        "quantity",
        applies,
        make_yield,
        ("stoichiometry.gas_volume",),
    ),
    Skill(
        "stoichiometry.faraday_constant",
        "stoichiometry",
        "Faraday constant from readings",
        ("second_year",),
        "quantity",
        applies,
        make_faraday,
        ("stoichiometry.gas_volume",),
    ),
    Skill(
        "stoichiometry.avogadro_constant",
        "stoichiometry",
        "Avogadro constant from readings",
        ("second_year",),
        "quantity",
        applies,
        make_avogadro,
        ("stoichiometry.faraday_constant",),
    ),
)
