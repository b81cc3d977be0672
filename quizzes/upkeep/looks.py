"""Who looked at whose data: every page of a teacher that shows something of students leaves a note."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from datetime import datetime
from typing import Any

from django.http import HttpRequest
from django.http.response import HttpResponseBase
from django.utils import timezone
from django.utils.translation import gettext, gettext_noop

from accounts.models import Look, SchoolClass, User
from quizzes.models import HomeworkSet, SentIn

SHOWN: Mapping[str, str] = {
    "class_page": gettext_noop("how strong the students of the class are"),
    "mistakes": gettext_noop("what goes wrong in the class"),
    "people": gettext_noop("who is in the class"),
    "slips": gettext_noop("the sign-in names of the class"),
    "new_passwords": gettext_noop("new passwords"),
    "marks": gettext_noop("the marks of the class"),
    "homework_set": gettext_noop("how far the students are with a homework set"),
    "set_progress": gettext_noop("how far the students are with a homework set"),
    "remind": gettext_noop("who has not begun a homework set"),
    "extend_set": gettext_noop("how far the students are with a homework set"),
    "preview_set": gettext_noop("an example of a homework set for a student"),
    "set_marks": gettext_noop("the marks of a homework set"),
    "set_answers": gettext_noop("a student's answers to a homework set"),
    "sent_in": gettext_noop("what students sent in"),
    "student_page": gettext_noop("how strong a student is, and what is kept"),
}
"""The address of each page that shows something of students, and what that is."""


def what_is_shown(address: str) -> str:
    """What a page shows, in the reader's language."""
    return gettext(SHOWN.get(address, address))


class LooksMiddleware:
    """Stands behind the sign-in: whoever is turned away has seen nothing."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        response = self.get_response(request)
        match, reader = request.resolver_match, request.user
        if match and match.view_name in SHOWN and response.status_code == 200 and isinstance(reader, User):
            record(reader, match.view_name, match.kwargs, timezone.now())
        return response


def record(reader: User, address: str, parts: Mapping[str, Any], at: datetime) -> None:
    """Note a look at every student or class that the page is about."""
    if reader.is_teacher:
        for whose in _whose(reader, parts):
            Look.objects.record(reader, address, at, **whose)


def _whose(reader: User, parts: Mapping[str, Any]) -> Iterator[Mapping[str, object]]:
    if "student_id" in parts:
        yield from ({"student": each} for each in User.objects.filter(public_id=parts["student_id"]))
    elif "sent_id" in parts:
        yield from ({"student": each.student} for each in SentIn.objects.filter(public_id=parts["sent_id"]))
    else:
        yield from ({"school_class": each} for each in _classes(reader, parts))


def _classes(reader: User, parts: Mapping[str, Any]) -> Iterator[SchoolClass]:
    taught = SchoolClass.objects.taught_by(reader)
    if "class_id" in parts:
        taught = taught.filter(public_id=parts["class_id"])
    elif "set_id" in parts:
        taught = taught.filter(homework_sets__in=HomeworkSet.objects.filter(public_id=parts["set_id"]))
    else:
        taught = taught.current()
    yield from taught
