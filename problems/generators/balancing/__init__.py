"""Balancing: atoms, charge, electrons, sums, faults, and from acid to base."""

from problems.generators.balancing import acid_to_base, faults, halves, skeletons, sums
from problems.question import Skill

SKILLS: tuple[Skill, ...] = (
    *skeletons.SKILLS,
    *halves.SKILLS,
    *sums.SKILLS,
    *faults.SKILLS,
    *acid_to_base.SKILLS,
)
