"""A student asks the teachers to look at an answer, or at a question that was left unanswered."""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from django import forms
from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_POST, require_safe

from accounts.guards import reader_of, students_only
from accounts.models import User
from accounts.requests import PageRequest
from quizzes.access import own_question
from quizzes.models import Question, Ruling, SentIn
from quizzes.models.sent_in import NOTE_LENGTH

OPEN_AT_MOST = 20
"""So many things of one student may wait for a teacher."""
LISTED = 50


class CannotSendError(Exception):
    """Nobody to send it to, or nothing to look at; `str()` is a sentence for the student."""


class SendForm(forms.Form):
    """Which part of the question, and what the student would like to say."""

    part = forms.IntegerField(min_value=0, max_value=99, widget=forms.HiddenInput)
    note = forms.CharField(
        label=gettext_lazy("What would you like to say? (may stay empty)"),
        max_length=NOTE_LENGTH,
        required=False,
        widget=forms.Textarea({"rows": 3}),
    )


@students_only
@require_POST
def send_in(request: PageRequest, question_id: uuid.UUID) -> HttpResponse:
    question = own_question(reader_of(request), question_id)
    form = SendForm(request.POST)
    if not form.is_valid():
        messages.error(
            request, _("This was not sent: a note has at most %(most)d characters.") % {"most": NOTE_LENGTH}
        )
        return _back(question)
    try:
        send(question, form.cleaned_data["part"], form.cleaned_data["note"], timezone.now())
    except CannotSendError as error:
        messages.error(request, str(error))
        return _back(question)
    messages.success(request, _("Sent to your teacher. The reply will stand beside the question."))
    return _back(question)


def _back(question: Question) -> HttpResponse:
    """To the page the question stands on."""
    if question.is_over:
        return redirect("past_question", question.public_id)
    return redirect(f"{redirect('run', question.run.public_id).url}#question")


def send(question: Question, part: int, note: str, at: datetime) -> SentIn:
    """Send a part of a question in; what is open already stays as it is. Raises CannotSendError."""
    student = question.run.student
    answer = question.answers.filter(part=part).order_by("-number").first()
    if part >= len(question.snapshot.parts) or (answer is None and not question.is_over):
        raise CannotSendError(_("There is nothing to look at yet: answer first."))
    if not student.school_classes.current().exists():
        raise CannotSendError(_("You are in no class, so there is no teacher to send this to."))
    if SentIn.objects.filter(student=student).open().count() >= OPEN_AT_MOST:
        raise CannotSendError(_("Enough is waiting for your teacher. Wait until some of it was looked at."))
    fields = {"student": student, "answer": answer, "note": note, "at": at}
    sent, _made = SentIn.objects.get_or_create(question=question, part=part, closed_at=None, defaults=fields)
    return sent


@dataclass(frozen=True, slots=True)
class SentLine:
    """One thing sent in: the last decision on its answer, if any, beside the reply."""

    sent: SentIn
    ruling: Ruling | None


@students_only
@require_safe
def my_sent_in(request: PageRequest) -> HttpResponse:
    return render(request, "practice/sent_in.html", {"lines": sent_lines(reader_of(request))})


def sent_lines(student: User) -> Sequence[SentLine]:
    """What a student sent in, the newest first."""
    rows = SentIn.objects.filter(student=student).select_related("question", "answer", "closed_by")
    return [SentLine(sent, last_ruling(sent)) for sent in rows.prefetch_related("answer__rulings")[:LISTED]]


def last_ruling(sent: SentIn) -> Ruling | None:
    """The decision that holds for the answer that was sent in."""
    if sent.answer is None:
        return None
    last = max(sent.answer.rulings.all(), key=lambda ruling: ruling.pk, default=None)
    return last if last and last.decision != Ruling.Decision.WITHDRAWN else None
