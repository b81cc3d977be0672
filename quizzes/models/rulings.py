"""Rulings: a teacher's decisions that replace a verdict. Only ever added; the last one wins."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING, Any, TypedDict

from django.conf import settings
from django.db import models
from django.db.models import F, OuterRef, Subquery
from django.db.models.functions import Coalesce

from quizzes.models.answers import Answer, AnswerQuerySet

if TYPE_CHECKING:
    from django_stubs_ext import WithAnnotations

    from accounts.models import User


class Final(TypedDict):
    """What `judged` adds to an answer."""

    final: float | None


class RulingQuerySet(models.QuerySet["Ruling"]):
    def give(self, answer: Answer, decision: str, note: str, by: User, at: datetime) -> Ruling:
        """One more ruling on an answer; strength is brought up to date in `quizzes.rulings`."""
        score = SCORES[Ruling.Decision(decision)]
        return self.create(answer=answer, decision=decision, score=score, note=note, by=by, at=at)


class Ruling(models.Model):
    """`score` is what the answer is worth now; a withdrawal has none and lets the verdict stand."""

    class Decision(models.TextChoices):
        RIGHT = "right", "right"
        PARTLY = "partly", "partly right"
        WRONG = "wrong", "not right"
        WITHDRAWN = "withdrawn", "as it was judged"

    answer = models.ForeignKey(Answer, on_delete=models.CASCADE, related_name="rulings")
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


def judged(answers: AnswerQuerySet) -> models.QuerySet[WithAnnotations[Answer, Final]]:
    """The answers with `final`: the score by the last ruling, else by the grader; null where none counts."""
    last = Ruling.objects.filter(answer=OuterRef("pk")).order_by("-pk").values("score")[:1]
    found: Any = answers.annotate(final=Coalesce(Subquery(last), F("score")))
    return found  # type: ignore[no-any-return]  # the plugin makes up a type of its own
