"""What students send in to their teachers: an answer, or a question they have not answered, with a note."""

from __future__ import annotations

import uuid
from collections.abc import Iterable
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from django.conf import settings
from django.db import models

from accounts.models import SchoolClass
from quizzes.models.answers import Answer
from quizzes.models.runs import Question

if TYPE_CHECKING:
    from accounts.models import User

LATELY = timedelta(days=7)
NOTE_LENGTH = 500
REPLY_LENGTH = 300


class SentInQuerySet(models.QuerySet["SentIn"]):
    def open(self) -> SentInQuerySet:
        """Not looked at yet."""
        return self.filter(closed_at=None)

    def looked_at_lately(self, student: User, at: datetime) -> SentInQuerySet:
        """What a teacher replied to in the last days."""
        return self.filter(student=student, closed_at__gt=at - LATELY)

    def close_with(self, answers: Iterable[Answer], reply: str, by: User, at: datetime) -> int:
        """Whatever waits about these answers was looked at."""
        return self.open().filter(answer__in=list(answers)).update(closed_at=at, closed_by=by, reply=reply)

    def for_teacher(self, teacher: User) -> SentInQuerySet:
        """Of the students of the present classes that this teacher teaches."""
        classes = SchoolClass.objects.taught_by(teacher).current()
        students = classes.filter(memberships__role="student").values("memberships__user")
        return self.filter(student__in=students)


class SentIn(models.Model):
    """`answer` is the last one to that part at the time of sending; none where it was not answered."""

    public_id = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    student = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="sent_in")
    question = models.ForeignKey(Question, on_delete=models.CASCADE, related_name="sent_in")
    part = models.PositiveSmallIntegerField(default=0)
    answer = models.ForeignKey(Answer, null=True, on_delete=models.CASCADE, related_name="sent_in")
    note = models.CharField(max_length=NOTE_LENGTH, blank=True)
    at = models.DateTimeField()
    closed_at = models.DateTimeField(null=True)
    closed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="closed_sent_in"
    )
    reply = models.CharField(max_length=REPLY_LENGTH, blank=True)

    objects = SentInQuerySet.as_manager()

    class Meta:
        ordering = ["-at", "-pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["question", "part"],
                condition=models.Q(closed_at__isnull=True),
                name="one_open_sent_in_per_part",
            )
        ]
        indexes = [
            models.Index(
                fields=["student"], condition=models.Q(closed_at__isnull=True), name="open_sent_in_by_student"
            )
        ]

    def __str__(self) -> str:
        return f"sent in {self.public_id}"

    @property
    def is_open(self) -> bool:
        return self.closed_at is None

    def close(self, reply: str, by: User, at: datetime) -> None:
        """Looked at, with a word to the student; closing it again keeps the first."""
        SentIn.objects.filter(pk=self.pk, closed_at=None).update(closed_at=at, closed_by=by, reply=reply)
        self.refresh_from_db(fields=["closed_at", "closed_by", "reply"])
