"""Pages that only show: the start page, a past question, the cell at another minute."""

from __future__ import annotations

import uuid

from django.contrib.auth.decorators import login_not_required
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_safe

from accounts.guards import reader_of, students_only
from accounts.models import SchoolClass, User
from accounts.requests import PageRequest
from problems.generators.setups import SHOWCASE
from quizzes import steering
from quizzes.access import own_question, own_run
from quizzes.courses import course_of
from quizzes.homework.due import due_sets
from quizzes.models import Run, SentIn, Strength
from quizzes.practice.forms import SetupForm
from quizzes.practice.shown import hidden_by, shown_cell, shown_question, tries_of
from quizzes.topics import topic_title


@login_not_required
@require_safe
def home(request: PageRequest) -> HttpResponse:
    """The first screen: for a visitor the showcase cell, for a teacher the classes, else practice."""
    if not isinstance(request.user, User):
        return render(request, "front.html", {"cell": shown_cell(SHOWCASE, SHOWCASE.time)})
    if request.user.is_teacher or request.user.is_staff:
        return redirect(_start_of(request.user))
    return render(request, "practice/home.html", _home(request.user))


def _start_of(reader: User) -> str:
    """Where a teacher or a keeper of the site begins; a teacher of no class with making one."""
    if not reader.is_teacher:
        return "school"
    return "classes" if SchoolClass.objects.taught_by(reader).exists() else "new_class"


def _home(student: User) -> dict[str, object]:
    at = timezone.now()
    known = steering.within(steering.current(), course_of(student).not_taught)
    chances = steering.chances(student, at, known)
    row = Strength.objects.filter(student=student).first()
    return {
        "topics": [(topic_title(topic), chance) for topic, chance in chances.items()],
        "answers": row.answers if row else 0,
        "due": due_sets(student, at),
        "open_runs": Run.objects.of(student).to_go_on_with()[:3],
        "setup_form": SetupForm(),
        "replies": SentIn.objects.looked_at_lately(student, at).count(),
    }


@students_only
@require_safe
def past_question(request: PageRequest, question_id: uuid.UUID) -> HttpResponse:
    """A question asked before: what was typed, the feedback, and its solution once it is finished."""
    question = own_question(reader_of(request), question_id)
    if not question.is_over:
        return redirect("run", question.run.public_id)
    with question.run.as_written():
        asked = shown_question(question, timezone.now())
        cell = shown_cell(question.run.setup, question.run.setup.time)
        context: dict[str, object] = {"asked": asked, "run": question.run, "cell": cell}
        context["tries"] = tries_of(question)
        context["is_taught"] = course_of(question.run.student).teaches(question.skill)
        return render(request, "practice/past_question.html", context)


@students_only
@require_safe
def cell(request: PageRequest, run_id: uuid.UUID) -> HttpResponse:
    """The drawing of a run's cell at another minute."""
    run = own_run(reader_of(request), run_id)
    minutes = run.setup.time / 60
    at = 60 * min(max(_number(request.GET.get("minute", ""), minutes), 0), minutes)
    template = "practice/_drawing.html" if request.htmx else "practice/cell.html"
    with run.as_written():
        shown = shown_cell(run.setup, at, hidden_by(run.current_question()))
        return render(request, template, {"run": run, "cell": shown})


def _number(text: str, otherwise: float) -> float:
    """A plain number of a slider; anything else is `otherwise`."""
    whole, _, part = text.partition(".")
    good = len(text) < 12 and all(piece.isascii() and piece.isdigit() for piece in (whole, part or "0"))
    return float(text) if good else otherwise
