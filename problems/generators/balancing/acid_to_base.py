"""A half-reaction written for acid, to be written for base."""

from random import Random

from problems.cell.evidence import Evidence
from problems.cell.setup import Setup
from problems.chemistry.formula import HYDROGEN_ION, HYDRONIUM
from problems.chemistry.medium import in_base
from problems.generators import build, conventional, say
from problems.generators.reactions import fitting
from problems.question import Level, Made, Skill
from problems.words import _


def applies(setup: Setup, cell: Evidence) -> bool:
    return cell.use != "refused"


def make(setup: Setup, cell: Evidence, level: Level, rng: Random) -> Made:
    """One of the half-reactions that go with the ions of this cell, in one direction or the other."""
    acid = rng.choice(fitting("acid_form", setup, cell)).equation
    if rng.random() < 0.5:
        acid = acid.reversed()
    key = in_base(acid)
    ion = conventional.species(HYDROGEN_ION)
    count = int(abs(acid.net[ion]))
    part = build.equation(
        _(
            "Written for an acidic solution: {acid}. Write the same half-reaction for a basic solution."
        ).format(acid=say.uni(acid)),
        key,
        "half_reaction",
        (
            _("In a basic solution there is hardly any free proton; the ion of bases has to stand instead."),
            _("Add that ion to both sides, as many as there are protons."),
            _(
                "Protons and that ion together are water; then strike out the water that stands on both "
                "sides."
            ),
        ),
        (
            say.uni(acid),
            _("Add {count} OH⁻ on both sides; with the {count} {ion} they make {water} H₂O.").format(
                count=count, ion=say.uni(ion), water=count * (2 if ion == HYDRONIUM else 1)
            ),
            _("Strike out water that stands on both sides:"),
            say.uni(key),
        ),
    )
    return Made.single(part, say.cell(setup))


SKILLS: tuple[Skill, ...] = (
    Skill(
        "balancing.acid_to_base",
        "balancing",
        "From acid to base",
        ("second_year",),
        "equation",
        applies,
        make,
        ("balancing.charge",),
    ),
)
