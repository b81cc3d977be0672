"""Sign-in slips on paper, and new passwords for students who forgot theirs or never had one."""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from django.db import transaction
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import ngettext
from django.views.decorators.debug import sensitive_variables
from django.views.decorators.http import require_POST, require_safe

from accounts.access import class_of_teacher
from accounts.changes import Told, class_still_taught, undoes
from accounts.guards import reader_of, teachers_only
from accounts.models import Change, SchoolClass, User
from accounts.passwords import give_new_password
from accounts.requests import PageRequest
from quizzes.teaching.people import chosen_students

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
    chosen = chosen_students(school_class, request.POST.getlist("student"))[:AT_ONCE]
    if not chosen:
        return redirect("slips", class_id)
    context: dict[str, object] = {"school_class": school_class, "sign_in_at": _sign_in_at(request)}
    if "sure" not in request.POST:
        return render(request, "teaching/ask_new_passwords.html", {**context, "students": chosen})
    made = _replace(reader_of(request), school_class, chosen)
    response = render(request, "teaching/new_passwords.html", {**context, "slips": made})
    response["Cache-Control"] = "no-store"
    return response


@transaction.atomic
def _replace(teacher: User, school_class: SchoolClass, students: Sequence[User]) -> list[Slip]:
    old = {student.pk: student.password for student in students}
    made = [Slip(student, give_new_password(student)) for student in students]
    told = {"class": school_class.name, "count": len(made)}
    # Digests only, as in the accounts themselves, and for a day.
    digests = [[slip.student.pk, old[slip.student.pk], slip.student.password] for slip in made]
    payload = {"class": school_class.pk, "digests": digests}
    Change.objects.record(teacher, "replace_passwords", timezone.now(), told, payload)
    return made


def _told_passwords(told: Told) -> str:
    sentence = ngettext(
        "%(count)d password replaced in %(class)s.",
        "%(count)d passwords replaced in %(class)s.",
        told["count"],
    )
    return sentence % told


@undoes("replace_passwords", _told_passwords)
def _old_passwords(change: Change, at: datetime) -> None:
    """The old passwords again, but for students who have left or chose one of their own meanwhile."""
    school_class = class_still_taught(change, change.payload["class"])
    students = User.objects.students_of(school_class)
    for key, old, new in change.payload["digests"]:
        User.objects.filter(pk__in=students.values("pk")).filter(pk=key, password=new).update(password=old)


def _sign_in_at(request: PageRequest) -> str:
    return request.build_absolute_uri(reverse("accounts:sign_in"))
