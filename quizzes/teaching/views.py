"""A teacher's classes, and one class: students by topics, and what it lacks."""

from __future__ import annotations

import uuid

from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_safe

from accounts.access import class_of_teacher
from accounts.guards import reader_of, teachers_only
from accounts.models import SchoolClass
from accounts.requests import PageRequest
from quizzes.models import HomeworkSet
from quizzes.teaching.class_table import class_table
from quizzes.teaching.forms import ClassForm


@teachers_only
@require_safe
def classes(request: PageRequest) -> HttpResponse:
    taught = SchoolClass.objects.taught_by(reader_of(request)).current()
    return render(request, "teaching/classes.html", {"classes": taught})


@teachers_only
@require_http_methods(["GET", "HEAD", "POST"])
def new_class(request: PageRequest) -> HttpResponse:
    form = ClassForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        school_class = SchoolClass.objects.start(reader_of(request), **form.cleaned_data)
        return redirect("class_page", school_class.public_id)
    return render(request, "teaching/new_class.html", {"form": form})


@teachers_only
@require_safe
def class_page(request: PageRequest, class_id: uuid.UUID) -> HttpResponse:
    school_class = class_of_teacher(reader_of(request), class_id)
    context = {
        "school_class": school_class,
        "table": class_table(school_class, timezone.now()),
        "sets": HomeworkSet.objects.filter(classes=school_class),
    }
    return render(request, "teaching/class_page.html", context)
