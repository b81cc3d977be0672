"""Marks on pages and as files, every answer behind them, and the teacher's last word on each."""

from __future__ import annotations

import uuid

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.text import slugify
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from accounts.access import class_of_teacher
from accounts.guards import reader_of, teachers_only
from accounts.requests import PageRequest
from quizzes.access import answer_to_set, set_of_teacher, student_of_set
from quizzes.homework import export
from quizzes.homework.answers import RulingForm, given_answers, told_decision
from quizzes.homework.marks import MarkTable, mark_table, marks_of_class
from quizzes.rulings import NotToBeRuledError, decide

XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


@teachers_only
@require_safe
def marks(request: PageRequest, class_id: uuid.UUID) -> HttpResponse:
    school_class = class_of_teacher(reader_of(request), class_id)
    table = marks_of_class(school_class, timezone.now())
    if "as" in request.GET:
        return _file(table, request.GET["as"], school_class.name)
    columns = zip(export.HEADER, export.MEANINGS, strict=True)
    context = {"school_class": school_class, "table": table, "columns": columns}
    return render(request, "homework/marks.html", context)


@teachers_only
@require_safe
def set_marks(request: PageRequest, set_id: uuid.UUID) -> HttpResponse:
    """The marks of one set as a file; its page shows them."""
    teacher = reader_of(request)
    homework = set_of_teacher(teacher, set_id)
    table = mark_table([homework], list(homework.students_of(teacher)))
    return _file(table, request.GET.get("as", "csv"), homework.title)


def _file(table: MarkTable, kind: str, name: str) -> HttpResponse:
    rows = export.mark_rows(table)
    if kind == "csv":
        response = HttpResponse(export.as_csv(rows), content_type="text/csv; charset=utf-8")
    elif kind == "xlsx":
        response = HttpResponse(export.as_xlsx(rows), content_type=XLSX)
    else:
        raise Http404
    response["Content-Disposition"] = f'attachment; filename="marks-{slugify(name) or "class"}.{kind}"'
    return response


@teachers_only
@require_safe
def set_answers(request: PageRequest, set_id: uuid.UUID, student_id: uuid.UUID) -> HttpResponse:
    """Every answer of one student to a set."""
    teacher = reader_of(request)
    homework, student = student_of_set(teacher, set_id, student_id)
    context = {
        "homework": homework,
        "student": student,
        "questions": given_answers(homework, student, teacher),
        "mark": mark_table([homework], [student]).rows[0].marks[0],
        "form": RulingForm(auto_id=False),
    }
    return render(request, "homework/answers.html", context)


@teachers_only
@require_POST
def give_ruling(request: PageRequest, set_id: uuid.UUID, student_id: uuid.UUID, number: int) -> HttpResponse:
    teacher, at = reader_of(request), timezone.now()
    answer = answer_to_set(teacher, set_id, student_id, number)
    form = RulingForm(request.POST)
    if form.is_valid():
        decision, note = form.cleaned_data["decision"], form.cleaned_data["note"]
        try:
            more = decide(answer, decision, note, teacher, at, form.how_far)
        except NotToBeRuledError:
            messages.error(request, _("This question is still open. Wait until it is finished."))
        else:
            messages.success(request, told_decision(more, form.how_far))
    else:
        messages.error(request, _("Choose what the answer counts as; a note has at most 300 characters."))
    return redirect("set_answers", set_id, student_id)
