"""A change of many rows, kept so that it can be taken back for a day.

Rows are only ever added. Two things are written later: when a change was taken back, and, once it no
longer can be, an empty payload, so that nothing is kept for longer than it is of use.
"""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from datetime import datetime, timedelta
from typing import Any

from django.conf import settings
from django.db import models

from accounts.models.users import User

LASTING = timedelta(days=1)
"""For so long a change can be taken back."""
LISTED = timedelta(days=7)


class ChangeQuerySet(models.QuerySet["Change"]):
    def record(
        self, who: User, action: str, at: datetime, told: Mapping[str, Any], payload: Mapping[str, Any]
    ) -> Change:
        """Keep what was just done, in the transaction that did it; older payloads are emptied."""
        self.fade(at)
        return self.create(who=who, action=action, at=at, told=dict(told), payload=dict(payload))

    def fade(self, at: datetime) -> int:
        """Empty the payloads of no more use; how many. Whoever clears out old things calls it too."""
        return self.filter(at__lt=at - LASTING).exclude(payload={}).update(payload={})

    def lately_by(self, who: User, at: datetime) -> ChangeQuerySet:
        """What this person changed in the last days, the newest first."""
        return self.filter(who=who, at__gt=at - LISTED)


class Change(models.Model):
    public_id = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    who = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="changes")
    action = models.CharField(max_length=40)
    # The fields of the sentence that tells of it: numbers and names of classes, never of students.
    told = models.JSONField(default=dict)
    payload = models.JSONField(default=dict)
    at = models.DateTimeField()
    taken_back_at = models.DateTimeField(null=True, blank=True)

    objects = ChangeQuerySet.as_manager()

    class Meta:
        ordering = ["-at", "-pk"]
        indexes = [models.Index(fields=["who", "at"], name="changes_by_person")]

    def __str__(self) -> str:
        return f"{self.action} at {self.at:%Y-%m-%d %H:%M}"

    def is_open(self, at: datetime) -> bool:
        """Whether it can still be taken back."""
        return self.taken_back_at is None and at < self.at + LASTING
