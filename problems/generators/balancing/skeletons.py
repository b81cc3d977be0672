"""Atoms: an equation without its numbers."""

from random import Random

from problems.cell.evidence import Evidence
from problems.cell.names import electrolyte_name
from problems.cell.setup import Setup
from problems.chemistry.equation import Equation, atoms_on
from problems.generators import build, say
from problems.generators.reactions import fitting
from problems.question import Level, Made, Skill
from problems.words import _


def applies(setup: Setup, cell: Evidence) -> bool:
    return bool(fitting("making", setup, cell))


def skeleton(equation: Equation) -> str:
    """The equation with its numbers left out."""
    sides = [
        " + ".join(say.uni(species) for species, _count in side) for side in (equation.left, equation.right)
    ]
    return " → ".join(sides)


def make(setup: Setup, cell: Evidence, level: Level, rng: Random) -> Made:
    """A reaction in which the electrolyte is made or used, to be balanced."""
    key = rng.choice(fitting("making", setup, cell)).equation
    part = build.equation(
        _("A reaction from the making or use of {salt}, numbers left out: {skeleton}. Balance it.").format(
            salt=electrolyte_name(setup.electrolyte), skeleton=skeleton(key)
        ),
        key,
        "overall",
        (
            _("Change only the numbers in front of the formulas, never the formulas."),
            _(
                "Begin with an element that stands in one formula on each side; leave oxygen and hydrogen "
                "for last."
            ),
            _(
                "Where an element comes in threes on one side and twos on the other, bring both to sixes; "
                "then go on."
            ),
        ),
        (*_counts(key), say.uni(key)),
    )
    return Made.single(part, say.cell(setup))


def _counts(key: Equation) -> tuple[str, ...]:
    """How many atoms of each element stand on both sides once it is balanced."""
    return tuple(
        _("{element}: {count} on the left, {count} on the right").format(element=element, count=count)
        for element, count in atoms_on(key.left).items()
    )


SKILLS: tuple[Skill, ...] = (
    Skill(
        "balancing.atoms",
        "balancing",
        "Atoms in a skeleton",
        ("first_year",),
        "equation",
        applies,
        make,
    ),
)
