"""`Skill` and `Question`: what the generators give and everyone above uses."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from random import Random
from typing import Any, Literal

from problems.cell.evidence import Evidence
from problems.cell.setup import Setup

Level = Literal["first_year", "second_year"]
Topic = Literal["reaction_types", "acid_base", "balancing", "redox", "stoichiometry"]
Kind = Literal["equation", "formula", "quantity", "expression", "ratio", "oxidation_number", "choice"]

LEVELS: tuple[Level, ...] = ("first_year", "second_year")
TOPICS: tuple[Topic, ...] = ("reaction_types", "acid_base", "balancing", "redox", "stoichiometry")

Grading = Mapping[str, Any]
"""The fields of the grading contract, less `id` and `answer`."""


@dataclass(frozen=True, slots=True)
class Option:
    """One option of a choice; `why_wrong` is a sentence, empty for a right option."""

    key: str
    text: str
    why_wrong: str = ""


@dataclass(frozen=True, slots=True)
class Part:
    """One thing asked, with its own grading: a whole question of one part, or a step of a chain.

    `carries` names earlier parts (by index, from 0) whose results the key may be computed from, and
    `formula` keeps how, as text over `part0`, `part1`, ...; both are empty for an independent part.
    """

    prompt: str
    grading: Grading
    hints: tuple[str, str, str]
    solution: tuple[str, ...]
    options: tuple[Option, ...] = ()
    skill: str = ""
    carries: tuple[int, ...] = ()
    formula: str = ""


@dataclass(frozen=True, slots=True)
class Made:
    """What a generator returns: an opening text (may be empty) and one part or several."""

    parts: tuple[Part, ...]
    lead: str = ""

    @classmethod
    def single(cls, part: Part) -> "Made":
        return cls((part,))


@dataclass(frozen=True, slots=True)
class Question:
    """A generated task on one setup, complete: the same identity always gives the same question."""

    skill: str
    topic: Topic
    level: Level
    version: int
    seed: int
    setup: Setup
    lead: str
    parts: tuple[Part, ...]


Make = Callable[[Setup, Evidence, Level, Random], Made]
Applies = Callable[[Setup, Evidence], bool]


@dataclass(frozen=True, slots=True)
class Skill:
    """One teachable step of a topic. `name` is `topic.step`; `title` is what pages call it.

    `kind` is the kind of answer of the (last) part; `rests_on` names skills to be sure of first;
    `version` goes up whenever `make` would give another question for the same seed.
    """

    name: str
    topic: Topic
    title: str
    levels: tuple[Level, ...]
    kind: Kind
    applies: Applies
    make: Make
    rests_on: tuple[str, ...] = ()
    version: int = 1

    def rng(self, level: Level, seed: int) -> Random:
        """The only source of chance of one question: the same on every machine."""
        return Random(f"{self.name}/{level}/{self.version}/{seed}")
