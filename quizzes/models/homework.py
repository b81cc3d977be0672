"""Homework sets: what a teacher assigns to classes."""

from __future__ import annotations

import uuid
from datetime import datetime
from typing import TYPE_CHECKING

from django.conf import settings
from django.db import models
from django.db.models import QuerySet
from django.utils.translation import gettext_lazy as _

from accounts.models import Membership, SchoolClass
from accounts.models import User as Student
from quizzes.models.runs import LEVEL_CHOICES

if TYPE_CHECKING:
    from accounts.models import User


class HomeworkSetQuerySet(models.QuerySet["HomeworkSet"]):
    def for_student(self, student: User) -> HomeworkSetQuerySet:
        """Assigned to a present class that the student attends."""
        return self.filter(
            classes__archived_at=None,
            classes__memberships__user=student,
            classes__memberships__role="student",
        ).distinct()

    def opened(self, at: datetime) -> HomeworkSetQuerySet:
        return self.filter(opens_at__lte=at)


class HomeworkSet(models.Model):
    class Mode(models.TextChoices):
        ONE = "one", _("the same questions for all")
        OWN = "own", _("own numbers for each student")
        STEERED = "steered", _("chosen for each student")

    class Late(models.TextChoices):
        ACCEPTED = "accepted", _("accepted and marked late")
        REFUSED = "refused", _("not accepted")

    public_id = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    author = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="homework_sets"
    )
    classes = models.ManyToManyField("accounts.SchoolClass", related_name="homework_sets")
    title = models.CharField(max_length=120)
    mode = models.CharField(max_length=8, choices=Mode.choices, default=Mode.OWN)
    skills = models.JSONField(default=list)
    level = models.CharField(max_length=12, choices=LEVEL_CHOICES)
    number = models.PositiveSmallIntegerField(default=8)
    attempts = models.PositiveSmallIntegerField(default=2)
    hints_allowed = models.BooleanField(default=True)
    setup_json = models.JSONField()
    seed = models.BigIntegerField()
    opens_at = models.DateTimeField()
    due_at = models.DateTimeField()
    late = models.CharField(max_length=8, choices=Late.choices, default=Late.ACCEPTED)
    made_at = models.DateTimeField()

    objects = HomeworkSetQuerySet.as_manager()

    class Meta:
        ordering = ["due_at", "pk"]

    def __str__(self) -> str:
        return self.title

    def classes_of(self, teacher: User) -> QuerySet[SchoolClass]:
        """Those of its classes that this teacher teaches."""
        return SchoolClass.objects.taught_by(teacher).filter(homework_sets=self)

    def students_of(self, teacher: User) -> QuerySet[User]:
        """The students who are to do it in the classes that this teacher teaches, each once."""
        classes = self.classes_of(teacher)
        return Student.objects.filter(
            pk__in=Membership.objects.filter(role="student", school_class__in=classes).values("user")
        )

    def due_for(self, student: User) -> datetime:
        """When it is due for this student: an extension counts where it ends later."""
        extended = self.extensions.filter(student=student).values_list("due_at", flat=True).first()
        return max(self.due_at, extended) if extended else self.due_at

    def is_open_for(self, student: User, at: datetime) -> bool:
        """Whether this student may work on it; costs no query before it is due."""
        return self.is_open(at) or (self.opens_at <= at <= self.due_for(student))

    def is_open(self, at: datetime) -> bool:
        return self.opens_at <= at and (at <= self.due_at or self.late == self.Late.ACCEPTED)


class Extension(models.Model):
    """More time for one student."""

    homework_set = models.ForeignKey(HomeworkSet, on_delete=models.CASCADE, related_name="extensions")
    student = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="extensions")
    due_at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["homework_set", "student"], name="one_extension_per_student")
        ]

    def __str__(self) -> str:
        return f"until {self.due_at:%Y-%m-%d %H:%M}"
