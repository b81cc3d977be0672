"""Acid and base: colours, the ions behind them, salt solutions, pH, neutralising, conjugate partners."""

from problems.generators.acid_base import (
    colour,
    conjugate,
    conversions,
    indicator_choice,
    mixing,
    ph_of_arm,
    salts,
)
from problems.question import Skill

SKILLS: tuple[Skill, ...] = (
    *colour.SKILLS,
    *indicator_choice.SKILLS,
    *salts.SKILLS,
    *conversions.SKILLS,
    *ph_of_arm.SKILLS,
    *mixing.SKILLS,
    *conjugate.SKILLS,
)
