"""What one step costs on this machine [µs]: the best of several repeats, as other work disturbs."""

from __future__ import annotations

from collections.abc import Callable
from timeit import repeat

import numpy as np

from quizzes.adaptive.choice import Candidate, choose
from quizzes.adaptive.class_view import class_view
from quizzes.adaptive.items import Items
from quizzes.adaptive.parameters import Parameters
from quizzes.adaptive.report import skill_chances, topic_chances, weak_topics
from quizzes.adaptive.simulate.worlds import CLASS_SIZE, LEVELS, SKILL_MAP
from quizzes.adaptive.state import Strength
from quizzes.adaptive.update import Observation, replay, update

CANDIDATES = 60
REPEATS = 5


def cost_us() -> dict[str, float]:
    """Cost of an update, a choice among 60, a student's whole report and the view of a class of 30 [µs]."""
    return {name: round(microseconds(call, runs), 1) for name, (call, runs) in calls().items()}


def microseconds(call: Callable[[], object], runs: int) -> float:
    """Least mean time of `runs` calls [µs]."""
    return min(repeat(call, number=runs, repeat=REPEATS)) / runs * 1e6


def calls() -> dict[str, tuple[Callable[[], object], int]]:
    """What is timed, and how often in one repeat; for tests and benchmarks as well."""
    parameters = Parameters()
    items = Items.cold(dict.fromkeys(SKILL_MAP.skills, LEVELS), parameters)
    candidates = example_candidates(items, parameters)
    strength = example_strength(items, parameters)
    skill, level = SKILL_MAP.skills[7], LEVELS[0]
    seen = Observation(skill, items.item(skill, level), 1.0, 9.0, parameters.guess)
    rng, recent = np.random.default_rng(3), SKILL_MAP.skills[:10]
    return {
        "update": (lambda: update(strength, seen, parameters), 300),
        "choose_60": (lambda: choose(strength, candidates, recent, items, parameters, rng, 9.0, 20.0), 200),
        "report": (lambda: report(strength, items, parameters), 50),
        "class_30": (lambda: class_view([strength] * CLASS_SIZE, items, parameters), 5),
    }


def report(strength: Strength, items: Items, parameters: Parameters) -> tuple[object, ...]:
    """All that a student's page shows."""
    return (
        topic_chances(strength, items, parameters),
        skill_chances(strength, items, parameters),
        weak_topics(strength, items, parameters),
    )


def example_candidates(items: Items, parameters: Parameters) -> list[Candidate]:
    """60 questions over all skills and both levels."""
    pairs = [(skill, level) for skill in SKILL_MAP.skills for level in LEVELS]
    return [
        Candidate(skill, level, items.item(skill, level), parameters.guess)
        for skill, level in [*pairs, *pairs][:CANDIDATES]
    ]


def example_strength(items: Items, parameters: Parameters) -> Strength:
    """A student after 40 answers on 8 days."""
    seen = [
        Observation(
            skill, items.item(skill, LEVELS[turn % 2]), float(turn % 3 > 0), turn // 5, parameters.guess
        )
        for turn, skill in enumerate([*SKILL_MAP.skills, *SKILL_MAP.skills[:15]])
    ]
    return replay(Strength.prior(SKILL_MAP, parameters), seen, parameters)
