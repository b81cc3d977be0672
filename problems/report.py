"""A question as text for people and as JSON, and the list of skills."""

from collections.abc import Iterator
from dataclasses import asdict
from typing import Any

from problems.question import Part, Question
from problems.registry import SKILLS
from problems.words import _


def skills() -> list[dict[str, Any]]:
    """Every skill with its topic, levels, kind of answer and what it rests on."""
    return [
        {
            "skill": skill.name,
            "topic": skill.topic,
            "title": skill.title,
            "levels": list(skill.levels),
            "kind": skill.kind,
            "rests_on": list(skill.rests_on),
            "version": skill.version,
        }
        for skill in SKILLS.values()
    ]


def skills_text() -> str:
    """The same for people, one skill a line."""
    return "\n".join(
        _("{skill}: {kind}, {levels}; rests on {below}").format(
            skill=skill.name,
            kind=skill.kind.replace("_", " "),
            levels=", ".join(level.replace("_", " ") for level in skill.levels),
            below=", ".join(skill.rests_on) or _("nothing"),
        )
        for skill in SKILLS.values()
    )


def as_json(question: Question) -> dict[str, Any]:
    """The question with everything that grading, helping and showing need; formulas in plain notation."""
    single = question.parts[0] if len(question.parts) == 1 else None
    return {
        "skill": question.skill,
        "topic": question.topic,
        "level": question.level,
        "version": question.version,
        "seed": question.seed,
        "setup": question.setup.as_json(),
        "prompt": question.prompt,
        "options": _options(single) if single else [],
        "grading": dict(single.grading) if single else None,
        "hints": list(single.hints) if single else [],
        "solution": list(single.solution) if single else [],
        "parts": [] if single else [_part(part) for part in question.parts],
    }


def _part(part: Part) -> dict[str, Any]:
    return {
        "prompt": part.prompt,
        "options": _options(part),
        "grading": dict(part.grading),
        "hints": list(part.hints),
        "solution": list(part.solution),
        "skill": part.skill,
        "carries": list(part.carries),
        "formula": part.formula,
    }


def _options(part: Part) -> list[dict[str, str]]:
    return [asdict(option) for option in part.options]


def as_text(question: Question) -> str:
    """The question for a person, with hints and solution below."""
    return "\n".join(_lines(question))


def _lines(question: Question) -> Iterator[str]:
    yield f"{question.skill}, {question.level.replace('_', ' ')}, {question.seed}"
    if len(question.parts) > 1:
        yield question.lead
    for number, part in enumerate(question.parts, 1):
        yield question.prompt if len(question.parts) == 1 else f"{number}. {part.prompt}"
        for option in part.options:
            yield f"   [{option.key}] {option.text}"
        for hint in part.hints:
            yield _("Hint: {hint}").format(hint=hint)
        for line in part.solution:
            yield _("Solution: {line}").format(line=line)
        yield _("Key: {key}").format(key=_key(part))


def _key(part: Part) -> str:
    expected = part.grading["expected"]
    return expected if isinstance(expected, str) else ", ".join(expected)
