"""What one arm shows at a moment of a run: pH, colour, cloud."""

from problems.cell import colours, solution, tables
from problems.cell.discharge import OH, H
from problems.cell.run import Moment, Period, Run
from problems.cell.tables import Role
from problems.chemistry.formula import Formula

HALOGENS = {"Cl2": "colourless", "Br2": "orange", "I2": "brown"}
COLOURED = 0.002  # [mol/L] from which a coloured ion is seen through an arm
GREEN_COPPER = 1.0  # [mol/L] from which copper(II) chloride looks green
CLOUDY = 1e-4  # [mol/L] of hydroxide that is seen


def halogen(run: Run, role: Role, moment: Moment) -> str | None:
    """The halogen that this arm's electrode has made by then, as a formula."""
    for period in run.periods[role]:
        if period.start < moment.time:
            for product in period.choice.products:
                if product.plain in HALOGENS:
                    return product.plain
    return None


def ph(run: Run, role: Role, moment: Moment) -> float | None:
    """The pH of the arm; None where a halogen or a mixed zone leaves it open, or no pH is given."""
    if run.setup.row.no_ph:
        return None
    if moment.time == 0:
        return run.start_ph
    if halogen(run, role, moment) or any(period.choice.mixed for period in run.periods[role]):
        return None
    return moment.ph[role]


def coloured_ion(run: Run, role: Role, moment: Moment) -> Formula | None:
    """The ion whose own colour the arm shows."""
    litres = run.setup.arm_volume * 1000
    for ion in tables.ions().values():
        if ion.colour and moment.contents[role].get(ion.part, 0.0) / litres >= COLOURED:
            return ion.formula
    return None


def colour(run: Run, role: Role, moment: Moment) -> str | None:
    """The colour of the arm by its key; None for a colourless solution without indicator."""
    setup = run.setup
    made = halogen(run, role, moment)
    if made in ("Br2", "I2"):
        return HALOGENS[made]
    ion = coloured_ion(run, role, moment)
    if ion is not None:
        if setup.electrolyte == "CuCl2" and setup.molarity >= GREEN_COPPER:
            return "blue-green"
        return tables.ions()[ion].colour
    if made and setup.indicator:
        return HALOGENS[made]
    value = ph(run, role, moment)
    if setup.indicator is None or value is None:
        return None
    return colours.of_indicator(tables.indicators()[setup.indicator], value)


def cloud(run: Run, role: Role, moment: Moment) -> Formula | None:
    """The hydroxide that has come out in the arm, if one is seen; none where acid keeps it clear."""
    litres = run.setup.arm_volume * 1000
    if run.setup.row.no_ph:
        return None
    for name, amount in moment.contents[role].items():
        if solution.solid(name, amount / litres, moment.ph[role]) >= CLOUDY:
            return tables.metals()[Formula.parse(name)].hydroxide
    return None


def ph_alone(run: Run, role: Role) -> float | None:
    """The pH at the end if only the missing counter-charge passed between the arms; None where `ph` is.

    What the electrode makes stays where it is made; buffers of the arm itself are counted.
    """
    if ph(run, role, run.end) is None:
        return None
    litres = run.setup.arm_volume * 1000
    content = solution.dissolve(run.setup.row, run.setup.molarity)
    offset = -solution.imbalance(content, run.start_ph)
    for period in run.periods[role]:
        electrons = period.electrons(run.setup.current)
        offset -= acid_made(period, electrons) / litres
        taken = period.choice.taken
        if taken is not None:
            lost = min(taken_by(period, electrons) / litres, content[taken.plain])
            content[taken.plain] -= lost
            offset += lost * taken.charge
    return solution.ph(content, offset, run.end.ph[role])


def acid_made(period: Period, electrons: float) -> float:
    """Hydrogen ions [mol] that a period brings as `electrons` [mol] pass; hydroxide counts as negative."""
    half = period.choice.half_reaction
    if half is None:
        return 0.0
    net = half.net
    return float((net.get(H, 0) - net.get(OH, 0)) / abs(half.electrons)) * electrons


def taken_by(period: Period, electrons: float) -> float:
    """How much of the discharged ion [mol] a period uses as `electrons` [mol] pass."""
    half, taken = period.choice.half_reaction, period.choice.taken
    if half is None or taken is None:
        return 0.0
    return float(dict(half.left)[taken] / abs(half.electrons)) * electrons
