"""A teacher's classes, and one class: what it lacks, its settings, and its end."""

from __future__ import annotations

import uuid
from datetime import datetime

from django.contrib import messages
from django.db import transaction
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from accounts.access import class_of_teacher
from accounts.changes import Told, class_still_taught, undoes
from accounts.guards import reader_of, teachers_only
from accounts.models import Change, SchoolClass, User
from accounts.requests import PageRequest
from quizzes.models import HomeworkSet
from quizzes.teaching.class_table import class_table
from quizzes.teaching.forms import ClassForm, InPlayForm
from quizzes.teaching.grouping import SIZES, Member, groups_of
from quizzes.teaching.mistakes import LOOKED_BACK, mistakes_of
from quizzes.teaching.weak_skills import weak_skills


@teachers_only
@require_safe
def classes(request: PageRequest) -> HttpResponse:
    taught = SchoolClass.objects.taught_by(reader_of(request))
    context = {"classes": taught.current().counted(), "archived": taught.exclude(archived_at=None)}
    return render(request, "teaching/classes.html", context)


@teachers_only
@require_http_methods(["GET", "HEAD", "POST"])
def new_class(request: PageRequest) -> HttpResponse:
    form = ClassForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        school_class = SchoolClass.objects.start(reader_of(request), **form.cleaned_data)
        return redirect("class_page", school_class.public_id)
    is_first = not SchoolClass.objects.taught_by(reader_of(request)).exists()
    return render(request, "teaching/new_class.html", {"form": form, "is_first": is_first})


@teachers_only
@require_safe
def class_page(request: PageRequest, class_id: uuid.UUID) -> HttpResponse:
    school_class = class_of_teacher(reader_of(request), class_id)
    table = class_table(
        school_class, timezone.now(), request.GET.get("open", ""), request.GET.get("sort", "")
    )
    size = next((size for size in SIZES if str(size) == request.GET.get("size")), SIZES[0])
    members = [Member(row.student.display_name, row.weak, row.enough) for row in table.rows]
    context = {
        "school_class": school_class,
        "table": table,
        "groups": groups_of(members, size),
        "size": size,
        "sizes": SIZES,
        "sets": HomeworkSet.objects.filter(classes=school_class),
    }
    return render(request, "teaching/class_page.html", context)


@teachers_only
@require_safe
def mistakes(request: PageRequest, class_id: uuid.UUID) -> HttpResponse:
    """The steps the class is weakest at, and what goes wrong in them; names only by the switch."""
    school_class, at = class_of_teacher(reader_of(request), class_id), timezone.now()
    with_names = request.GET.get("names") == "shown"
    context = {
        "school_class": school_class,
        "skills": weak_skills(school_class, at),
        "found": mistakes_of(school_class, at, with_names),
        "with_names": with_names,
        "weeks": LOOKED_BACK.days // 7,
    }
    return render(request, "teaching/mistakes.html", context)


@teachers_only
@require_http_methods(["GET", "HEAD", "POST"])
def class_settings(request: PageRequest, class_id: uuid.UUID) -> HttpResponse:
    school_class = class_of_teacher(reader_of(request), class_id)
    name = school_class.name
    form = ClassForm(request.POST or None, instance=school_class)
    if request.method == "POST" and form.is_valid():
        form.save()
        messages.success(request, _("Saved."))
        return redirect("class_settings", class_id)
    context = {"form": form, "school_class": school_class, "name": name}
    return render(request, "teaching/settings.html", context)


@teachers_only
@require_http_methods(["GET", "HEAD", "POST"])
def in_play(request: PageRequest, class_id: uuid.UUID) -> HttpResponse:
    """What the class has been taught, and how it writes things."""
    school_class = class_of_teacher(reader_of(request), class_id)
    form = InPlayForm(request.POST or None, instance=school_class)
    if request.method == "POST" and form.is_valid():
        form.save()
        messages.success(request, _("Saved. From the next question on, it is asked so."))
        return redirect("in_play", class_id)
    return render(request, "teaching/in_play.html", {"form": form, "school_class": school_class})


@teachers_only
@require_http_methods(["GET", "HEAD", "POST"])
def archive_class(request: PageRequest, class_id: uuid.UUID) -> HttpResponse:
    """Asks first; what was practised stays, and the class can be brought back."""
    school_class = class_of_teacher(reader_of(request), class_id)
    if request.method == "POST":
        messages.success(request, _told_archiving(_archive(reader_of(request), school_class)))
        return redirect("classes")
    context = {"school_class": school_class, "students": User.objects.students_of(school_class)}
    return render(request, "teaching/archive_class.html", context)


@transaction.atomic
def _archive(teacher: User, school_class: SchoolClass) -> Told:
    at = timezone.now()
    school_class.archive(at)
    told = {"class": school_class.name, "count": User.objects.students_of(school_class).count()}
    Change.objects.record(teacher, "archive_class", at, told, {"class": school_class.pk})
    return told


def _told_archiving(told: Told) -> str:
    sentence = ngettext(
        "%(class)s with %(count)d student is archived.",
        "%(class)s with %(count)d students is archived.",
        told["count"],
    )
    return sentence % told


@undoes("archive_class", _told_archiving)
def _unarchive(change: Change, at: datetime) -> None:
    class_still_taught(change, change.payload["class"]).restore()


@teachers_only
@require_POST
def restore_class(request: PageRequest, class_id: uuid.UUID) -> HttpResponse:
    school_class = class_of_teacher(reader_of(request), class_id)
    school_class.restore()
    messages.success(request, _("%(name)s is a present class again.") % {"name": school_class.name})
    return redirect("class_page", class_id)
