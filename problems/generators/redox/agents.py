"""What is oxidised, what is reduced, and which species is which agent."""

from collections.abc import Callable
from random import Random
from typing import Literal

from problems.cell.evidence import Electrode, Evidence
from problems.cell.setup import Setup
from problems.chemistry.formula import Formula
from problems.generators import build, say, seen
from problems.question import Level, Made, Part, Skill
from problems.words import _, mark

Asked = Literal["oxidised", "reduced", "oxidising_agent", "reducing_agent"]
STATES: tuple[Asked, ...] = ("oxidised", "reduced")
AGENTS: tuple[Asked, ...] = ("oxidising_agent", "reducing_agent")


def applies(setup: Setup, cell: Evidence) -> bool:
    """Two electrodes with one answer each, and not the same species at both."""
    return len(seen.answerable(cell)) == 2 and _reactant(cell.electrodes[0]) != _reactant(cell.electrodes[1])


def make_states(setup: Setup, cell: Evidence, level: Level, rng: Random) -> Made:
    """Which species is oxidised, or reduced."""
    return Made.single(_part(cell, rng.choice(STATES)), say.cell(setup))


def make_agents(setup: Setup, cell: Evidence, level: Level, rng: Random) -> Made:
    """Which species is the oxidising or the reducing agent."""
    return Made.single(_part(cell, rng.choice(AGENTS)), say.cell(setup))


def _reactant(electrode: Electrode) -> Formula:
    return next(species for species, _count in seen.half(electrode).left if not species.is_electron)


def _product(electrode: Electrode) -> Formula:
    return next(species for species, _count in seen.half(electrode).right if not species.is_electron)


def _part(cell: Evidence, asked: Asked) -> Part:
    cathode, anode = cell.electrodes
    at = cathode if asked in ("reduced", "oxidising_agent") else anode
    other = anode if at is cathode else cathode
    prompt = _prompts()[asked].format(cathode=say.uni(seen.half(cathode)), anode=say.uni(seen.half(anode)))
    slips = {
        _turned_code(asked): _reactant(other),
        "product_for_reactant": _product(at),
        "product_of_the_other_electrode": _product(other),
    }
    return build.formula(prompt, _reactant(at), _hints(asked), _solution(at, other, asked), slips)


def _turned_code(asked: Asked) -> str:
    return {
        "oxidised": "oxidant_for_oxidised",
        "reduced": "reductant_for_reduced",
        "oxidising_agent": "oxidised_for_oxidant",
        "reducing_agent": "reduced_for_reductant",
    }[asked]


def _prompts() -> dict[Asked, str]:
    return {
        "oxidised": _(
            "At the cathode {cathode}, at the anode {anode}. Which species is oxidised? Give its formula."
        ),
        "reduced": _(
            "At the cathode {cathode}, at the anode {anode}. Which species is reduced? Give its formula."
        ),
        "oxidising_agent": _(
            "At the cathode {cathode}, at the anode {anode}. Taking the cell reaction as a whole, which "
            "species is the oxidising agent? Give its formula."
        ),
        "reducing_agent": _(
            "At the cathode {cathode}, at the anode {anode}. Taking the cell reaction as a whole, which "
            "species is the reducing agent? Give its formula."
        ),
    }


def _hints(asked: Asked) -> tuple[str, str, str]:
    gives = asked in ("oxidised", "reducing_agent")
    return (
        _("Look only at what goes into the reactions, not at what comes out."),
        _("Oxidation is giving electrons, reduction is taking them.")
        if asked in STATES
        else _("An agent does to the other what happens in reverse to itself."),
        _("Find the half-reaction with electrons on its right; its starting material is asked for.")
        if gives
        else _("Find the half-reaction with electrons on its left; its starting material is asked for."),
    )


def _solution(at: Electrode, other: Electrode, asked: Asked) -> tuple[str, ...]:
    gives = at.role == "anode"
    first = (
        _("{species} gives electrons at the anode: it is oxidised, and so it is the reducing agent.")
        if gives
        else _("{species} takes electrons at the cathode: it is reduced, and so it is the oxidising agent.")
    )
    return (
        say.uni(seen.half(at)),
        first.format(species=say.uni(_reactant(at))),
        _("{species} is the partner, with the opposite role.").format(species=say.uni(_reactant(other))),
    )


def _skill(
    step: str, title: str, make: Callable[[Setup, Evidence, Level, Random], Made], below: str
) -> Skill:
    return Skill(f"redox.{step}", "redox", title, ("first_year",), "formula", applies, make, (below,))


SKILLS: tuple[Skill, ...] = (
    _skill("oxidised_reduced", mark("What is oxidised, what is reduced"), make_states, "redox.half_reaction"),
    _skill("agents", mark("Oxidising and reducing agent"), make_agents, "redox.oxidised_reduced"),
)
