"""Stoichiometry: from charge to amounts, volumes and masses, and back; solutions; symbols; bench data."""

from problems.generators.stoichiometry import (
    bench_data,
    electrons,
    gases,
    masses,
    planning,
    ratios,
    solutions,
    symbols,
    whole_chain,
)
from problems.question import Skill

SKILLS: tuple[Skill, ...] = (
    *ratios.SKILLS,
    *electrons.SKILLS,
    *gases.SKILLS,
    *masses.SKILLS,
    *planning.SKILLS,
    *solutions.SKILLS,
    *symbols.SKILLS,
    *bench_data.SKILLS,
    *whole_chain.SKILLS,
)
