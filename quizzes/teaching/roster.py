"""A roster is uploaded, looked at, and taken: a table of students, or a bundle with several classes."""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from typing import Any

from django import forms
from django.contrib import messages
from django.core.files.uploadedfile import UploadedFile
from django.db import IntegrityError
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext
from django.views.decorators.http import require_http_methods, require_POST

from accounts.access import class_of_teacher
from accounts.enrolment import enrol, plan, proposed_to_leave
from accounts.guards import reader_of, teachers_only
from accounts.models import SchoolClass, User
from accounts.oneroster import (
    MOST_ZIPPED,
    Bundle,
    BundleClass,
    class_from_text,
    is_zip,
    read_bundle,
)
from accounts.requests import PageRequest
from accounts.roster import Roster, RosterError, as_text, read_roster
from quizzes.teaching.people import chosen_students


class RosterForm(forms.Form):
    file = forms.FileField(
        label=gettext_lazy("CSV file, or zip file of a OneRoster bundle"),
        widget=forms.FileInput({"accept": ".csv,.txt,.zip,text/csv,application/zip"}),
    )

    def clean_file(self) -> Roster | Bundle:
        """The roster itself."""
        file: UploadedFile[Any] = self.cleaned_data["file"]
        content = file.read(MOST_ZIPPED + 1)
        try:
            return read_bundle(content) if is_zip(content) else read_roster(content)
        except RosterError as refusal:
            raise forms.ValidationError(str(refusal)) from None


@teachers_only
@require_http_methods(["GET", "HEAD", "POST"])
def roster(request: PageRequest, class_id: uuid.UUID) -> HttpResponse:
    """The upload and, once a file can be read, the preview. Nothing is changed yet."""
    school_class = class_of_teacher(reader_of(request), class_id)
    form = RosterForm(request.POST, request.FILES) if request.method == "POST" else RosterForm()
    if not form.is_valid():
        return render(request, "teaching/roster.html", {"form": form, "school_class": school_class})
    found = form.cleaned_data["file"]
    if isinstance(found, Roster):
        return _preview(request, school_class, found)
    return _of_bundle(request, school_class, found)


def _of_bundle(request: PageRequest, school_class: SchoolClass, bundle: Bundle) -> HttpResponse:
    """The preview of the class that is meant, or the question which of the bundle's classes that is."""
    same = [each for each in bundle.classes if each.sourced_id == school_class.sourced_id]
    meant = same or bundle.classes
    if len(meant) == 1:
        return _preview_class(request, school_class, meant[0], bundle)
    context = {"school_class": school_class, "bundle": bundle}
    return render(request, "teaching/roster_classes.html", context)


@teachers_only
@require_POST
def roster_class(request: PageRequest, class_id: uuid.UUID) -> HttpResponse:
    """The preview of the class that was chosen from a bundle."""
    school_class = class_of_teacher(reader_of(request), class_id)
    try:
        found = class_from_text(request.POST.get("class", ""))
    except RosterError as refusal:
        messages.error(request, str(refusal))
        return redirect("roster", class_id)
    return _preview_class(request, school_class, found, Bundle((found,), (), 0))


def _preview_class(
    request: PageRequest, school_class: SchoolClass, found: BundleClass, bundle: Bundle
) -> HttpResponse:
    roster = Roster(found.rows, (*bundle.faults, *found.faults))
    return _preview(request, school_class, roster, found, bundle.passed_over)


def _preview(
    request: PageRequest,
    school_class: SchoolClass,
    found: Roster,
    of_bundle: BundleClass | None = None,
    passed_over: int = 0,
) -> HttpResponse:
    enrolment = plan(found, school_class, reader_of(request))
    context = {
        "school_class": school_class,
        "enrolment": enrolment,
        "text": as_text(enrolment.rows) if enrolment.rows else "",
        "of_bundle": of_bundle,
        "leaving": proposed_to_leave(of_bundle, school_class) if of_bundle else (),
        "passed_over": passed_over,
    }
    return render(request, "teaching/roster_preview.html", context)


@teachers_only
@require_POST
def take_roster(request: PageRequest, class_id: uuid.UUID) -> HttpResponse:
    """Take the rows of the preview, all or none; what has changed since then is shown again instead."""
    teacher = reader_of(request)
    school_class = class_of_teacher(teacher, class_id)
    leaving = chosen_students(school_class, request.POST.getlist("leave"))
    rows = request.POST.get("rows", "")
    try:
        found = Roster() if leaving and not rows else read_roster(rows.encode(errors="replace"))
        enrolment = plan(found, school_class, teacher)
        if enrolment.faults:
            return _preview(request, school_class, found)
        count = enrol(enrolment, school_class, teacher, timezone.now(), leaving)
    except (RosterError, IntegrityError):
        messages.error(request, _("Nothing was changed. Choose the file once more."))
        return redirect("roster", class_id)
    _remember(school_class, request.POST.get("bundle_class", ""))
    messages.success(request, _taken(count, leaving))
    return redirect("slips" if count else "people", class_id)


def _remember(school_class: SchoolClass, sourced_id: str) -> None:
    """The next bundle finds its class by itself."""
    if 0 < len(sourced_id) <= 255:
        SchoolClass.objects.filter(pk=school_class.pk).update(sourced_id=sourced_id)


def _taken(count: int, leaving: Sequence[User]) -> str:
    sentence = ngettext(
        "%(count)d student is in the class now.", "%(count)d students are in the class now.", count
    )
    more = ngettext("%(count)d student left it.", "%(count)d students left it.", len(leaving))
    sentences = [sentence % {"count": count}, _("Make their passwords below.")] if count else []
    return " ".join([*sentences, *([more % {"count": len(leaving)}] if leaving else [])])
