"""Reaction types: the overall reaction, what is done afterwards, driven or not, gases and their tests."""

from problems.generators.reaction_types import driven, follow_up, gas_test, overall_type
from problems.question import Skill

SKILLS: tuple[Skill, ...] = (
    *overall_type.SKILLS,
    *follow_up.SKILLS,
    *driven.SKILLS,
    *gas_test.SKILLS,
)
