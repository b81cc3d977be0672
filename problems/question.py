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

Spread = Literal["family", "reaction", "electrolyte"]

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
    `formula` keeps how, as text over `part0`, `part1`, ... (`problems.chain` works it out); both are
    empty for an independent part. `skill` is the skill that a step of a chain belongs to, empty where
    it is the question's own. `several` says that any number of options may be right.

    Raises ValueError for a part that could not be asked.
    """

    prompt: str
    grading: Grading
    hints: tuple[str, str, str]
    solution: tuple[str, ...]
    options: tuple[Option, ...] = ()
    skill: str = ""
    carries: tuple[int, ...] = ()
    formula: str = ""
    several: bool = False

    def __post_init__(self) -> None:
        if not self.prompt or len(self.hints) != 3 or not all(self.hints) or not self.solution:
            raise ValueError("A part has a prompt, three hints and a solution.")
        if bool(self.carries) != bool(self.formula):
            raise ValueError("A part that carries results says how they give its own, and no other does.")
        if (self.grading["kind"] == "choice") != bool(self.options):
            raise ValueError("A choice has options, and nothing else does.")
        if self.options:
            self._check_options()

    def _check_options(self) -> None:
        keys = [option.key for option in self.options]
        right = {option.key for option in self.options if not option.why_wrong}
        if len(set(keys)) != len(keys) or len({option.text for option in self.options}) != len(keys):
            raise ValueError("The options of a choice are distinct.")
        if set(self.grading["expected"]) != right:
            raise ValueError("Every wrong option says why, and no right one does.")
        if len(right) > 1 and not self.several:
            raise ValueError("Where several options are right, several may be chosen.")


@dataclass(frozen=True, slots=True)
class Made:
    """What a generator returns: an opening text (may be empty) and one part or several."""

    parts: tuple[Part, ...]
    lead: str = ""

    def __post_init__(self) -> None:
        if not self.parts:
            raise ValueError("A question asks something.")
        for index, part in enumerate(self.parts):
            if any(not 0 <= carried < index for carried in part.carries):
                raise ValueError("A part carries only results of earlier parts.")

    @classmethod
    def single(cls, part: Part, lead: str = "") -> "Made":
        return cls((part,), lead)


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

    @property
    def prompt(self) -> str:
        """The whole text of a question of one part; of several, the opening."""
        return " ".join(filter(None, (self.lead, self.parts[0].prompt if len(self.parts) == 1 else "")))


Make = Callable[[Setup, Evidence, Level, Random], Made]
Applies = Callable[[Setup, Evidence], bool]


@dataclass(frozen=True, slots=True)
class Skill:
    """One teachable step of a topic. `name` is `topic.step`; `title` is what pages call it.

    `kind` is the kind of answer of the (last) part; `rests_on` names skills to be sure of first;
    `version` goes up whenever `make` would give another question for the same seed. `title` is marked
    for translation where it is written and translated by `problems.words._` where it is shown. `spread`
    says what the setups drawn for it are spread over, so that no answer crowds out the others.
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
    spread: Spread = "family"

    def __post_init__(self) -> None:
        if self.name.partition(".")[0] != self.topic or not self.levels or not self.title:
            raise ValueError(
                f"The skill {self.name} needs a title, a level and a name that opens with its topic."
            )

    def rng(self, level: Level, seed: int) -> Random:
        """The only source of chance of one question: the same on every machine."""
        return Random(f"{self.name}/{level}/{self.version}/{seed}")
