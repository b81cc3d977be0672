"""Sign-in slips on paper, and new passwords for students who forgot theirs or never had one."""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from dataclasses import dataclass

from django.db import transaction
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.debug import sensitive_variables
from django.views.decorators.http import require_POST, require_safe

from accounts.access import class_of_teacher
from accounts.guards import reader_of, teachers_only
from accounts.models import SchoolClass, User
from accounts.passwords import give_new_password
from accounts.requests import PageRequest

AT_ONCE = 60
"""So many passwords are hashed in one request; with Argon2 each takes some tens of milliseconds."""


@dataclass(frozen=True, slots=True)
class Slip:
    """What one student needs to sign in; `password` is empty where it was not replaced just now."""

    student: User
    password: str = ""


@teachers_only
@require_safe
def slips(request: PageRequest, class_id: uuid.UUID) -> HttpResponse:
    """The slips without passwords, and whose password may be replaced."""
    school_class = class_of_teacher(reader_of(request), class_id)
    students = User.objects.students_of(school_class)
    context = {
        "school_class": school_class,
        "slips": [Slip(student) for student in students],
        "ticked": [student.pk for student in students if not student.has_usable_password()][:AT_ONCE],
        "sign_in_at": _sign_in_at(request),
        "at_once": AT_ONCE,
    }
    return render(request, "teaching/slips.html", context)


@teachers_only
@require_POST
@sensitive_variables("made")
def new_passwords(request: PageRequest, class_id: uuid.UUID) -> HttpResponse:
    """Says how many passwords would be replaced; with `sure` replaces them and shows them this once."""
    school_class = class_of_teacher(reader_of(request), class_id)
    chosen = _chosen(school_class, request.POST.getlist("student"))
    if not chosen:
        return redirect("slips", class_id)
    context: dict[str, object] = {"school_class": school_class, "sign_in_at": _sign_in_at(request)}
    if "sure" not in request.POST:
        return render(request, "teaching/ask_new_passwords.html", {**context, "students": chosen})
    with transaction.atomic():
        made = [Slip(student, give_new_password(student)) for student in chosen]
    response = render(request, "teaching/new_passwords.html", {**context, "slips": made})
    response["Cache-Control"] = "no-store"
    return response


def _chosen(school_class: SchoolClass, ids: Sequence[str]) -> list[User]:
    wanted = set(ids)
    students = User.objects.students_of(school_class)
    return [student for student in students if str(student.public_id) in wanted][:AT_ONCE]


def _sign_in_at(request: PageRequest) -> str:
    return request.build_absolute_uri(reverse("accounts:sign_in"))
