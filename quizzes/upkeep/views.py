"""Health for machines, numbers for those who keep the site, and what a person's data are about."""

import uuid

from django.conf import settings
from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from accounts.access import student_of_class
from accounts.guards import reader_of, students_only, teachers_only
from accounts.models import Look, User
from accounts.requests import PageRequest
from quizzes.teaching.class_table import class_table
from quizzes.upkeep.health import health
from quizzes.upkeep.looks import what_is_shown
from quizzes.upkeep.own_data import data_of, erase
from quizzes.upkeep.school import school

LOOKS_LISTED = 50


@login_not_required
@require_safe
def health_page(request: HttpRequest) -> JsonResponse:
    found = health()
    told = {"ok": found.ok, "database": found.database, "migrated": found.migrated}
    return JsonResponse(told, status=200 if found.ok else 503, headers={"Cache-Control": "no-store"})


@require_safe
def school_page(request: PageRequest) -> HttpResponse:
    if not reader_of(request).is_staff:
        raise Http404
    return render(request, "upkeep/school.html", {"school": school(timezone.now())})


@login_not_required
@require_safe
def privacy(request: HttpRequest) -> HttpResponse:
    """What is kept and why; a student also sees who looked, and takes away what is kept."""
    reader = request.user if isinstance(request.user, User) else None
    is_student = reader is not None and not reader.is_teacher and not reader.is_staff
    context = {
        "is_student": is_student,
        "looks": _looks(reader) if reader and is_student else [],
        "kept": {
            "answers": settings.KEEP_ANSWERS_DAYS,
            "looks": settings.KEEP_LOOKS_DAYS,
            "sign_in": settings.KEEP_SIGN_IN_DAYS,
        },
    }
    return render(request, "upkeep/privacy.html", context)


def _looks(student: User) -> list[dict[str, object]]:
    found = Look.objects.at_data_of(student).select_related("by")[:LOOKS_LISTED]
    return [{"by": each.by.display_name, "what": what_is_shown(each.what), "at": each.at} for each in found]


@students_only
@require_safe
def my_data(request: PageRequest) -> HttpResponse:
    student = reader_of(request)
    return JsonResponse(
        data_of(student, timezone.now()),
        json_dumps_params={"ensure_ascii": False, "indent": 1},
        headers={"Content-Disposition": 'attachment; filename="voltameter-data.json"'},
    )


@teachers_only
@require_safe
def student_page(request: PageRequest, class_id: uuid.UUID, student_id: uuid.UUID) -> HttpResponse:
    school_class, student = student_of_class(reader_of(request), class_id, student_id)
    table = class_table(school_class, timezone.now())
    row = next((row for row in table.rows if row.student == student), None)
    context = {
        "school_class": school_class,
        "student": student,
        "answers": student.answers.count(),
        "table": table,
        "row": row,
        "topics": [*zip(table.columns, row.cells, strict=True)] if row else [],
        "sets": school_class.homework_sets.filter(runs__student=student).order_by("-due_at"),
    }
    return render(request, "upkeep/student.html", context)


@teachers_only
@require_POST
def erase_student(request: PageRequest, class_id: uuid.UUID, student_id: uuid.UUID) -> HttpResponse:
    school_class, student = student_of_class(reader_of(request), class_id, student_id)
    if request.POST.get("name", "").strip() != student.username:
        messages.error(request, _("Nothing was erased: type the sign-in name exactly as it stands there."))
        return redirect("student_page", class_id, student_id)
    erase(student)
    messages.success(request, _("The student is erased, with everything that was kept."))
    return redirect("people", school_class.public_id)
