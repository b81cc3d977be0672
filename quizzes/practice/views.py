"""A run as it is done: start, answer, hint, show, next, end.

Every action is a POST that changes rows and then shows the run page, whole or, for htmx, only its
question; both come from the same templates, so the page works the same without JavaScript. They are
sent compressed: the only secret in them is the form's token, which looks different every time.
"""

from __future__ import annotations

import uuid
from collections.abc import Callable
from datetime import datetime
from typing import Any, Literal

from django.contrib import messages
from django.contrib.messages import get_messages
from django.db import transaction
from django.http import HttpResponse, HttpResponseBadRequest
from django.middleware.csrf import get_token
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.gzip import gzip_page
from django.views.decorators.http import require_POST, require_safe

from accounts.guards import reader_of, students_only
from accounts.requests import PageRequest
from quizzes import answering, fragments, runs
from quizzes.access import own_question, own_run
from quizzes.models import Answer, Question, Run
from quizzes.practice.forms import AnswerForm, SetupForm
from quizzes.practice.reading import live_reading
from quizzes.practice.shown import (
    hidden_by,
    seen_on_drawing,
    shown_cell,
    shown_question,
    shown_summary,
)

Focus = Literal["heading", "feedback", "hints"]


@students_only
@require_POST
def start(request: PageRequest) -> HttpResponse:
    form = SetupForm(request.POST)
    if not form.is_valid():
        messages.error(request, _("Choose a setup from the list."))
        return redirect("home")
    run = runs.start_run(reader_of(request), timezone.now(), form.setup())
    return redirect("run", run.public_id)


@gzip_page
@students_only
@require_safe
def run_page(request: PageRequest, run_id: uuid.UUID) -> HttpResponse:
    run = own_run(reader_of(request), run_id)
    return _render(request, run, run.current_question())


@gzip_page
@students_only
@require_POST
def next_step(request: PageRequest, run_id: uuid.UUID) -> HttpResponse:
    with transaction.atomic():
        run = own_run(reader_of(request), run_id, lock=True)
        question = _next_of(run, request)
    return _after(request, run, question, "heading")


def _next_of(run: Run, request: PageRequest) -> Question | None:
    try:
        return runs.next_of_locked(run, timezone.now())
    except runs.NothingToAskError:
        run.end(timezone.now())
        messages.info(request, _("Nothing more can be asked on this cell, so the run ends here."))
        return None


@students_only
@require_POST
def end(request: PageRequest, run_id: uuid.UUID) -> HttpResponse:
    run = own_run(reader_of(request), run_id)
    run.end(timezone.now())
    return _after(request, run, run.current_question(), "heading")


@gzip_page
@students_only
@require_POST
def answer(request: PageRequest, question_id: uuid.UUID) -> HttpResponse:
    return _take(request, question_id, _submit)


@gzip_page
@students_only
@require_POST
def hint(request: PageRequest, question_id: uuid.UUID) -> HttpResponse:
    question = own_question(reader_of(request), question_id)
    homework = question.run.homework_set
    if not question.is_over and (homework is None or homework.hints_allowed):
        question.see_hint(min(question.hints_seen + 1, 3))
    return _after(request, question.run, question, "hints")


@gzip_page
@students_only
@require_POST
def show(request: PageRequest, question_id: uuid.UUID) -> HttpResponse:
    return _take(request, question_id, _show)


def _take(
    request: PageRequest, question_id: uuid.UUID, record: Callable[[Question, AnswerForm, datetime], Answer]
) -> HttpResponse:
    """Let `record` count what came from a part's form, once, and show how the question stands then."""
    question = own_question(reader_of(request), question_id)
    form = AnswerForm(question, request.POST)
    if not form.is_valid():
        return HttpResponseBadRequest(_("This did not come from its page. Load the page again."))
    taken = None
    try:
        with question.run.as_written():
            taken = record(question, form, timezone.now())
    except answering.ClosedError as fault:
        messages.info(request, str(fault))
    return _after(request, question.run, question, "feedback", taken)


def _submit(question: Question, form: AnswerForm, at: datetime) -> Answer:
    return answering.submit(question, form.part, form.typed, form.token, at)


def _show(question: Question, form: AnswerForm, at: datetime) -> Answer:
    return answering.show(question, form.token, at)


@students_only
@require_POST
def reading(request: PageRequest, question_id: uuid.UUID) -> HttpResponse:
    """How the text in the box is understood so far; never whether it is right."""
    question = own_question(reader_of(request), question_id)
    form = AnswerForm(question, request.POST, only_reading=True)
    return HttpResponse(fragments.render("reading", reading=live_reading(question, form.part, form.text)))


def _after(
    request: PageRequest, run: Run, question: Question | None, focus: Focus, taken: Answer | None = None
) -> HttpResponse:
    """After an action: the question alone for htmx, else the page anew, at the question."""
    if request.htmx:
        return _render(request, run, question, focus, taken)
    return redirect(f"{_path(run)}#question")


def _path(run: Run) -> str:
    return redirect("run", run.public_id).url


def _render(
    request: PageRequest,
    run: Run,
    question: Question | None,
    focus: Focus | None = None,
    taken: Answer | None = None,
) -> HttpResponse:
    """The whole page, or with `focus` the question alone, and what of it the keys go to."""
    with run.as_written():
        context = _context(run, question, focus, taken)
        if focus is None:
            return render(request, "practice/run.html", context)
        context |= {"csrf_token": get_token(request), "messages": get_messages(request)}
        return HttpResponse(fragments.render("question", **context))


def _context(
    run: Run, question: Question | None, focus: Focus | None, taken: Answer | None
) -> dict[str, Any]:
    homework = run.homework_set
    context: dict[str, Any] = {"run": run, "focus": focus}
    context["hints_allowed"] = homework is None or homework.hints_allowed
    if homework and focus is None:
        context["due_at"] = homework.due_for(run.student)
    if not run.is_open:
        context["summary"] = shown_summary(run, timezone.now())
    elif question is not None:
        context["asked"] = shown_question(question, timezone.now(), taken)
    # With the question alone, the drawing goes along only where the question decides what it shows.
    if focus is None or (question is not None and seen_on_drawing(question)):
        context["cell"] = shown_cell(run.setup, run.setup.time, hidden_by(question))
    return context
