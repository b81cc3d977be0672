"""What is claimed of classes whose truth is known: how sure each claim says it is, and whether it holds."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from quizzes.adaptive.class_skills import ClassSkill, class_skills
from quizzes.adaptive.class_view import ClassView, class_view
from quizzes.adaptive.items import Items
from quizzes.adaptive.parameters import Parameters
from quizzes.adaptive.simulate.parts import School
from quizzes.adaptive.simulate.worlds import CLASS_SIZE, SKILL_MAP, SKILLS, TOPICS
from quizzes.adaptive.state import Strength

KINDS = ("weakest topic", "topics with the weakest", "weak step", "chance that a step is weak")


@dataclass(frozen=True, slots=True)
class Claim:
    """One sentence of a class page: its kind, the chance it gives itself, and whether it is true."""

    kind: str
    stated: float
    holds: bool


@dataclass(frozen=True, slots=True)
class Held:
    """Claims of one kind taken together: how many, how sure they were in the mean, how many were true."""

    number: int
    stated: float
    held: float

    @property
    def error(self) -> float:
        """Standard error of the share that holds, if each held as often as said."""
        return float(np.sqrt(self.stated * (1 - self.stated) / self.number))


def topic_claims(view: ClassView, truth: Mapping[str, float]) -> list[Claim]:
    """What a class page says about the weakest topic; nothing without enough answers.

    `truth` holds the class's true chance in each topic.
    """
    if not view.enough:
        return []
    weakest = min(truth, key=lambda topic: truth[topic])
    kind = "weakest topic" if view.sure else "topics with the weakest"
    return [Claim(kind, view.probability, weakest in view.weakest)]


def step_claims(
    found: Iterable[ClassSkill], truth: Mapping[str, float], parameters: Parameters
) -> list[Claim]:
    """What it says about steps with enough answers: "weak", and the chance of it for every other.

    `truth` holds the class's true chance at each step.
    """
    kinds = {True: "weak step", False: "chance that a step is weak"}
    return [
        Claim(kinds[each.is_weak], each.below, truth[each.skill] < parameters.weak_below)
        for each in found
        if each.enough
    ]


def claims_of(
    strengths: Sequence[Strength],
    items: Items,
    parameters: Parameters,
    topics: Mapping[str, float],
    skills: Mapping[str, float],
) -> list[Claim]:
    """Everything claimed of one class, against its true chances by topic and by skill."""
    view = class_view(strengths, items, parameters)
    steps = class_skills(strengths, items, parameters)
    return [*topic_claims(view, topics), *step_claims(steps, skills, parameters)]


def simulated_claims(school: School, answers: int) -> Iterator[Claim]:
    """What is claimed of each class of a simulated school after so many answers under our steering."""
    chances, strengths = school.world().chances(), school.strengths(answers)
    for start in range(0, school.count, CLASS_SIZE):
        rows = slice(start, start + CLASS_SIZE)
        mean = chances[rows].mean(axis=0)
        topics = dict(zip(SKILL_MAP.topic_names, mean.reshape(TOPICS, -1).mean(axis=1), strict=True))
        skills = dict(zip(SKILL_MAP.skills, mean.reshape(SKILLS, -1).mean(axis=1), strict=True))
        yield from claims_of(strengths[rows], school.items, school.parameters, topics, skills)


def by_kind(claims: Iterable[Claim]) -> dict[str, Held]:
    """Stated and held, for each kind that was claimed at all.

    >>> by_kind([Claim("weak step", 0.9, True), Claim("weak step", 0.8, False)])["weak step"].held
    0.5
    """
    listed = list(claims)
    found: dict[str, Held] = {}
    for kind in KINDS:
        of_kind = [each for each in listed if each.kind == kind]
        if of_kind:
            stated = float(np.mean([each.stated for each in of_kind]))
            found[kind] = Held(len(of_kind), stated, float(np.mean([each.holds for each in of_kind])))
    return found
