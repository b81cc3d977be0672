"""Before a set is done: what a student gets, and the set tried as a student would."""

from __future__ import annotations

import uuid

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from accounts.guards import reader_of, teachers_only
from accounts.models import User
from accounts.requests import PageRequest
from problems.cell.picture import NOTHING
from quizzes.access import set_of_teacher, student_of_set
from quizzes.homework.trial import Trial, Tried, example, examples
from quizzes.models import HomeworkSet, Question
from quizzes.practice.shown import hidden_by, shown_cell
from quizzes.runs import NothingToAskError

LONGEST, MOST = 500, 60
"""Characters of an answer, and answers that a page carries."""


@teachers_only
@require_safe
def preview(request: PageRequest, set_id: uuid.UUID) -> HttpResponse:
    """All questions of a set with keys, as one student would get them."""
    teacher = reader_of(request)
    homework = set_of_teacher(teacher, set_id)
    student = _student(request, homework, teacher)
    context = _whose(homework, student, teacher)
    try:
        context["examples"] = list(examples(homework, student, timezone.now()))
    except NothingToAskError:
        context["examples"] = []
    return render(request, "homework/preview.html", context)


@teachers_only
@require_http_methods(["GET", "HEAD", "POST"])
def try_set(request: PageRequest, set_id: uuid.UUID) -> HttpResponse:
    """One question of the set at a time; a POST judges, gives a hint or shows, and nothing is kept."""
    teacher = reader_of(request)
    homework = set_of_teacher(teacher, set_id)
    student = _student(request, homework, teacher)
    position = min(max(_whole(request.GET.get("question", "1")), 1), homework.number)
    try:
        found = example(homework, student, position, timezone.now())
    except NothingToAskError:
        messages.error(request, _("Nothing more can be asked on this cell."))
        return redirect("homework_set", set_id)
    trial = trial_of(found.question, request.POST)
    hidden = NOTHING if trial.open_part() is None else hidden_by(found.question)
    with trial.run.as_written():
        context = {
            **_whose(homework, student, teacher),
            "example": found,
            "trial": trial,
            "parts": trial.shown_parts(),
            "open_part": trial.open_part(),
            "cell": shown_cell(trial.run.setup, trial.run.setup.time, hidden),
            "next": position + 1 if position < homework.number else None,
        }
        return render(request, "homework/try_set.html", context)


def trial_of(question: Question, data: QueryDict) -> Trial:
    """What was tried so far by the page's own fields, and what its pressed button adds."""
    tried = [_tried(text) for text in data.getlist("tried")[:MOST]]
    hints, done = min(_whole(data.get("hints", "")), 3), data.get("do", "")
    if done == "check":
        typed = " ".join(data.getlist("option")) or data.get("answer", "")[:LONGEST]
        tried.append(Tried(_whole(data.get("part", "")), typed))
    return Trial(question, tried, min(hints + (done == "hint"), 3), done == "show")


def _tried(text: str) -> Tried:
    part, _bar, typed = text.partition("|")
    return Tried(_whole(part), typed[:LONGEST])


def _student(request: HttpRequest, homework: HomeworkSet, teacher: User) -> User:
    """Whom the questions are made for: the student named in the address, else the first of the list; in
    a class that nobody has joined yet, the teacher."""
    named = request.GET.get("for", "")
    if named:
        return student_of_set(teacher, homework.public_id, _uuid(named))[1]
    return homework.students_of(teacher).first() or teacher


def _uuid(text: str) -> uuid.UUID:
    try:
        return uuid.UUID(text)
    except ValueError as error:
        raise Http404 from error


def _whose(homework: HomeworkSet, student: User, teacher: User) -> dict[str, object]:
    """The student, and those who could be chosen where the questions differ between them."""
    same = homework.mode == HomeworkSet.Mode.ONE
    students = [] if same else list(homework.students_of(teacher))
    return {"homework": homework, "student": student, "students": students}


def _whole(text: str) -> int:
    return int(text) if text.isascii() and text.isdigit() and len(text) < 4 else 0
