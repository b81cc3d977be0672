"""Assigning a set, doing it, and seeing how far a class has come with it."""

from __future__ import annotations

import uuid

from django.contrib import messages
from django.db import transaction
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from accounts.access import class_of_teacher
from accounts.guards import reader_of, students_only, teachers_only
from accounts.requests import PageRequest
from quizzes import runs
from quizzes.access import set_of_teacher, set_to_do
from quizzes.homework.forms import HomeworkForm, first_values
from quizzes.homework.progress import progress_of


@teachers_only
@require_http_methods(["GET", "HEAD", "POST"])
def new_set(request: PageRequest, class_id: uuid.UUID) -> HttpResponse:
    teacher, at = reader_of(request), timezone.now()
    school_class = class_of_teacher(teacher, class_id)
    wanted = request.GET.get("skill") or request.GET.get("topic", "")
    proposed = first_values(school_class, wanted, at)
    form = HomeworkForm(teacher, at, request.POST or None, initial=proposed)
    if request.method == "POST" and form.is_valid():
        with transaction.atomic():
            homework = form.save()
        messages.success(request, _("Assigned. Students see it on their start page once it opens."))
        return redirect("homework_set", homework.public_id)
    return render(request, "homework/new_set.html", {"form": form, "school_class": school_class})


@teachers_only
@require_safe
def homework_set(request: PageRequest, set_id: uuid.UUID) -> HttpResponse:
    teacher = reader_of(request)
    homework = set_of_teacher(teacher, set_id)
    context = {"homework": homework, "rows": progress_of(homework, teacher)}
    return render(request, "homework/set.html", context)


@students_only
@require_POST
def begin(request: PageRequest, set_id: uuid.UUID) -> HttpResponse:
    student, at = reader_of(request), timezone.now()
    homework = set_to_do(student, set_id)
    if not homework.is_open(at):
        messages.error(request, _("This set is not open."))
        return redirect("home")
    run = runs.start_homework(student, homework, at)
    return redirect("run", run.public_id)
