"""The half-reaction at one electrode, from what is seen there."""

from random import Random

from problems.cell.evidence import Electrode, Evidence
from problems.cell.setup import Setup
from problems.generators import build, say, seen
from problems.question import Level, Made, Part, Skill
from problems.words import _


def applies(setup: Setup, cell: Evidence) -> bool:
    return bool(seen.answerable(cell))


def make(setup: Setup, cell: Evidence, level: Level, rng: Random) -> Made:
    """A half-reaction at the cathode or the anode."""
    return Made.single(part(setup, cell, rng.choice(seen.answerable(cell))), say.cell(setup))


def part(setup: Setup, cell: Evidence, electrode: Electrode) -> Part:
    """The part that asks for the half-reaction of `electrode`; chains use it too."""
    half = seen.half(electrode)
    other = next((each.half_reaction for each in cell.electrodes if each is not electrode), None)
    asked = _("{seen} Write the half-reaction at the {where}.").format(
        seen=seen.seen(setup, electrode), where=say.electrode(electrode.role)
    )
    return build.equation(
        " ".join(filter(None, (asked, seen.iodine_note(electrode)))),
        half,
        "half_reaction",
        _hints(electrode),
        _solution(setup, electrode),
        other=other if other is not None and other != half else None,
        accepted=seen.either_medium(electrode),
        skill="redox.half_reaction",
    )


def _hints(electrode: Electrode) -> tuple[str, str, str]:
    if electrode.role == "cathode":
        side = _("At a cathode something takes electrons, so electrons stand on the left.")
    else:
        side = _("At an anode something gives electrons, so electrons stand on the right.")
    return (side, _what(electrode), _last(electrode))


def _what(electrode: Electrode) -> str:
    if electrode.mass_change is not None:
        return _("An electrode that becomes lighter goes into solution as ions: it is the starting material.")
    if electrode.gas is None or electrode.ion is None:
        return _("Ask which ion of the solution can turn into the product that is seen.")
    return _("None of the dissolved salt is needed: what else is there in every solution?")


def _last(electrode: Electrode) -> str:
    half = seen.half(electrode)
    if electrode.ion is not None:
        return _(
            "Balance oxygen with water first, then hydrogen with the ion that changes the indicator, and "
            "last the charge with electrons."
        )
    count = abs(half.electrons)
    if count == 1:
        return _("One electron settles the charge; the atoms need no further number.")
    return _("Balance the atoms first; then count electrons until the charges on both sides agree.")


def _solution(setup: Setup, electrode: Electrode) -> tuple[str, ...]:
    half = seen.half(electrode)
    lines = [
        _("Evidence: {seen}").format(seen=seen.seen(setup, electrode)),
        electrode.why,
        _("The product is {product}.").format(product=say.product_name(electrode.products[0]))
        if electrode.mass_change is None
        else _("The metal of the electrode itself is dissolved."),
        _("{left} on the left gives {right} on the right; atoms and charge agree:").format(
            left=say.uni(half.left[0][0]), right=say.uni(half.right[0][0])
        ),
        say.uni(half),
    ]
    if seen.either_medium(electrode):
        lines.append(
            _("In this solution the other way to write it is right too: {other}").format(
                other=say.uni(electrode.accepted[1])
            )
        )
    return tuple(lines)


SKILLS: tuple[Skill, ...] = (
    Skill(
        "redox.half_reaction",
        "redox",
        "Half-reaction from what is seen",
        ("first_year",),
        "equation",
        applies,
        make,
        ("redox.driven_electrodes", "balancing.charge"),
        spread="reaction",
    ),
)
