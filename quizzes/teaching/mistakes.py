"""What goes wrong in a class: the codes behind its wrong answers, by skill, with what was typed.

Counted in the database over a limited time; what people typed is fetched for a few answers only.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Container, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from django.db.models import Count, F, Window
from django.db.models.fields.json import KT
from django.db.models.functions import RowNumber

from accounts.models import SchoolClass
from problems.grading.codes import entry, sentence
from problems.question import Option
from quizzes.models import Answer, HomeworkSet, judged
from quizzes.templatetags.answers import skill_title

LOOKED_BACK = timedelta(weeks=6)
GROUPS = 24
"""So many mistakes are listed, those of most students first."""
FETCHED, EXAMPLES = 8, 3
"""Answers looked at for each mistake, and different ones shown."""

Group = tuple[str, str]
"""A skill and a code."""


@dataclass(frozen=True, slots=True)
class Example:
    """What one student typed or chose, and of an option why it is wrong; `name` is empty where none is to be
    shown."""

    typed: str
    is_chosen: bool
    why: str
    name: str


@dataclass(frozen=True, slots=True)
class Mistake:
    """One code on one skill: what it means, how many students it is seen from, and an example question."""

    code: str
    heading: str
    means: str
    students: int
    answers: int
    prompt: str
    examples: Sequence[Example]


@dataclass(frozen=True, slots=True)
class SkillMistakes:
    skill: str
    title: str
    mistakes: Sequence[Mistake]


def mistakes_of(school_class: SchoolClass, at: datetime, with_names: bool) -> Sequence[SkillMistakes]:
    """The mistakes of a class's last weeks, those of most students first, under their skills.

    Names stand only beside answers to the class's own sets, and only `with_names`.
    """
    groups = _groups(school_class, at)
    named = _own_sets(school_class) if with_names else ()
    answers = _answers(school_class, at, [group["skill"] for group in groups])
    by_skill: dict[str, list[Mistake]] = defaultdict(list)
    for group in groups:
        found = answers.get((group["skill"], group["code"]), [])
        by_skill[group["skill"]].append(_mistake(group, found, named))
    return [SkillMistakes(skill, skill_title(skill), found) for skill, found in by_skill.items()]


def _groups(school_class: SchoolClass, at: datetime) -> Sequence[Mapping[str, Any]]:
    counted = _wrong(school_class, at).order_by().values("code", skill=F("question__skill"))
    totals = counted.annotate(students=Count("student", distinct=True), answers=Count("pk"))
    return list(totals.order_by("-students", "-answers", "skill", "code")[:GROUPS])


def _wrong(school_class: SchoolClass, at: datetime) -> Any:
    """Answers to steps in play, not fully right by today's rulings, each with its first code as `code`."""
    lately = judged(Answer.objects.of_class(school_class).since(at - LOOKED_BACK))
    lately = lately.exclude(question__skill__in=school_class.not_taught)
    return lately.filter(final__lt=1).annotate(code=KT("codes__0")).filter(code__isnull=False)


def _answers(school_class: SchoolClass, at: datetime, skills: Sequence[str]) -> dict[Group, list[Answer]]:
    """The last few answers of each group. Two queries, so that no question is read in vain."""
    place = Window(
        RowNumber(),
        partition_by=[F("question__skill"), KT("codes__0")],
        order_by=[F("at").desc(), F("pk").desc()],
    )
    ranked = _wrong(school_class, at).order_by().filter(question__skill__in=skills).annotate(place=place)
    chosen = list(ranked.filter(place__lte=FETCHED).values_list("pk", flat=True))
    found: dict[Group, list[Answer]] = defaultdict(list)
    for answer in (
        Answer.objects.filter(pk__in=chosen).select_related("question__run", "student").order_by("-at", "-pk")
    ):
        found[answer.question.skill, answer.codes[0]].append(answer)
    return found


def _own_sets(school_class: SchoolClass) -> Container[int | None]:
    return set(HomeworkSet.objects.filter(classes=school_class).values_list("pk", flat=True))


def _mistake(group: Mapping[str, Any], answers: Sequence[Answer], named: Container[int | None]) -> Mistake:
    part = answers[0].question.snapshot.parts[answers[0].part]
    kind = part.grading["kind"]
    known = entry(kind, group["code"])
    return Mistake(
        group["code"],
        known.heading if known else "",
        sentence(kind, group["code"]),
        group["students"],
        group["answers"],
        part.prompt,
        _examples(answers, named),
    )


def _examples(answers: Sequence[Answer], named: Container[int | None]) -> Sequence[Example]:
    """The last answers that differ."""
    shown: dict[str, Example] = {}
    for answer in answers:
        options = chosen_options(answer)
        text = "; ".join(option.text for option in options) or answer.typed
        why = " ".join(option.why_wrong for option in options if option.why_wrong)
        own = answer.question.run.homework_set_id in named
        shown.setdefault(text, Example(text, bool(options), why, answer.student.display_name if own else ""))
    return list(shown.values())[:EXAMPLES]


def chosen_options(answer: Answer) -> Sequence[Option]:
    """The options that were chosen; none where the answer was typed."""
    keys = answer.typed.split()
    options = answer.question.snapshot.parts[answer.part].options
    return [option for option in options if option.key in keys]
