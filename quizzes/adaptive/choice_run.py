"""A whole run: the setup on which the weak skills can be asked, and questions in the order of the chain."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from quizzes.adaptive.choice import Candidate, Choice, choose, draw_chances
from quizzes.adaptive.errors import require
from quizzes.adaptive.items import Items
from quizzes.adaptive.parameters import Parameters
from quizzes.adaptive.state import Strength
from quizzes.adaptive.update import move_to_day


@dataclass(frozen=True, slots=True)
class SetupChoice:
    """The chosen setup's name, the weak skills that can be asked on it (weakest first), and the draw."""

    name: str
    skills: tuple[str, ...]
    topic_draw: Mapping[str, float]


def choose_setup(
    strength: Strength,
    offers: Mapping[str, Sequence[str]],
    recent: Sequence[str],
    items: Items,
    parameters: Parameters,
    rng: np.random.Generator,
    day: float,
    count: int = 6,
) -> SetupChoice:
    """The setup on which a run of `count` questions reaches the most weakness, in one draw.

    `offers` holds for each setup the skills it can be asked on. A skill is worth
    (1 - chance of its topic)(1 - its own chance); a setup is worth its `count` best skills; equals
    are told apart by `rng`. Raises SteeringError without offers.
    """
    offered = {name: tuple(dict.fromkeys(skills)) for name, skills in offers.items() if skills}
    require(bool(offered), "offers", dict(offers), "must hold a setup with a skill to ask")
    draw = draw_chances(move_to_day(strength, day, parameters), items, parameters, rng)
    lately = set(recent[max(len(recent) - parameters.recent, 0) :]) if parameters.recent else set()
    worth = {
        skill: (1 - draw.topics[draw.topic_of[skill]]) * (1 - chance)
        for skill, chance in draw.skills.items()
        if skill not in lately
    }
    best = {name: _best(skills, worth, count) for name, skills in offered.items()}
    values = np.array([sum(worth[skill] for skill in skills) for skills in best.values()])
    place = int(rng.choice(np.flatnonzero(values >= values.max() - 1e-12)))
    name = list(best)[place]
    return SetupChoice(name, best[name], draw.topics)


def _best(skills: Sequence[str], worth: Mapping[str, float], count: int) -> tuple[str, ...]:
    known = [skill for skill in skills if skill in worth]
    return tuple(sorted(known, key=lambda skill: -worth[skill])[:count])


def plan_run(
    strength: Strength,
    candidates: Sequence[Candidate],
    recent: Sequence[str],
    items: Items,
    parameters: Parameters,
    rng: np.random.Generator,
    day: float,
    count: int,
    exam_day: float | None = None,
) -> tuple[Choice, ...]:
    """`count` questions (fewer if there are not so many skills) of different skills, in order of stage.

    Each is chosen by a draw of its own as in `choose`; the order then follows the chain from what is
    seen to what is weighed, so that a run reads as one investigation.
    """
    asked, plan = list(recent), list[Choice]()
    while len(plan) < count:
        taken = {choice.candidate.skill for choice in plan}
        left = [each for each in candidates if each.skill not in taken]
        if not left:
            break
        plan.append(choose(strength, left, asked, items, parameters, rng, day, exam_day))
        asked.append(plan[-1].candidate.skill)
    return tuple(sorted(plan, key=lambda choice: choice.candidate.stage))
