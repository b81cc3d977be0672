"""The questions of a worksheet: versions A to D of one choice, alike in kind, different in every number.

The same choice gives the same sheets on every day; nothing is stored.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from random import Random

from problems.cell.evidence import evidence
from problems.cell.setup import Setup
from problems.generators import say
from problems.generators.setups import RECIPES, draw
from problems.question import Level, Part, Question
from problems.registry import SKILLS, make_question
from quizzes.models import HomeworkSet
from quizzes.runs import askable
from quizzes.steering import random_of, seed_of

LETTERS = ("A", "B", "C", "D")
TRIES = 40
"""So often other numbers are drawn for a setup or a question before the old ones must do."""


@dataclass(frozen=True, slots=True)
class Choice:
    """What is to stand on paper; `screen` is the seed of a set that gives everybody the same questions, so
    that version A can be what they get on the screen."""

    title: str
    setup: Setup
    skills: Sequence[str]
    level: Level
    number: int
    seed: int
    screen: int | None = None


@dataclass(frozen=True, slots=True)
class Version:
    """One sheet: its letter, the cell it is about, and its questions in their order."""

    letter: str
    setup: Setup
    questions: Sequence[Question]


def choice_of(homework: HomeworkSet, level: Level) -> Choice:
    """A homework set on paper: where it is chosen for each student, its steps in turn."""
    return Choice(
        homework.title,
        Setup.from_json(homework.setup_json),
        homework.skills,
        level,
        homework.number,
        homework.seed,
        homework.seed if homework.mode == HomeworkSet.Mode.ONE else None,
    )


def version_of(choice: Choice, letter: str) -> Version:
    """The version of this letter; empty where nothing of the choice can be asked on its setup."""
    made: list[Version] = []
    for each in LETTERS[: LETTERS.index(letter) + 1]:
        made.append(_version(choice, each, made))
    return made[-1]


def _version(choice: Choice, letter: str, earlier: Sequence[Version]) -> Version:
    skills = _asked(choice)
    setup = _setup(choice, letter, skills, earlier)
    questions: list[Question] = []
    for position in range(1, choice.number + 1) if skills else ():
        skill = skills[(position - 1) % len(skills)]
        taken = {key for version in earlier for key in keys_of(version.questions[position - 1])}
        questions.append(_question(choice, letter, skill, position, setup, taken))
    return Version(letter, setup, questions)


def _asked(choice: Choice) -> list[str]:
    return [name for name in askable(choice.setup) if name in choice.skills]


def _question(
    choice: Choice, letter: str, skill: str, position: int, setup: Setup, taken: set[str]
) -> Question:
    """The first question drawn none of whose numbers another version has; the last one where all fail."""
    levels = SKILLS[skill].levels
    level = choice.level if choice.level in levels else levels[0]
    for seed in _seeds(choice, letter, position):
        made = make_question(skill, level, seed, setup)
        if not taken & keys_of(made):
            break
    return made


def _seeds(choice: Choice, letter: str, position: int) -> Iterator[int]:
    if letter == "A" and choice.screen is not None:
        yield seed_of(choice.screen, position)
        return
    for attempt in range(TRIES):
        yield seed_of("paper", choice.seed, letter, position, attempt)


def keys_of(question: Question) -> set[str]:
    """The keys of what is asked as a number."""
    return {_key(part) for part in question.parts if part.grading["kind"] == "quantity"}


def _key(part: Part) -> str:
    return str(part.grading["expected"])


def _setup(choice: Choice, letter: str, skills: Sequence[str], earlier: Sequence[Version]) -> Setup:
    """Version A is about the setup chosen; the others about the same cell with other numbers, as long as
    everything can be asked of it and it is fit for the same use."""
    if letter == "A":
        return choice.setup
    rng, use = random_of("paper", choice.seed, letter), evidence(choice.setup).use
    wanted = set(skills)
    for _attempt in range(TRIES):
        drawn = _drawn(choice.setup, rng)
        others = all(_apart(drawn, version.setup) for version in earlier)
        if others and wanted <= {*askable(drawn)} and evidence(drawn).use == use:
            return drawn
    return choice.setup


def _drawn(setup: Setup, rng: Random) -> Setup:
    recipes = [recipe for recipe in RECIPES if recipe.electrolyte == setup.electrolyte]
    if not recipes:
        return setup
    kept = {name: getattr(setup, name) for name in ("cathode", "anode", "indicator", "hydrate")}
    return replace(draw(rng.choice(recipes), rng), **kept)


def _apart(one: Setup, other: Setup) -> bool:
    """Whether current, time and charge differ, on which nearly every number rests."""
    return (
        one.current != other.current
        and one.time != other.time
        and abs(one.current * one.time / (other.current * other.time) - 1) > 0.03
    )


def says_more(question: Question) -> str:
    """The opening of a question, less the sentence about the cell that stands at the head of the sheet."""
    return question.lead.removeprefix(say.cell(question.setup)).strip()
