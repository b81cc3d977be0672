"""A set after it was assigned: changed while nobody has begun, then only extended or copied."""

from __future__ import annotations

import uuid
from datetime import datetime, timedelta

from django.contrib import messages
from django.db import transaction
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.dateparse import parse_datetime
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods

from accounts.changes import CannotTakeBackError, Told, undoes
from accounts.guards import reader_of, teachers_only
from accounts.models import Change, User
from accounts.requests import PageRequest
from quizzes.access import set_of_teacher
from quizzes.homework.forms import ExtensionForm, HomeworkForm, values_of
from quizzes.models import Extension, HomeworkSet, Run

PROPOSED = timedelta(days=2)
"""So much more time is proposed."""


@teachers_only
@require_http_methods(["GET", "HEAD", "POST"])
def change_set(request: PageRequest, set_id: uuid.UUID) -> HttpResponse:
    teacher, at = reader_of(request), timezone.now()
    homework = set_of_teacher(teacher, set_id)
    form = HomeworkForm(teacher, at, request.POST or None, instance=homework, initial=values_of(homework))
    if Run.objects.filter(homework_set=homework).exists():
        messages.info(request, _("Somebody has begun. The set can only be extended or copied now."))
        return redirect("homework_set", set_id)
    if request.method == "POST" and form.is_valid():
        with transaction.atomic():
            form.save()
        messages.success(request, _("Changed."))
        return redirect("homework_set", set_id)
    return render(request, "homework/change_set.html", {"form": form, "homework": homework})


@teachers_only
@require_http_methods(["GET", "HEAD", "POST"])
def extend_set(request: PageRequest, set_id: uuid.UUID) -> HttpResponse:
    """More time for all, or for one student; the late rule follows the new time."""
    teacher, at = reader_of(request), timezone.now()
    homework = set_of_teacher(teacher, set_id)
    proposed = {"due_at": max(timezone.localtime(homework.due_at), timezone.localtime(at)) + PROPOSED}
    form = ExtensionForm(homework, homework.students_of(teacher), request.POST or None, initial=proposed)
    if request.method == "POST" and form.is_valid():
        student, due = form.cleaned_data["student"], form.cleaned_data["due_at"]
        if student:
            extend_for(homework, student, due, teacher, at)
            messages.success(request, _("%(name)s has more time now.") % {"name": student.display_name})
        else:
            messages.success(request, _told_extending(extend_for_all(homework, due, teacher, at)))
        return redirect("homework_set", set_id)
    context = {"form": form, "homework": homework, "extensions": _extensions(homework, teacher)}
    return render(request, "homework/extend_set.html", context)


def _extensions(homework: HomeworkSet, teacher: User) -> list[Extension]:
    given = homework.extensions.filter(student__in=homework.students_of(teacher))
    return list(given.select_related("student").order_by("student__display_name"))


def extend_for(homework: HomeworkSet, student: User, due: datetime, by: User, at: datetime) -> None:
    """The last extension of a student stands."""
    Extension.objects.update_or_create(
        homework_set=homework, student=student, defaults={"due_at": due, "by": by, "at": at}
    )


@transaction.atomic
def extend_for_all(homework: HomeworkSet, due: datetime, by: User, at: datetime) -> Told:
    payload = {"set": homework.pk, "was": homework.due_at.isoformat(), "is": due.isoformat()}
    HomeworkSet.objects.filter(pk=homework.pk).update(due_at=due)
    told = {
        "title": homework.title,
        "count": homework.students_of(by).count(),
        "due": due.isoformat(),
    }
    Change.objects.record(by, "extend_set", at, told, payload)
    return told


def _told_extending(told: Told) -> str:
    sentence = ngettext(
        "“%(title)s” with %(count)d student is due on %(when)s now.",
        "“%(title)s” with %(count)d students is due on %(when)s now.",
        told["count"],
    )
    due = parse_datetime(told["due"])
    when = date_format(timezone.localtime(due), "SHORT_DATETIME_FORMAT") if due else ""
    return sentence % {**told, "when": when}


@undoes("extend_set", _told_extending)
def _shorten(change: Change, at: datetime) -> None:
    """Only where the set is still due as the change left it."""
    was, left = parse_datetime(change.payload["was"]), parse_datetime(change.payload["is"])
    found = HomeworkSet.objects.filter(pk=change.payload["set"])
    if was is None or left is None or not found.filter(due_at=left).update(due_at=was):
        raise CannotTakeBackError(_("The set was changed again since then."))
