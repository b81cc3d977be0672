"""All parts for all learners: students split into schools, figures with their standard errors."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from quizzes.adaptive.errors import require
from quizzes.adaptive.parameters import Parameters
from quizzes.adaptive.simulate.cost import cost_us
from quizzes.adaptive.simulate.parts import PARTS, School
from quizzes.adaptive.simulate.tally import Tally, nested, standard_error, value_of
from quizzes.adaptive.simulate.worlds import CLASS_SIZE, WORLDS

CLASSES_A_SCHOOL = 8
LEARNING_ONLY = ("own_band",)
PART_NAMES = (*PARTS, "cost")
STUDENTS, ANSWERS = (10, 100_000), (20, 1_000)
"""The fewest and the most that can be simulated."""


@dataclass(frozen=True, slots=True)
class Plan:
    """What to simulate. Raises SteeringError on what does not exist or cannot be told from so few."""

    students: int
    answers: int
    seed: int
    learners: tuple[str, ...] = tuple(WORLDS)
    parts: tuple[str, ...] = PART_NAMES

    def __post_init__(self) -> None:
        for name, limits in (("students", STUDENTS), ("answers", ANSWERS)):
            low, high = limits
            value = getattr(self, name)
            require(low <= value <= high, name, value, f"must be from {low} to {high}")
        require(self.seed >= 0, "seed", self.seed, "must be 0 or more")
        for name in self.learners:
            require(name in WORLDS, "learners", name, f"must be among {', '.join(WORLDS)}")
        for name in self.parts:
            require(name in PART_NAMES, "part", name, f"must be among {', '.join(PART_NAMES)}")
        require(bool(self.learners), "learners", "", "must name a world")
        require(bool(self.parts), "part", "", "must name a part")

    def schools(self, learner: str) -> Iterator[School]:
        """The students of one world, in schools of about eight classes of 30 with items of their own."""
        number = max(1, round(self.students / (CLASSES_A_SCHOOL * CLASS_SIZE)))
        for place in range(number):
            count = self.students * (place + 1) // number - self.students * place // number
            yield School(learner, count, self.answers, (self.seed, place), Parameters())

    def parts_of(self, learner: str) -> tuple[str, ...]:
        """The parts that make sense for a world: one only differs from another in how practice helps."""
        wanted = tuple(part for part in PARTS if part in self.parts)
        return tuple(part for part in wanted if part == "learning" or learner not in LEARNING_ONLY)

    def steps(self) -> int:
        """Of how many steps a progress bar should have."""
        return sum(len(self.parts_of(each)) * len(list(self.schools(each))) for each in self.learners)


@dataclass(frozen=True, slots=True)
class Results:
    """The figures as they go to JSON, and their standard errors in the same shape of tree."""

    figures: dict[str, Any]
    errors: dict[str, Any]


def run(plan: Plan, step: Callable[[], object] = lambda: None) -> Results:
    """Simulate; `step` is called after each part of each school. The same plan gives the same figures."""
    figures: dict[str, Any] = {}
    errors: dict[str, Any] = {}
    for learner in plan.learners:
        tallies: dict[str, list[Tally]] = {part: [] for part in plan.parts_of(learner)}
        for school in plan.schools(learner):
            for part, collected in tallies.items():
                collected.append(PARTS[part](school))
                step()
        figures[learner] = {part: _tree(each, value_of) for part, each in tallies.items()}
        errors[learner] = {part: _tree(each, standard_error) for part, each in tallies.items()}
    head = {"students": plan.students, "answers": plan.answers, "seed": plan.seed}
    cost = {"cost_us": cost_us()} if "cost" in plan.parts else {}
    return Results({**head, "learners": figures, **cost}, errors)


def _tree(
    tallies: Sequence[Tally], measure: Callable[[tuple[str, ...], Sequence[Tally]], float | None]
) -> dict[str, Any]:
    paths = list(tallies[0])
    return nested(paths, [_rounded(measure(path, tallies)) for path in paths])


def _rounded(value: float | None) -> float | None:
    return value if value is None or isinstance(value, int) else round(value, 4)
