"""Who is in a class: its teachers and students, and the word that lets a student in."""

from __future__ import annotations

import uuid

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from accounts.access import class_of_teacher, student_of_class
from accounts.guards import reader_of, teachers_only
from accounts.models import SchoolClass, User
from accounts.requests import PageRequest
from quizzes.teaching.forms import CoTeacherForm


@teachers_only
@require_safe
def people(request: PageRequest, class_id: uuid.UUID) -> HttpResponse:
    school_class = class_of_teacher(reader_of(request), class_id)
    return render(request, "teaching/people.html", _people(school_class, CoTeacherForm()))


def _people(school_class: SchoolClass, form: CoTeacherForm) -> dict[str, object]:
    return {
        "school_class": school_class,
        "teachers": User.objects.teachers_of(school_class),
        "students": User.objects.students_of(school_class),
        "form": form,
    }


@teachers_only
@require_POST
def join_word(request: PageRequest, class_id: uuid.UUID) -> HttpResponse:
    """Open or close the class, or change its word, as the pressed button says."""
    school_class = class_of_teacher(reader_of(request), class_id)
    wanted = request.POST.get("do", "")
    if wanted == "change":
        school_class.change_join_word()
        messages.success(request, _("The join word is a new one. The old one lets nobody in any more."))
    elif wanted in ("open", "close"):
        school_class.let_join(wanted == "open")
    return redirect("people", class_id)


@teachers_only
@require_POST
def add_teacher(request: PageRequest, class_id: uuid.UUID) -> HttpResponse:
    school_class = class_of_teacher(reader_of(request), class_id)
    form = CoTeacherForm(request.POST)
    if form.is_valid():
        colleague = form.cleaned_data["username"]
        school_class.add_teacher(colleague)
        messages.success(
            request, _("%(name)s teaches this class too now.") % {"name": colleague.display_name}
        )
        return redirect("people", class_id)
    return render(request, "teaching/people.html", _people(school_class, form))


@teachers_only
@require_http_methods(["GET", "HEAD", "POST"])
def remove_student(request: PageRequest, class_id: uuid.UUID, student_id: uuid.UUID) -> HttpResponse:
    """Asks first; account and answers stay, and the join word lets the student in again."""
    school_class, student = student_of_class(reader_of(request), class_id, student_id)
    if request.method == "POST":
        school_class.remove_student(student)
        messages.success(request, _("%(name)s is no longer in this class.") % {"name": student.display_name})
        return redirect("people", class_id)
    context = {"school_class": school_class, "student": student}
    return render(request, "teaching/remove_student.html", context)
