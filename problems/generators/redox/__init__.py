"""Redox: oxidation numbers, half-reactions, electrodes and paths, agents, potentials."""

from problems.generators.redox import (
    agents,
    discharged_ion,
    electrodes,
    energy,
    half_reaction,
    oxidation_numbers,
    paths,
)
from problems.question import Skill

SKILLS: tuple[Skill, ...] = (
    *oxidation_numbers.SKILLS,
    *half_reaction.SKILLS,
    *electrodes.SKILLS,
    *paths.SKILLS,
    *agents.SKILLS,
    *discharged_ion.SKILLS,
    *energy.SKILLS,
)
