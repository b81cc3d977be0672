"""Assigning a set, doing it, and seeing how far a class has come with it."""

from __future__ import annotations

import uuid
from datetime import datetime
from typing import Any

from django.contrib import messages
from django.db import transaction
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from accounts.access import class_of_teacher
from accounts.guards import reader_of, students_only, teachers_only
from accounts.models import SchoolClass, User
from accounts.requests import PageRequest
from quizzes import runs
from quizzes.access import set_of_teacher, set_to_do
from quizzes.homework.forms import HomeworkForm, first_values, values_of
from quizzes.homework.progress import not_begun, progress_of
from quizzes.models import HomeworkSet

WATCHED = 120
"""So often an open page asks for the progress by itself: three times a minute for 40 minutes."""


@teachers_only
@require_http_methods(["GET", "HEAD", "POST"])
def new_set(request: PageRequest, class_id: uuid.UUID) -> HttpResponse:
    teacher, at = reader_of(request), timezone.now()
    school_class = class_of_teacher(teacher, class_id)
    proposed = _proposed(request, school_class, at)
    form = HomeworkForm(teacher, at, request.POST or None, initial=proposed)
    if request.method == "POST" and form.is_valid():
        with transaction.atomic():
            homework = form.save()
        messages.success(request, _("Assigned. Students see it on their start page once it opens."))
        return redirect("homework_set", homework.public_id)
    is_proposed = bool(proposed["title"]) and not form.is_bound
    context = {"form": form, "school_class": school_class, "is_proposed": is_proposed}
    return render(request, "homework/new_set.html", context)


def _proposed(request: PageRequest, school_class: SchoolClass, at: datetime) -> dict[str, Any]:
    """What the form shows first: a copy of the set named in the address, or what suits a topic or step."""
    try:
        like = set_of_teacher(reader_of(request), uuid.UUID(request.GET.get("like", "")))
    except ValueError:
        wanted = request.GET.get("skill") or request.GET.get("topic", "")
        return first_values(school_class, wanted, at)
    return {**values_of(like, at), "classes": [school_class.pk]}


@teachers_only
@require_safe
def homework_set(request: PageRequest, set_id: uuid.UUID) -> HttpResponse:
    teacher = reader_of(request)
    homework = set_of_teacher(teacher, set_id)
    context = {**_progress(homework, teacher, 0), "own_classes": [*homework.classes_of(teacher)]}
    return render(request, "homework/set.html", context)


@teachers_only
@require_safe
def set_progress(request: PageRequest, set_id: uuid.UUID) -> HttpResponse:
    """How far each student has come, asked for again and again by an open page, for a bounded time."""
    teacher = reader_of(request)
    homework = set_of_teacher(teacher, set_id)
    seen = request.GET.get("seen", "")
    looks = int(seen) if seen.isascii() and seen.isdigit() and len(seen) < 5 else WATCHED
    if not request.htmx:
        return redirect("homework_set", set_id)
    return render(request, "homework/_progress.html", _progress(homework, teacher, looks))


def _progress(homework: HomeworkSet, teacher: User, looks: int) -> dict[str, object]:
    rows = progress_of(homework, teacher)
    begun = sum(row.mark.begun_at is not None for row in rows)
    handed_in = sum(row.mark.handed_in_at is not None for row in rows)
    return {
        "homework": homework,
        "rows": rows,
        "begun": begun,
        "handed_in": handed_in,
        "next_look": looks + 1 if looks < WATCHED else None,
    }


@teachers_only
@require_safe
def remind(request: PageRequest, set_id: uuid.UUID) -> HttpResponse:
    """Who has not begun, to read out or to print; hidden, only how many of each class."""
    teacher = reader_of(request)
    homework = set_of_teacher(teacher, set_id)
    context = {
        "homework": homework,
        "classes": not_begun(homework, teacher),
        "with_names": request.GET.get("names") != "hidden",
    }
    return render(request, "homework/remind.html", context)


@students_only
@require_POST
def begin(request: PageRequest, set_id: uuid.UUID) -> HttpResponse:
    student, at = reader_of(request), timezone.now()
    homework = set_to_do(student, set_id)
    if not homework.is_open_for(student, at):
        messages.error(request, _("This set is not open."))
        return redirect("home")
    run = runs.start_homework(student, homework, at)
    return redirect("run", run.public_id)
