"""Strength: what is believed of a student now, its history by day, and the calibrations it rests on."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.conf import settings
from django.db import models

if TYPE_CHECKING:
    from accounts.models import SchoolClass


class StrengthQuerySet(models.QuerySet["Strength"]):
    def of_class(self, school_class: SchoolClass) -> StrengthQuerySet:
        """The rows of a class's students, in one query."""
        return self.filter(
            student__memberships__school_class=school_class, student__memberships__role="student"
        )


class Strength(models.Model):
    """The belief as the steering packs it, and how it reads per topic, for tables of a whole class.

    The row is the lock of everything that counts for one student: answers are numbered under it.
    """

    student = models.OneToOneField(
        settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="strength"
    )
    state = models.BinaryField()
    numbered = models.PositiveIntegerField(default=0)
    answers = models.PositiveIntegerField(default=0)
    # Answers up to this number were judged anew, under this calibration; later ones under their own.
    judged_upto = models.PositiveIntegerField(default=0)
    judged_under = models.PositiveIntegerField(default=0)
    # What the answers up to a number led to, where they have been deleted since: `recompute` starts here.
    purged_state = models.BinaryField(default=bytes)
    purged_upto = models.PositiveIntegerField(default=0)
    purged_answers = models.PositiveIntegerField(default=0)
    reaction_types_mean = models.FloatField(null=True)
    reaction_types_variance = models.FloatField(null=True)
    acid_base_mean = models.FloatField(null=True)
    acid_base_variance = models.FloatField(null=True)
    balancing_mean = models.FloatField(null=True)
    balancing_variance = models.FloatField(null=True)
    redox_mean = models.FloatField(null=True)
    redox_variance = models.FloatField(null=True)
    stoichiometry_mean = models.FloatField(null=True)
    stoichiometry_variance = models.FloatField(null=True)

    objects = StrengthQuerySet.as_manager()

    def __str__(self) -> str:
        return f"strength after {self.answers} answers"


class StrengthDay(models.Model):
    """How a student stood at the end of a day, for the pages that show progress."""

    student = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="strength_days"
    )
    date = models.DateField()
    answers = models.PositiveIntegerField()
    topics = models.JSONField()

    class Meta:
        ordering = ["student", "date"]
        constraints = [models.UniqueConstraint(fields=["student", "date"], name="one_strength_per_day")]

    def __str__(self) -> str:
        return f"strength on {self.date}"


class Calibration(models.Model):
    """Difficulties and parameters found from all answers up to a moment; number 0 is the start values."""

    number = models.PositiveIntegerField(unique=True)
    made_at = models.DateTimeField()
    answers = models.PositiveIntegerField()
    parameters = models.JSONField()
    items = models.JSONField()

    class Meta:
        ordering = ["number"]

    def __str__(self) -> str:
        return f"calibration {self.number}"


class AnswerCount(models.Model):
    """How often answers to a skill at a level were judged so, of answers that were deleted: nobody's now."""

    skill = models.CharField(max_length=80)
    level = models.CharField(max_length=12)
    verdict = models.CharField(max_length=10)
    number = models.PositiveBigIntegerField(default=0)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["skill", "level", "verdict"], name="one_count_per_verdict")
        ]

    def __str__(self) -> str:
        return f"{self.number} times {self.verdict} at {self.skill}"
