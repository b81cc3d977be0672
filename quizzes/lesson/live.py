"""The sheet of a live demonstration, alone or beside another."""

from __future__ import annotations

import uuid

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from accounts.access import class_of_teacher
from accounts.guards import reader_of, teachers_only
from accounts.requests import PageRequest
from problems.conventions import written
from problems.generators.setups import OFFERED
from quizzes.courses import conventions_of_class
from quizzes.lesson.bench import bench_sheet
from quizzes.lesson.forms import CellForm, best_setup, shown_setups
from quizzes.teaching.weak_skills import weak_skills


@teachers_only
@require_safe
def demonstration(request: PageRequest, class_id: uuid.UUID) -> HttpResponse:
    """The sheet of the cell in the address; without one, of that on which most weak steps can be asked."""
    school_class = class_of_teacher(reader_of(request), class_id)
    weak = [line.found.skill for line in weak_skills(school_class, timezone.now()).weakest]
    asked = {"cell": request.GET.get("cell") or best_setup(weak, shown_setups())}
    form = CellForm(school_class, {**asked, "other": request.GET.get("other", "")})
    names = [form.cleaned_data[each] for each in ("cell", "other")] if form.is_valid() else []
    with written(conventions_of_class(school_class)):
        sheets = [bench_sheet(OFFERED[name], weak) for name in dict.fromkeys(filter(None, names))]
        context = {"school_class": school_class, "form": form, "sheets": sheets}
        return render(request, "lesson/demonstration.html", context)
