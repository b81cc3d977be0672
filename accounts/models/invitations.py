"""An invitation makes one teacher's account. Only its digest is kept, so the table opens nothing."""

from __future__ import annotations

import hashlib
import uuid
from datetime import datetime, timedelta

from django.db import models


class InvitationQuerySet(models.QuerySet["Invitation"]):
    def issue(self, at: datetime, lasting: timedelta, *, may_invite: bool = False) -> uuid.UUID:
        """The secret of a new invitation: shown once, to be passed on."""
        secret = uuid.uuid4()
        self.create(digest=_digest(secret), expires_at=at + lasting, may_invite=may_invite)
        return secret

    def open(self, secret: uuid.UUID, at: datetime) -> InvitationQuerySet:
        """The invitation of this secret, as long as it is neither used nor past its end."""
        return self.filter(digest=_digest(secret), used_at=None, expires_at__gt=at)


class Invitation(models.Model):
    digest = models.CharField(max_length=64, unique=True)
    expires_at = models.DateTimeField()
    used_at = models.DateTimeField(null=True, blank=True)
    # Whether the new teacher may invite others in turn.
    may_invite = models.BooleanField(default=False)

    objects = InvitationQuerySet.as_manager()

    def __str__(self) -> str:
        return f"invitation until {self.expires_at:%Y-%m-%d}"


def _digest(secret: uuid.UUID) -> str:
    return hashlib.sha256(secret.bytes).hexdigest()
