"""Which reactions run by themselves and which only run while a supply drives them."""

from random import Random

from problems.cell.evidence import Evidence
from problems.cell.setup import Setup
from problems.chemistry.equation import Equation
from problems.generators import build, say, seen
from problems.generators.reactions import fitting, table
from problems.question import Level, Made, Option, Skill
from problems.words import _

SHOWN = 2


def applies(setup: Setup, cell: Evidence) -> bool:
    return "overall" in cell.fair and len(_spontaneous(setup, cell)) >= SHOWN


def _spontaneous(setup: Setup, cell: Evidence) -> list[Equation]:
    """Follow-up reactions that start by themselves; the burning of hydrogen needs a flame first."""
    own = cell.overall
    rows = fitting("follow_up", setup, cell)
    found = dict.fromkeys(row.equation for row in rows if row.type != "combination")
    return [each for each in found if own is None or each.net != own.reversed().net]


def _uphill(setup: Setup, cell: Evidence) -> list[Equation]:
    """Displacements turned round: they need a supply. Sources: the order of standard potentials."""
    rows = [row for row in table("follow_up") if row.type == "displacement"]
    return [row.equation.reversed() for row in rows]


def make(setup: Setup, cell: Evidence, level: Level, rng: Random) -> Made:
    """All of one sort among four reactions."""
    alone = rng.sample(_spontaneous(setup, cell), rng.choice((1, SHOWN)))
    forced = [seen.overall(cell), *rng.sample(_uphill(setup, cell), 3 - len(alone))]
    asks_alone = rng.random() < 0.5
    prompt = (
        _("Which of these reactions run by themselves as soon as the substances meet? Choose all.")
        if asks_alone
        else _("Which of these reactions run only while a supply drives them? Choose all.")
    )
    reason = {
        False: _("This one runs by itself: no supply is needed for it."),
        True: _("This one does not run by itself; a supply has to push the electrons."),
    }
    options = [
        Option(_key(each), say.uni(each), "" if asks_alone == runs else reason[not runs])
        for runs, group in ((True, alone), (False, forced))
        for each in group
    ]
    part = build.choice(
        prompt,
        options,
        (
            _("What the supply brings about in the cell does not happen without it."),
            _("Neutralising, coming out of solution and giving off carbon dioxide need no supply."),
            _("A less noble element drives a nobler one out by itself; the reverse has to be driven."),
        ),
        (
            *(_("By itself: {equation}").format(equation=say.uni(each)) for each in alone),
            *(_("Driven: {equation}").format(equation=say.uni(each)) for each in forced),
            _("The overall reaction of the cell is driven: that is what electrolysis means."),
        ),
        rng,
        {
            "driven_and_spontaneous_exchanged": map(_key, forced if asks_alone else alone),
            "displacement_both_ways": map(_key, (*alone, *forced[1:])) if asks_alone else [_key(forced[0])],
        },
        several=True,
    )
    return Made.single(part, say.cell(setup))


def _key(equation: Equation) -> str:
    return str(equation).replace(" ", "_")


SKILLS: tuple[Skill, ...] = (
    Skill(
        "reaction_types.driven",
        "reaction_types",
        "Driven or by itself",
        ("first_year",),
        "choice",
        applies,
        make,
        ("reaction_types.follow_up_type",),
    ),
)
