"""The least voltage of the cell from a table of potentials, and the Gibbs energy that goes with a run."""

from math import log10
from random import Random

from problems.cell import tables
from problems.cell.discharge import ANODE_COUPLES, CATHODE_COUPLES
from problems.cell.evidence import Electrode, Evidence
from problems.cell.setup import Setup
from problems.chemistry.equation import Equation
from problems.chemistry.formula import HYDROGEN_ION, Formula
from problems.chemistry.medium import in_acid
from problems.generators import build, say, seen
from problems.question import Level, Made, Skill
from problems.words import _, decimals, number

STEP = 0.0592
"""One factor of ten in a concentration, for one electron, at 25 °C [V]."""
WATER = {"cathode": "H+/H2", "anode": "O2/H2O"}


def voltage_applies(setup: Setup, cell: Evidence) -> bool:
    """Where the pH does not cancel, so that the voltage says something about this solution."""
    if len(seen.answerable(cell)) < 2 or not {"least_voltage", "overall"} <= cell.fair or setup.row.strong:
        return False
    return _couple(cell.electrodes[0]) != "H+/H2" or _couple(cell.electrodes[1]) != "O2/H2O"


def _couple(electrode: Electrode) -> str:
    """The key of the couple that works at an electrode; water in its form for acid."""
    taken = {species.plain for species, _count in seen.half(electrode).left}
    known = CATHODE_COUPLES if electrode.role == "cathode" else ANODE_COUPLES
    return next((known[plain] for plain in taken if plain in known), WATER[electrode.role])


def make_voltage(setup: Setup, cell: Evidence, level: Level, rng: Random) -> Made:
    """The reversible voltage at one pH in the whole solution, with Nernst's equation."""
    acid = _couple(cell.electrodes[0]) != WATER["cathode"]
    ph = rng.randrange(100, 356) / 100 if acid else rng.randrange(500, 901) / 100
    cathode, anode = (tables.potentials()[_couple(each)] for each in cell.electrodes)
    low, high = (_potential(setup, couple, ph) for couple in (cathode, anode))
    factor = int(abs(seen.half(cell.electrodes[0]).electrons))
    prompt = _(
        "Before the current is switched on the whole solution is at pH {ph}; take activities equal to "
        "concentrations, gases at 1 bar, solids as pure, 25 °C, where a factor of ten counts 0.0592 V for "
        "one electron. Standard potentials: {table}. What is the least voltage of the cell, without any "
        "overpotential?"
    ).format(ph=decimals(ph, 2), table="; ".join(_row(couple) for couple in (cathode, anode)))
    part = build.quantity(
        prompt,
        high - low,
        "V",
        _voltage_hints(),
        _voltage_solution(setup, (cathode, anode), (low, high), ph),
        {
            "potentials_added": high + low,
            "standard_values_only": anode.school - cathode.school,
            "times_electrons": factor * (high - low),
            "nernst_turned": 2 * (anode.school - cathode.school) - (high - low),
            "anode_alone": high,
            "cathode_alone": abs(low),
        },
        figures=3,
        tolerance=0.01 / (high - low),
    )
    return Made.single(part, say.cell(setup))


def _row(couple: tables.Couple) -> str:
    return _("{reaction} {value} V").format(
        reaction=say.uni(couple.reaction), value=say.signed(couple.school)
    )


def _terms(setup: Setup, couple: tables.Couple, ph: float) -> list[tuple[Formula, float, float]]:
    """Each ion of a couple with its count (positive on the left) and the logarithm of its concentration."""
    found = []
    for side, sign in ((couple.reaction.left, 1), (couple.reaction.right, -1)):
        for species, count in side:
            if species.is_electron or not species.charge:
                continue
            level = -ph if species == HYDROGEN_ION else log10(setup.row.ions[species] * setup.molarity)
            found.append((species, sign * float(count), level))
    return found


def _potential(setup: Setup, couple: tables.Couple, ph: float) -> float:
    """The potential [V] by Nernst's equation from the printed standard value."""
    shift = sum(count * level for _species, count, level in _terms(setup, couple, ph))
    return couple.school + STEP / float(couple.reaction.electrons) * shift


def _voltage_hints() -> tuple[str, str, str]:
    return (
        _("Reckon each electrode by itself first, at the concentrations of the solution before the start."),
        _(
            "A higher concentration on the side of the oxidised form raises a potential; divide by the "
            "number of electrons of the half-reaction."
        ),
        _("Then take the potential of the cathode away from that of the anode; never multiply a potential."),
    )


def _voltage_solution(
    setup: Setup, couples: tuple[tables.Couple, tables.Couple], values: tuple[float, float], ph: float
) -> tuple[str, ...]:
    lines = []
    for couple, value in zip(couples, values, strict=True):
        levels = ", ".join(
            _("log c({ion}) = {level}").format(ion=say.uni(ion), level=decimals(level, 2))
            for ion, _count, level in _terms(setup, couple, ph)
        )
        lines.append(_("{couple}, with {levels}:").format(couple=_row(couple), levels=levels))
        lines.append(
            _("E = {standard} V + (0.0592 V/{electrons}) × ({shift}) = {value} V").format(
                standard=say.signed(couple.school),
                electrons=couple.reaction.electrons,
                shift=decimals(sum(count * level for _s, count, level in _terms(setup, couple, ph)), 2),
                value=say.signed(value, 3),
            )
        )
    low, high = values
    lines.append(
        _("U = E(anode) − E(cathode) = {high} V − ({low} V) = {voltage} V").format(
            high=say.signed(high, 3), low=say.signed(low, 3), voltage=decimals(high - low, 3)
        )
    )
    return tuple(lines)


def gibbs_applies(setup: Setup, cell: Evidence) -> bool:
    return (
        {"least_voltage", "overall"} <= cell.fair
        and len(seen.answerable(cell)) == 2
        and cell.ends_at is None
        and (cell.least_voltage or 0) > 0.3
    )


def make_gibbs(setup: Setup, cell: Evidence, level: Level, rng: Random) -> Made:
    """The rise of the Gibbs energy in the run, or for one mole of the equation."""
    voltage = round(cell.least_voltage or 0.0, 2)
    charge = setup.current * setup.time
    electrons = _electrons(cell)
    prompt = _(
        "The least voltage of this cell is {voltage} V (25 °C, given), and F = {faraday}. By how much does "
        "the reaction {overall} raise the Gibbs energy in this run?"
    ).format(voltage=decimals(voltage, 2), faraday=say.faraday(), overall=say.uni(seen.overall(cell)))
    joule = voltage * charge
    part = build.quantity(
        prompt,
        joule,
        "J",
        (
            _("The Gibbs energy that a reaction takes up is the least electrical work that drives it."),
            _("Work is voltage times charge; the charge follows from current and time."),
            _("Mind the unit of time, and count the electrons of this run once, not those of one mole."),
        ),
        (
            _("Q = I t = {current} × {time} s = {charge} C").format(
                current=say.current(setup), time=decimals(setup.time, 0), charge=number(charge, 4)
            ),
            _(
                "{moles} mol of electrons have passed; {count} mol of them belong to one mole of the "
                "equation."
            ).format(moles=number(charge / say.FARADAY), count=electrons),
            _(
                "ΔG = Q U = {charge} C × {voltage} V = {work} J; it is positive, since the supply drives it."
            ).format(charge=number(charge, 4), voltage=decimals(voltage, 2), work=number(joule)),
        ),
        {
            "minutes_for_seconds": joule / 60,
            "one_mole_of_the_equation": electrons * say.FARADAY * voltage,
            "times_electrons": joule * electrons,
            "moles_for_charge": joule / say.FARADAY,
        },
    )
    return Made.single(part, say.cell(setup))


def _electrons(cell: Evidence) -> int:
    """Electrons that go through the wire for one mole of the overall equation as written."""
    cathode, _anode = cell.electrodes
    return int(_share(seen.half(cathode), seen.overall(cell), cathode.products[0]))


def _share(half: Equation, whole: Equation, product: Formula) -> float:
    made = dict(in_acid(whole).right).get(product, 0)
    return float(made / dict(half.right)[product] * abs(half.electrons))


SKILLS: tuple[Skill, ...] = (
    Skill(
        "redox.least_voltage",
        "redox",
        "Least voltage",
        ("second_year",),
        "quantity",
        voltage_applies,
        make_voltage,
        ("redox.discharged_ion",),
    ),
    Skill(
        "redox.gibbs_energy",
        "redox",
        "Gibbs energy of a run",
        ("second_year",),
        "quantity",
        gibbs_applies,
        make_gibbs,
        ("redox.least_voltage", "stoichiometry.electrons"),
    ),
)
