"""The steps a class is weakest at, from one row a student."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from accounts.models import SchoolClass
from problems.registry import SKILLS
from quizzes import steering
from quizzes.adaptive.class_skills import ENOUGH_ON_SKILL, ClassSkill, class_skills
from quizzes.courses import course_of_class
from quizzes.teaching.class_table import beliefs_of
from quizzes.templatetags.answers import skill_title
from quizzes.topics import topic_title

WEAKEST = 8


@dataclass(frozen=True, slots=True)
class SkillLine:
    """One step of the class; `found` says what is believed of it and whether that is enough."""

    title: str
    topic: str
    found: ClassSkill


@dataclass(frozen=True, slots=True)
class WeakSkills:
    """Every step in play, the weakest first, and the weakest of those with enough answers."""

    lines: Sequence[SkillLine]
    weak_below: float
    needed: int = ENOUGH_ON_SKILL

    @property
    def weakest(self) -> Sequence[SkillLine]:
        return [line for line in self.lines if line.found.enough][:WEAKEST]


def weak_skills(school_class: SchoolClass, at: datetime) -> WeakSkills:
    """The steps of a class's level, as they stand at a moment."""
    known = steering.current()
    beliefs = [belief for _, belief in beliefs_of(school_class, at, known)]
    found = class_skills(beliefs, known.items, known.parameters) if beliefs else ()
    in_play = {*course_of_class(school_class).skills}
    lines = [_line(each) for each in found if each.skill in in_play]
    return WeakSkills(lines, known.parameters.weak_below)


def _line(found: ClassSkill) -> SkillLine:
    return SkillLine(skill_title(found.skill), topic_title(SKILLS[found.skill].topic), found)
