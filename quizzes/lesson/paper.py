"""Worksheets: a homework set or a fresh choice of steps on paper, and the key to it."""

from __future__ import annotations

import uuid
from collections.abc import Sequence

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from accounts.access import class_of_teacher
from accounts.guards import reader_of, teachers_only
from accounts.models import SchoolClass
from accounts.requests import PageRequest
from problems.cell.picture import NOTHING, Hidden, picture
from problems.conventions import written
from problems.question import LEVELS, Question
from quizzes.access import set_of_teacher
from quizzes.courses import conventions_of_class
from quizzes.lesson.forms import PaperForm, letter_of
from quizzes.lesson.scheme import paper_question
from quizzes.lesson.versions import LETTERS, Choice, choice_of, version_of
from quizzes.practice.facts import setup_facts
from quizzes.practice.shown import seen_on

SHEET, KEY = "lesson/sheet.html", "lesson/key.html"


@teachers_only
@require_safe
def set_sheet(request: PageRequest, set_id: uuid.UUID) -> HttpResponse:
    """A homework set on paper, one version of it."""
    return _of_set(request, set_id, SHEET)


@teachers_only
@require_safe
def set_key(request: PageRequest, set_id: uuid.UUID) -> HttpResponse:
    return _of_set(request, set_id, KEY)


@teachers_only
@require_safe
def fresh_sheet(request: PageRequest, class_id: uuid.UUID) -> HttpResponse:
    """A choice of steps on paper, as the address names it; a faulty one is shown in its form."""
    return _of_choice(request, class_id, SHEET)


@teachers_only
@require_safe
def fresh_key(request: PageRequest, class_id: uuid.UUID) -> HttpResponse:
    return _of_choice(request, class_id, KEY)


def _of_set(request: PageRequest, set_id: uuid.UUID, template: str) -> HttpResponse:
    teacher = reader_of(request)
    homework = set_of_teacher(teacher, set_id)
    level = next(level for level in LEVELS if level == homework.level)
    school_class = homework.classes_of(teacher).order_by("pk")[0]
    context: dict[str, object] = {"homework": homework}
    return _on_paper(request, choice_of(homework, level), school_class, template, context)


def _of_choice(request: PageRequest, class_id: uuid.UUID, template: str) -> HttpResponse:
    school_class = class_of_teacher(reader_of(request), class_id)
    form = PaperForm(school_class, request.GET)
    if not form.is_valid():
        return render(request, "lesson/choose.html", {"form": form, "school_class": school_class})
    return _on_paper(request, form.choice, school_class, template, {})


def _on_paper(
    request: PageRequest, choice: Choice, school_class: SchoolClass, template: str, more: dict[str, object]
) -> HttpResponse:
    letter = letter_of(request.GET.get("version", ""))
    with written(conventions_of_class(school_class)):
        version = version_of(choice, letter)
        questions = [paper_question(number, each) for number, each in enumerate(version.questions, 1)]
        hidden = _hidden(version.questions)
        context = {
            **more,
            "school_class": school_class,
            "title": choice.title,
            "version": version,
            "letters": LETTERS,
            "questions": questions,
            "marks": sum(each.marks for each in questions),
            "facts": setup_facts(version.setup),
            "picture": picture(version.setup, version.setup.time, hidden),
            "words": not hidden,
            "same_as_screen": choice.screen is not None and letter == LETTERS[0],
        }
        return render(request, template, context)


def _hidden(questions: Sequence[Question]) -> frozenset[Hidden]:
    """What the drawing at the head of a sheet must not tell, since something below asks for it."""
    return NOTHING.union(*(seen_on(each.skill) for each in questions))
