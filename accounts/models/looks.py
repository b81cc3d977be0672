"""Looks: who opened a page with whose data on it. Only ever added, and deleted by age alone."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from django.conf import settings
from django.db import models
from django.db.models import Q

from accounts.models.classes import SchoolClass

if TYPE_CHECKING:
    from accounts.models.users import User

ONE_LOOK = timedelta(hours=1)
"""A page opened again so soon is the same look; pages that refresh themselves would fill the table."""


class LookQuerySet(models.QuerySet["Look"]):
    def record(self, by: User, what: str, at: datetime, **whose: object) -> None:
        """`whose` is a `student` or a `school_class`; looking again within the hour adds nothing."""
        seen = {"by": by, "what": what, **whose}
        if not self.filter(**seen, at__gt=at - ONE_LOOK).exists():
            self.create(**seen, at=at)

    def at_data_of(self, student: User) -> LookQuerySet:
        """Looks at the student, or at a class while the student was in it."""
        classes = SchoolClass.objects.attended_by(student)
        in_class = Q(school_class__in=classes, at__gte=models.F("school_class__memberships__joined_at"))
        member = Q(school_class__memberships__user=student)
        return self.filter(Q(student=student) | (in_class & member)).distinct()


class Look(models.Model):
    """`what` is the name of the page's address."""

    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="looks")
    what = models.CharField(max_length=40)
    student = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.CASCADE, related_name="looked_at"
    )
    school_class = models.ForeignKey(SchoolClass, null=True, on_delete=models.CASCADE, related_name="looks")
    at = models.DateTimeField(db_index=True)

    objects = LookQuerySet.as_manager()

    class Meta:
        ordering = ["-at", "-pk"]

    def __str__(self) -> str:
        return f"{self.what} at {self.at:%Y-%m-%d %H:%M}"
