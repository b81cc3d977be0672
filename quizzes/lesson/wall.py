"""One question for the projector: made from the address, stored nowhere, without a word about students."""

from __future__ import annotations

import uuid
from collections.abc import Mapping

from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.http import urlencode
from django.views.decorators.http import require_safe

from accounts.access import class_of_teacher
from accounts.guards import reader_of, teachers_only
from accounts.models import SchoolClass
from accounts.requests import PageRequest
from problems.conventions import written
from problems.question import Level, Question
from problems.registry import make_question
from quizzes.courses import conventions_of_class
from quizzes.lesson.forms import NUMBERS, WallForm
from quizzes.lesson.scheme import paper_question
from quizzes.steering import seed_of
from quizzes.teaching.weak_skills import weak_skills

TRIES = 30
"""So many numbers are tried for a question in which a named mistake can be made."""
SHORT, MIDDLING = 320, 650
"""Signs of a question that are shown in the largest and in the middle size of type."""


@teachers_only
@require_safe
def wall(request: PageRequest, class_id: uuid.UUID) -> HttpResponse:
    """A question of the step in the address, of the weakest step where none is named, or of one in which
    the mistake in the address can be made; `show` reveals answer and solution."""
    school_class = class_of_teacher(reader_of(request), class_id)
    form = WallForm(school_class, request.GET)
    if not form.is_valid():
        return redirect(_first(school_class))
    asked = form.cleaned_data
    seed = asked["numbers"] or 0
    with written(conventions_of_class(school_class)):
        question = _made(asked["skill"], form.level_of(asked["skill"]), seed, asked["code"])
        context = {
            "school_class": school_class,
            "asked": paper_question(1, question),
            "size": _size(question),
            "show": asked["show"],
            "turned": asked["ground"],
            **_links(asked, seed),
        }
        return render(request, "lesson/wall.html", context)


def _first(school_class: SchoolClass) -> str:
    """The address of the weakest step's question, or the first step's where nothing is known."""
    found = weak_skills(school_class, timezone.now())
    names = [line.found.skill for line in found.weakest] or [*WallForm(school_class).course.skills]
    path = reverse("wall", args=[school_class.public_id])
    return f"{path}?{urlencode({'skill': names[0], 'numbers': '1'})}" if names else _lesson(school_class)


def _lesson(school_class: SchoolClass) -> str:
    return reverse("lesson", args=[school_class.public_id])


def _made(skill: str, level: Level, seed: int, code: str) -> Question:
    """The question of a seed; with a code, of the first of its seeds in which that slip can be made."""
    question = make_question(skill, level, seed_of("wall", seed))
    if not code:
        return question
    for attempt in range(TRIES):
        other = make_question(skill, level, seed_of("wall", seed, attempt))
        if any(code in part.grading.get("slips", {}) for part in other.parts):
            return other
    return question


def _links(asked: Mapping[str, str], seed: int) -> dict[str, str]:
    """Where the keys lead: to more of this question, to the next, and to the other ground."""
    kept: dict[str, str] = {name: asked[name] for name in ("skill", "code", "ground") if asked[name]}
    here = {**kept, "numbers": str(seed)}
    ground = {} if asked["ground"] else {"ground": "turned"}
    plain = {name: value for name, value in here.items() if name != "ground"}
    return {
        "answer": "?" + urlencode({**here, "show": "answer"}),
        "solution": "?" + urlencode({**here, "show": "solution"}),
        "hide": "?" + urlencode(here),
        "next": "?" + urlencode({**kept, "numbers": str((seed + 1) % NUMBERS)}),
        "other_ground": "?" + urlencode({**plain, **ground, "show": asked["show"]}),
    }


def _size(question: Question) -> str:
    """How large the type may be, by how much there is to read."""
    signs = len(question.lead) + sum(
        len(part.prompt) + sum(len(option.text) + 20 for option in part.options) for part in question.parts
    )
    return "large" if signs < SHORT else "middling" if signs < MIDDLING else "small"
