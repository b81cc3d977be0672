"""The overall equation: from two given half-reactions, or from the evidence alone."""

from random import Random

from problems.cell.evidence import Evidence
from problems.cell.setup import Setup
from problems.chemistry.equation import Equation
from problems.generators import build, say, seen
from problems.question import Level, Made, Part, Skill
from problems.words import _


def applies(setup: Setup, cell: Evidence) -> bool:
    return "overall" in cell.fair and len(seen.answerable(cell)) == 2


def make_sum(setup: Setup, cell: Evidence, level: Level, rng: Random) -> Made:
    """The sum of two half-reactions that are given."""
    cathode, anode = halves(cell)
    prompt = _(
        "At the cathode {cathode}, at the anode {anode}. Add both for equal electrons, join H⁺ and OH⁻ to "
        "water, cancel and write the overall equation in smallest whole numbers."
    ).format(cathode=say.uni(cathode), anode=say.uni(anode))
    return Made.single(_part(cell, prompt, "balancing.add_and_cancel"), say.cell(setup))


def make_overall(setup: Setup, cell: Evidence, level: Level, rng: Random) -> Made:
    """The overall equation from what is seen."""
    cathode, anode = cell.electrodes
    prompt = _("{cathode} {anode} Write the overall equation of the cell in smallest whole numbers.").format(
        cathode=seen.seen(setup, cathode), anode=seen.seen(setup, anode)
    )
    note = " ".join(filter(None, (seen.iodine_note(each) for each in cell.electrodes)))
    prompt = " ".join(filter(None, (prompt, note)))
    return Made.single(_part(cell, prompt, "balancing.overall"), say.cell(setup))


def halves(cell: Evidence) -> tuple[Equation, Equation]:
    """The half-reactions of cathode and anode."""
    cathode, anode = map(seen.half, cell.electrodes)
    return cathode, anode


def sum_part(cell: Evidence, prompt: str) -> Part:
    """The part that asks for the sum; chains use it too."""
    return _part(cell, prompt, "balancing.add_and_cancel")


def _part(cell: Evidence, prompt: str, skill: str) -> Part:
    return build.equation(
        prompt,
        seen.overall(cell),
        "overall",
        (
            _("Make the electrons equal before you add: multiply one or both lines."),
            _("What stands on both sides in equal number takes no part: strike it out, electrons first."),
            _(
                "The ions of acid and base from the two arms give water; shorten what is left to smallest "
                "whole numbers."
            ),
        ),
        _solution(cell),
        skill=skill,
    )


def _solution(cell: Evidence) -> tuple[str, ...]:
    cathode, anode = halves(cell)
    first, second = anode.electrons * -1, cathode.electrons
    scale = first / second
    times = (scale.numerator, scale.denominator)
    added = cathode.scaled(times[0]) + anode.scaled(times[1])
    lines = [
        _("Cathode, taken {times} : {half}").format(times=times[0], half=say.uni(cathode.scaled(times[0]))),
        _("Anode, taken {times} : {half}").format(times=times[1], half=say.uni(anode.scaled(times[1]))),
        _("Sum: {added}").format(added=say.uni(added)),
    ]
    if added.joined() != added:
        lines.append(_("H⁺ and OH⁻ give water: {joined}").format(joined=say.uni(added.joined())))
    return (*lines, _("Cancelled: {overall}").format(overall=say.uni(seen.overall(cell))))


SKILLS: tuple[Skill, ...] = (
    Skill(
        "balancing.add_and_cancel",
        "balancing",
        "Add and cancel",
        ("first_year",),
        "equation",
        applies,
        make_sum,
        ("balancing.equal_electrons",),
        spread="reaction",
    ),
    Skill(
        "balancing.overall",
        "balancing",
        "Overall equation from the evidence",
        ("first_year",),
        "equation",
        applies,
        make_overall,
        ("balancing.add_and_cancel", "redox.half_reaction"),
        spread="reaction",
    ),
)
