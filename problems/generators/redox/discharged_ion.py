"""Which particle is discharged, from a table of electrode potentials."""

from random import Random

from problems.cell.discharge import Candidate
from problems.cell.evidence import Electrode, Evidence
from problems.cell.setup import Setup
from problems.generators import build, say, seen
from problems.question import Level, Made, Option, Skill
from problems.words import _


def applies(setup: Setup, cell: Evidence) -> bool:
    return bool(_electrodes(cell))


def _electrodes(cell: Evidence) -> list[Electrode]:
    return [each for each in seen.answerable(cell) if len(each.candidates) > 1]


def make(setup: Setup, cell: Evidence, level: Level, rng: Random) -> Made:
    """The winner among the candidates at one electrode."""
    electrode = rng.choice(_electrodes(cell))
    table = "; ".join(map(_row, sorted(electrode.candidates, key=lambda each: each.potential)))
    prompt = _(
        "Reduction potentials of what could react at the {where}, at the concentrations of this cell and 25 "
        "°C: {table}. What reacts there in practice?"
    ).format(where=say.electrode(electrode.role), table=table)
    options = [_option(each, electrode) for each in electrode.candidates]
    options.append(_nothing())
    part = build.choice(
        prompt, options, _hints(electrode), _solution(electrode, table), rng, _slips(electrode)
    )
    return Made.single(part, say.cell(setup))


def _key(candidate: Candidate) -> str:
    return str(candidate.half_reaction).replace(" ", "_")


def _row(candidate: Candidate) -> str:
    """The couple with its potential, oxidised form first."""
    half = candidate.half_reaction
    sides = (half.left, half.right) if half.electrons > 0 else (half.right, half.left)
    left, right = (next(species for species, _n in side if not species.is_electron) for side in sides)
    return _("{oxidised}/{reduced} {value} V").format(
        oxidised=say.uni(left), reduced=say.uni(right), value=say.signed(candidate.potential)
    )


def _option(candidate: Candidate, electrode: Electrode) -> Option:
    half = seen.half(electrode) if candidate.won else candidate.half_reaction
    return Option(_key(candidate), say.uni(half), "" if candidate.won else candidate.why)


def _nothing() -> Option:
    return Option(
        "electrons_only",
        _("Nothing reacts: the electrons pass through the solution."),
        _("No electron passes through a solution; at each electrode something takes or gives it."),
    )


def _slips(electrode: Electrode) -> dict[str, list[str]]:
    """The far end of the table, and the near end where a rule stands above the potentials."""
    ranked = sorted(
        electrode.candidates, key=lambda each: each.potential, reverse=electrode.role == "cathode"
    )
    return {
        "wrong_end_of_the_table": [_key(ranked[-1])],
        "potential_alone": [_key(ranked[0])],
        "electrons_swim": ["electrons_only"],
    }


def _hints(electrode: Electrode) -> tuple[str, str, str]:
    order = (
        _("At a cathode the couple with the highest potential comes first, if it reacts fast enough.")
        if electrode.role == "cathode"
        else _("At an anode the couple with the lowest potential comes first, if it reacts fast enough.")
    )
    return (
        order,
        _("Some ions stay in solution for all that, because their reaction is far too slow."),
        _(
            "A gas may need much more voltage than the table says; strike out what is too slow and look "
            "again."
        ),
    )


def _solution(electrode: Electrode, table: str) -> tuple[str, ...]:
    losers = [each.why for each in electrode.candidates if not each.won]
    return (
        _("Table: {table}.").format(table=table),
        electrode.why,
        *losers,
        say.uni(seen.half(electrode)),
    )


SKILLS: tuple[Skill, ...] = (
    Skill(
        "redox.discharged_ion",
        "redox",
        "What is discharged, from a table",
        ("second_year",),
        "choice",
        applies,
        make,
        ("redox.half_reaction",),
    ),
)
