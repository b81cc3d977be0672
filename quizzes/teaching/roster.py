"""A roster is uploaded, looked at, and taken."""

from __future__ import annotations

import uuid
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
from accounts.enrolment import enrol, plan
from accounts.guards import reader_of, teachers_only
from accounts.models import SchoolClass
from accounts.requests import PageRequest
from accounts.roster import MOST_BYTES, Roster, RosterError, as_text, read_roster


class RosterForm(forms.Form):
    file = forms.FileField(
        label=gettext_lazy("CSV file"), widget=forms.FileInput({"accept": ".csv,.txt,text/csv"})
    )

    def clean_file(self) -> Roster:
        """The roster itself."""
        file: UploadedFile[Any] = self.cleaned_data["file"]
        try:
            return read_roster(file.read(MOST_BYTES + 1))
        except RosterError as refusal:
            raise forms.ValidationError(str(refusal)) from None


@teachers_only
@require_http_methods(["GET", "HEAD", "POST"])
def roster(request: PageRequest, class_id: uuid.UUID) -> HttpResponse:
    """The upload and, once a file can be read, the preview. Nothing is changed yet."""
    school_class = class_of_teacher(reader_of(request), class_id)
    form = RosterForm(request.POST, request.FILES) if request.method == "POST" else RosterForm()
    if form.is_valid():
        return _preview(request, school_class, form.cleaned_data["file"])
    return render(request, "teaching/roster.html", {"form": form, "school_class": school_class})


def _preview(request: PageRequest, school_class: SchoolClass, found: Roster) -> HttpResponse:
    enrolment = plan(found, school_class, reader_of(request))
    context = {"school_class": school_class, "enrolment": enrolment, "text": as_text(enrolment.rows)}
    return render(request, "teaching/roster_preview.html", context)


@teachers_only
@require_POST
def take_roster(request: PageRequest, class_id: uuid.UUID) -> HttpResponse:
    """Take the rows of the preview, all or none; what has changed since then is shown again instead."""
    teacher = reader_of(request)
    school_class = class_of_teacher(teacher, class_id)
    try:
        found = read_roster(request.POST.get("rows", "").encode(errors="replace"))
        enrolment = plan(found, school_class, teacher)
        if enrolment.faults:
            return _preview(request, school_class, found)
        count = enrol(enrolment, school_class, teacher, timezone.now())
    except (RosterError, IntegrityError):
        messages.error(request, _("Nothing was changed. Choose the file once more."))
        return redirect("roster", class_id)
    messages.success(request, _taken(count))
    return redirect("slips", class_id)


def _taken(count: int) -> str:
    sentence = ngettext(
        "%(count)d student is in the class now.", "%(count)d students are in the class now.", count
    )
    return sentence % {"count": count} + " " + _("Make their passwords below.")
