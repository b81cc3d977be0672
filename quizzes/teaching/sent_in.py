"""What students sent in, in one list over all classes of a teacher, and the decisions that go on."""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from django import forms
from django.contrib import messages
from django.db.models import Count
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext
from django.views.decorators.http import require_POST, require_safe

from accounts.guards import reader_of, teachers_only
from accounts.requests import PageRequest
from problems.question import Part
from quizzes.access import sent_in_to_teacher, standing_of_teacher
from quizzes.homework.answers import GivenAnswer, RulingForm, given_answer, told_decision
from quizzes.models import Ruling, SentIn, StandingRuling
from quizzes.practice.facts import setup_title
from quizzes.rulings import (
    LikeCounts,
    NotToBeRuledError,
    decide,
    like_counts,
    to_be_ruled,
    withdraw,
)
from quizzes.teaching.mistakes import chosen_options

if TYPE_CHECKING:
    from accounts.models import User

LISTED_OPEN, LISTED_CLOSED = 60, 20


class ReplyForm(RulingForm):
    """A word to the student, with a decision or without one."""

    decision = forms.ChoiceField(
        label=gettext_lazy("It counts as"),
        required=False,
        choices=[("", gettext_lazy("leave it as it is")), *Ruling.Decision.choices[:-1]],
    )
    note = forms.CharField(label=gettext_lazy("Reply (may stay empty)"), max_length=300, required=False)


@dataclass(frozen=True, slots=True)
class Waiting:
    """One thing sent in: the part as it was asked on its cell, and the answer with what may be decided."""

    sent: SentIn
    cell: str
    lead: str
    part: Part
    given: GivenAnswer | None


@dataclass(frozen=True, slots=True)
class GoingOn:
    """A decision for later answers, what it is about, and how many answers it decided so far."""

    ruling: StandingRuling
    skill: str
    typed: str
    decided: int


@teachers_only
@require_safe
def sent_in(request: PageRequest) -> HttpResponse:
    teacher = reader_of(request)
    mine = SentIn.objects.for_teacher(teacher)
    looked_at = mine.exclude(closed_at=None).order_by("-closed_at")
    context = {
        "waiting": waiting_for(teacher),
        "most": LISTED_OPEN,
        "looked_at": looked_at.select_related("student", "question", "closed_by")[:LISTED_CLOSED],
        "going_on": going_on(teacher),
        "form": ReplyForm(auto_id=False),
    }
    return render(request, "teaching/sent_in.html", context)


def waiting_for(teacher: User) -> Sequence[Waiting]:
    """What is open, the oldest first."""
    rows = SentIn.objects.for_teacher(teacher).open().order_by("at", "pk")
    listed = rows.select_related("student", "question__run__homework_set", "answer__student")
    found = list(listed.prefetch_related("answer__rulings__by")[:LISTED_OPEN])
    likenesses = [sent.answer.likeness for sent in found if sent.answer and sent.answer.likeness]
    likes = like_counts(to_be_ruled(teacher).filter(likeness__in=likenesses))
    return [_waiting(sent, likes) for sent in found]


def _waiting(sent: SentIn, likes: LikeCounts) -> Waiting:
    question, answer = sent.question, sent.answer
    part = question.snapshot.parts[sent.part]
    if answer is not None:
        answer.question = question
    given = given_answer(answer, part, likes) if answer else None
    return Waiting(sent, setup_title(question.run.setup), question.snapshot.lead, part, given)


def going_on(teacher: User) -> Sequence[GoingOn]:
    """The decisions of this teacher that hold for later answers, the newest first."""
    holding = StandingRuling.objects.holding().filter(by=teacher).annotate(decided=Count("rulings"))
    return [_going_on(each) for each in holding.select_related("answer__question", "homework_set")]


def _going_on(ruling: StandingRuling) -> GoingOn:
    decided: int = getattr(ruling, "decided", 0)
    answer = ruling.answer
    if answer is None:
        return GoingOn(ruling, "", "", decided)
    chosen = "; ".join(option.text for option in chosen_options(answer))
    return GoingOn(ruling, answer.question.skill, chosen or answer.said, decided)


@teachers_only
@require_POST
def look_at(request: PageRequest, sent_id: uuid.UUID) -> HttpResponse:
    """Reply to what was sent in, with a decision on the answer or without one."""
    teacher = reader_of(request)
    sent = sent_in_to_teacher(teacher, sent_id)
    form = ReplyForm(request.POST)
    if not form.is_valid():
        messages.error(request, _("Choose one of the decisions; a reply has at most 300 characters."))
    elif not sent.is_open:
        messages.info(request, _("This was looked at already."))
    else:
        _reply(request, sent, form, teacher)
    return redirect("sent_in")


def _reply(request: PageRequest, sent: SentIn, form: ReplyForm, teacher: User) -> None:
    decision, note, at = form.cleaned_data["decision"], form.cleaned_data["note"], timezone.now()
    told = _("The student sees that you looked at it.")
    if decision and sent.answer is not None:
        try:
            more = decide(sent.answer, decision, note, teacher, at, form.how_far)
        except NotToBeRuledError:
            messages.error(request, _("This question is still open. Wait until it is finished."))
            return
        told = told_decision(more, form.how_far)
    sent.close(note, teacher, at)
    messages.success(request, told)


@teachers_only
@require_POST
def withdraw_ruling(request: PageRequest, ruling_id: uuid.UUID) -> HttpResponse:
    """A decision for later answers ends, and what it decided goes back."""
    teacher = reader_of(request)
    restored = withdraw(standing_of_teacher(teacher, ruling_id), teacher, timezone.now())
    sentence = ngettext(
        "Withdrawn. %(count)d answer counts as it was judged before.",
        "Withdrawn. %(count)d answers count as they were judged before.",
        restored,
    )
    messages.success(request, sentence % {"count": restored})
    return redirect("sent_in")
