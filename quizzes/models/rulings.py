"""Rulings: a teacher's decisions that replace a verdict. Only ever added; the last one wins."""

from __future__ import annotations

import uuid
from datetime import datetime
from typing import TYPE_CHECKING, Any, TypedDict

from django.conf import settings
from django.db import models
from django.db.models import Exists, F, OuterRef, Subquery
from django.db.models.functions import Coalesce
from django.utils.translation import gettext_lazy as _

from accounts.models import Membership
from quizzes.models.answers import Answer, AnswerQuerySet

if TYPE_CHECKING:
    from django_stubs_ext import WithAnnotations

    from accounts.models import User


class Final(TypedDict):
    """What `judged` adds to an answer."""

    final: float | None


class RulingQuerySet(models.QuerySet["Ruling"]):
    def give(
        self,
        answer: Answer,
        decision: str,
        note: str,
        by: User,
        at: datetime,
        standing: StandingRuling | None = None,
    ) -> Ruling:
        """One more ruling on an answer; strength is brought up to date in `quizzes.rulings`."""
        score = SCORES[Ruling.Decision(decision)]
        return self.create(
            answer=answer, decision=decision, score=score, note=note, by=by, at=at, standing=standing
        )


class Ruling(models.Model):
    """`score` is what the answer is worth now; a withdrawal has none and lets the verdict stand."""

    class Decision(models.TextChoices):
        RIGHT = "right", _("right")
        PARTLY = "partly", _("partly right")
        WRONG = "wrong", _("not right")
        WITHDRAWN = "withdrawn", _("as it was judged")

    answer = models.ForeignKey(Answer, on_delete=models.CASCADE, related_name="rulings")
    # The decision for later answers too that this one came from; none for a single one.
    standing = models.ForeignKey(
        "quizzes.StandingRuling", null=True, on_delete=models.SET_NULL, related_name="rulings"
    )
    decision = models.CharField(max_length=9, choices=Decision.choices)
    score = models.FloatField(null=True)
    note = models.CharField(max_length=300, blank=True)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="rulings")
    at = models.DateTimeField()

    objects = RulingQuerySet.as_manager()

    class Meta:
        ordering = ["answer", "pk"]

    def __str__(self) -> str:
        return f"{self.decision} on answer {self.answer_id}"


SCORES: dict[Ruling.Decision, float | None] = {
    Ruling.Decision.RIGHT: 1.0,
    Ruling.Decision.PARTLY: 0.5,
    Ruling.Decision.WRONG: 0.0,
    Ruling.Decision.WITHDRAWN: None,
}


class StandingRulingQuerySet(models.QuerySet["StandingRuling"]):
    def holding(self) -> StandingRulingQuerySet:
        return self.filter(withdrawn_at=None)

    def for_answer(self, answer: Answer, homework_set: int | None) -> StandingRulingQuerySet:
        """Those that decide an answer coming in: like answers of that set, or of practice, and given by
        a teacher of the student."""
        if answer.likeness is None:
            return self.none()
        like = self.holding().filter(likeness=answer.likeness, homework_set=homework_set)
        taught = Membership.objects.filter(
            role="teacher",
            user=OuterRef("by"),
            school_class__archived_at=None,
            school_class__memberships__user=answer.student_id,
            school_class__memberships__role="student",
        )
        return like.filter(Exists(taught)).order_by("-pk")


class StandingRuling(models.Model):
    """A decision for later answers too, until it is withdrawn: in one set, or in practice.

    `answer` is the one that it was made on, as an example to show.
    """

    public_id = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    likeness = models.BigIntegerField()
    homework_set = models.ForeignKey(
        "quizzes.HomeworkSet", null=True, on_delete=models.CASCADE, related_name="standing_rulings"
    )
    answer = models.ForeignKey(Answer, null=True, on_delete=models.SET_NULL, related_name="+")
    decision = models.CharField(max_length=9, choices=Ruling.Decision.choices)
    note = models.CharField(max_length=300, blank=True)
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="standing_rulings"
    )
    at = models.DateTimeField()
    withdrawn_at = models.DateTimeField(null=True)

    objects = StandingRulingQuerySet.as_manager()

    class Meta:
        ordering = ["-at", "-pk"]
        indexes = [
            models.Index(
                fields=["likeness"], condition=models.Q(withdrawn_at__isnull=True), name="holding_by_likeness"
            )
        ]

    def __str__(self) -> str:
        return f"{self.decision} until withdrawn, since {self.at:%Y-%m-%d}"

    @property
    def score(self) -> float | None:
        return SCORES[Ruling.Decision(self.decision)]


def judged(answers: AnswerQuerySet) -> models.QuerySet[WithAnnotations[Answer, Final]]:
    """The answers with `final`: the score by the last ruling, else by the grader; null where none counts."""
    last = Ruling.objects.filter(answer=OuterRef("pk")).order_by("-pk").values("score")[:1]
    found: Any = answers.annotate(final=Coalesce(Subquery(last), F("score")))
    return found  # type: ignore[no-any-return]  # the plugin makes up a type of its own
