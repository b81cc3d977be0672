"""How a student has come along: strength over the days, mistakes, and every past question."""

from __future__ import annotations

from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.gzip import gzip_page
from django.views.decorators.http import require_safe

from accounts.guards import reader_of, students_only
from accounts.requests import PageRequest
from quizzes.models import Question
from quizzes.practice.shown import judged_answers, outcome_of
from quizzes.practice.standing import standing_of

ON_A_PAGE = 25


@gzip_page
@students_only
@require_safe
def progress(request: PageRequest) -> HttpResponse:
    student, at = reader_of(request), timezone.now()
    return render(request, "practice/progress.html", {"standing": standing_of(student, at)})


@students_only
@require_safe
def past_questions(request: PageRequest) -> HttpResponse:
    """Every question that was answered, the newest first; each opens with its feedback."""
    answered = Question.objects.of(reader_of(request)).filter(answers__isnull=False).distinct()
    ordered = answered.defer("snapshot_bytes").select_related("run").prefetch_related(judged_answers())
    page = Paginator(ordered.order_by("-made_at", "-pk"), ON_A_PAGE).get_page(request.GET.get("page"))
    rows = [(question, outcome_of(list(question.answers.all()))) for question in page]
    return render(request, "practice/past_questions.html", {"page": page, "rows": rows})
