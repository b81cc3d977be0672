"""Who is in a class: its teachers and students, and the word that lets a student in."""

from __future__ import annotations

import uuid
from collections.abc import Iterable, Sequence
from datetime import datetime

from django.contrib import messages
from django.db import transaction
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_POST, require_safe

from accounts.access import class_of_teacher
from accounts.changes import Told, class_still_taught, undoes
from accounts.guards import reader_of, teachers_only
from accounts.models import Change, SchoolClass, User
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
@require_POST
def remove_students(request: PageRequest, class_id: uuid.UUID) -> HttpResponse:
    """Says who would leave the class and, with `sure`, removes them; accounts and answers stay."""
    teacher = reader_of(request)
    school_class = class_of_teacher(teacher, class_id)
    chosen = chosen_students(school_class, request.POST.getlist("student"))
    if not chosen:
        return redirect("people", class_id)
    if "sure" not in request.POST:
        context = {"school_class": school_class, "students": chosen}
        return render(request, "teaching/ask_removing.html", context)
    messages.success(request, _told_removal(_remove(teacher, school_class, chosen)))
    return redirect("people", class_id)


def chosen_students(school_class: SchoolClass, ids: Iterable[str]) -> list[User]:
    """The students of a class who were ticked."""
    wanted = set(ids)
    return [student for student in User.objects.students_of(school_class) if str(student.public_id) in wanted]


@transaction.atomic
def _remove(teacher: User, school_class: SchoolClass, students: Sequence[User]) -> Told:
    keys = school_class.remove_students(students)
    told = {"count": len(keys), "class": school_class.name}
    payload = {"class": school_class.pk, "students": keys}
    Change.objects.record(teacher, "remove_students", timezone.now(), told, payload)
    return told


def _told_removal(told: Told) -> str:
    sentence = ngettext(
        "%(count)d student removed from %(class)s.",
        "%(count)d students removed from %(class)s.",
        told["count"],
    )
    return sentence % told


@undoes("remove_students", _told_removal)
def _bring_back(change: Change, at: datetime) -> None:
    class_still_taught(change, change.payload["class"]).bring_students(change.payload["students"])
