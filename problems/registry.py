"""The one list of skills, built once from the modules of `generators/`; immutable."""

from collections.abc import Iterable, Mapping
from functools import lru_cache
from importlib import import_module
from types import MappingProxyType

from problems.cell.evidence import Evidence, evidence
from problems.cell.setup import Setup
from problems.conventions import Conventions
from problems.conventions import current as current_conventions
from problems.errors import ProblemError
from problems.generators import conventional
from problems.generators.setups import setup_and_evidence
from problems.question import TOPICS, Question, Skill
from problems.words import _, current_language


class RegistryError(ProblemError):
    """A list of skills that does not hold together."""


class UnknownSkillError(ProblemError):
    """A name or level that no skill has; `name` and `level` are what was asked for."""

    def __init__(self, name: str, level: str = "") -> None:
        self.name, self.level = name, level
        sentence = _("There is no skill “{name}”; `question --list` names them all.")
        if level:
            sentence = _("The skill {name} is not asked at the level {level}.")
        super().__init__(sentence.format(name=name, level=level))


class NotApplicableError(ProblemError):
    """A skill asked on a setup where it makes no fair question."""

    def __init__(self, name: str, electrolyte: str) -> None:
        self.name, self.electrolyte = name, electrolyte
        super().__init__(
            _("The skill {name} makes no fair question on this {electrolyte} cell.").format(
                name=name, electrolyte=electrolyte
            )
        )


def build(skills: Iterable[Skill]) -> Mapping[str, Skill]:
    """An immutable mapping of the skills by name.

    Raises RegistryError for a name that occurs twice, for a skill that rests on one that is not there,
    and for skills that rest on each other in a circle.
    """
    found: dict[str, Skill] = {}
    for skill in skills:
        if skill.name in found:
            raise RegistryError(_("The skill {name} is there twice.").format(name=skill.name))
        found[skill.name] = skill
    _refuse_cycles(found)
    return MappingProxyType(found)


def _refuse_cycles(skills: Mapping[str, Skill]) -> None:
    done: set[str] = set()
    for name in skills:
        _walk(name, skills, (), done)


def _walk(name: str, skills: Mapping[str, Skill], path: tuple[str, ...], done: set[str]) -> None:
    if name in path:
        circle = " → ".join((*path[path.index(name) :], name))
        raise RegistryError(_("These skills rest on each other: {circle}.").format(circle=circle))
    if name in done:
        return
    if name not in skills:
        raise RegistryError(
            _("{skill} rests on {name}, which is no skill.").format(skill=path[-1], name=name)
        )
    for below in skills[name].rests_on:
        _walk(below, skills, (*path, name), done)
    done.add(name)


def _all_skills() -> Iterable[Skill]:
    for topic in TOPICS:
        package = import_module(f"problems.generators.{topic}")
        yield from package.SKILLS


SKILLS: Mapping[str, Skill] = build(_all_skills())
"""Every skill by name, topic by topic."""


def find(name: str, level: str | None = None) -> Skill:
    """The skill of this name, asked at `level` if one is given; raises UnknownSkillError."""
    skill = SKILLS.get(name)
    if skill is None:
        raise UnknownSkillError(name)
    if level is not None and level not in skill.levels:
        raise UnknownSkillError(name, level)
    return skill


def make_question(name: str, level: str, seed: int, setup: Setup | None = None) -> Question:
    """The question of one skill, level and seed, on `setup` or on one drawn from the seed.

    The same arguments give the same question on every machine. Raises UnknownSkillError, and
    NotApplicableError where `setup` allows no fair question.

    >>> question = make_question("balancing.add_and_cancel", "first_year", 7)
    >>> question == make_question("balancing.add_and_cancel", "first_year", 7)
    True
    """
    skill = find(name, level)
    known = next(each for each in skill.levels if each == level)
    rng = skill.rng(known, seed)
    used, cell = _given(skill, setup) if setup else setup_and_evidence(skill, rng)
    made = conventional.question(skill.make(used, conventional.cell(cell), known, rng))
    return Question(skill.name, skill.topic, known, skill.version, seed, used, made.lead, made.parts)


def _given(skill: Skill, setup: Setup) -> tuple[Setup, Evidence]:
    if skill.name not in _asked_on(setup, current_language(), current_conventions()):
        raise NotApplicableError(skill.name, setup.electrolyte)
    return setup, evidence(setup)


def skills_for(setup: Setup) -> tuple[Skill, ...]:
    """The skills that can fairly be asked on `setup`; none on a refused one."""
    return tuple(_asked_on(setup, current_language(), current_conventions()).values())


@lru_cache(maxsize=1024)
def _asked_on(setup: Setup, language: str, written: Conventions) -> Mapping[str, Skill]:
    """The same by name, found once for each setup as it is told in one language and class."""
    cell = evidence(setup)
    if cell.use == "refused":
        return {}
    return {name: skill for name, skill in SKILLS.items() if skill.applies(setup, cell)}


def graph() -> str:
    """What rests on what, as a Mermaid flow chart, one box a topic; DEVELOPERS.md shows it."""
    lines = ["flowchart LR"]
    for topic in TOPICS:
        lines.append(f"  subgraph {topic}")
        lines += [f'    {_node(skill.name)}["{skill.title}"]' for skill in _of(topic)]
        lines.append("  end")
    for skill in SKILLS.values():
        lines += [f"  {_node(below)} --> {_node(skill.name)}" for below in skill.rests_on]
    return "\n".join(lines)


def _of(topic: str) -> list[Skill]:
    return [skill for skill in SKILLS.values() if skill.topic == topic]


def _node(name: str) -> str:
    return name.replace(".", "__")
