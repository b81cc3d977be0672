"""Answers: append-only rows, numbered per student in the order in which they counted."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import TYPE_CHECKING

from django.conf import settings
from django.db import models

from problems.grading.verdict import Verdict
from quizzes.models.runs import Question

if TYPE_CHECKING:
    from accounts.models import SchoolClass
    from quizzes.adaptive.report import Chance

VERDICTS = ["correct", "partly", "wrong", "unreadable", "shown"]
"""The four of the grading contract, and `shown`: the student asked to see the answer."""


class AnswerQuerySet(models.QuerySet["Answer"]):
    def counted(self) -> AnswerQuerySet:
        """Answers that say something about strength: unreadable ones cost nothing."""
        return self.filter(score__isnull=False)

    def since(self, at: datetime) -> AnswerQuerySet:
        return self.filter(at__gte=at)

    def of_class(self, school_class: SchoolClass) -> AnswerQuerySet:
        return self.filter(student__memberships__school_class=school_class)


class Answer(models.Model):
    student = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="answers")
    question = models.ForeignKey(Question, on_delete=models.CASCADE, related_name="answers")
    part = models.PositiveSmallIntegerField(default=0)
    number = models.PositiveIntegerField()
    token = models.UUIDField()
    typed = models.TextField(blank=True)
    verdict = models.CharField(max_length=10, choices=[(name, name) for name in VERDICTS])
    score = models.FloatField(null=True)
    codes = models.JSONField(default=list)
    reading = models.TextField(blank=True)
    message = models.TextField(blank=True)
    position = models.PositiveIntegerField(null=True)
    length = models.PositiveIntegerField(null=True)
    is_retry = models.BooleanField(default=False)
    settles = models.BooleanField(default=False)
    hints_seen = models.PositiveSmallIntegerField(default=0)
    calibration_number = models.PositiveIntegerField(default=0)
    # What it shares with like answers (see `quizzes.likeness`); none where nothing was typed.
    likeness = models.BigIntegerField(null=True)
    at = models.DateTimeField()

    # Where the topics stood when it had just counted; not stored here.
    chances: Mapping[str, Chance] | None = None
    # Whether a teacher's standing decision met it when it came in; not stored here.
    met_a_decision = False

    objects = AnswerQuerySet.as_manager()

    class Meta:
        ordering = ["student", "number"]
        constraints = [
            models.UniqueConstraint(fields=["student", "token"], name="one_answer_per_token"),
            models.UniqueConstraint(fields=["student", "number"], name="answers_numbered_per_student"),
        ]
        indexes = [
            models.Index(fields=["question", "number"]),
            models.Index(fields=["student", "at"]),
            models.Index(fields=["likeness"], name="like_answers"),
        ]

    def __str__(self) -> str:
        return f"answer {self.number} to {self.question.public_id}"

    def take(self, verdict: Verdict) -> None:
        """Copy what the grader found into the columns."""
        self.verdict, self.score = verdict.verdict, verdict.score
        self.codes = list(verdict.codes)
        self.reading, self.message = verdict.reading or "", verdict.message
        self.position, self.length = verdict.position, verdict.length

    @property
    def said(self) -> str:
        """The answer as it was read, or what was typed where it could not be."""
        return self.reading or self.typed

    @property
    def is_right(self) -> bool:
        return self.score == 1

    @property
    def before_fault(self) -> str:
        return self.typed[: self.position] if self.position is not None else self.typed

    @property
    def fault(self) -> str:
        """The piece of the typed text where the fault stands, as the grader pointed it out."""
        if self.position is None:
            return ""
        return self.typed[self.position : self.position + (self.length or 1)]

    @property
    def after_fault(self) -> str:
        return "" if self.position is None else self.typed[self.position + (self.length or 1) :]
