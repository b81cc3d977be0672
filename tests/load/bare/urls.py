"""One transaction: the strength row locked, an answer row inserted, the strength row updated.

`two_rows` knows nobody; `own_two_rows` is the same for who is signed in. Neither reads anything else, nor
judges, and both show a fixed sentence.
"""

import uuid

from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.urls import include, path
from django.utils import timezone

from quizzes.models import Answer, Strength


def two_rows(request: HttpRequest) -> HttpResponse:
    return _write(request, request.POST["student"])


def own_two_rows(request: HttpRequest) -> HttpResponse:
    return _write(request, request.user.pk)


@transaction.atomic
def _write(request: HttpRequest, student: object) -> HttpResponse:
    row = Strength.objects.select_for_update().get(student_id=student)
    row.numbered += 1
    Answer.objects.create(
        student_id=row.student_id,
        question_id=request.POST["question"],
        number=row.numbered,
        token=uuid.UUID(request.POST["token"]),
        typed=request.POST["answer"],
        verdict="correct",
        score=1.0,
        at=timezone.now(),
    )
    row.save()
    return HttpResponse("<p>Taken.</p>")


urlpatterns = [
    path("two-rows/", two_rows),
    path("own-two-rows/", own_two_rows),
    path("account/", include("accounts.urls")),
    path("", two_rows, name="home"),
]
