"""Django's sessions in the database, found with a prepared statement: every request asks for one."""

from __future__ import annotations

from django.contrib.sessions.backends.db import SessionStore as DatabaseStore
from django.contrib.sessions.models import Session
from django.utils import timezone

from accounts.prepared import Prepared

ALIVE = Prepared(lambda key, now: Session.objects.filter(session_key=key, expire_date__gt=now))


class SessionStore(DatabaseStore):
    def _get_session_from_db(self) -> Session | None:
        session = ALIVE.first(self.session_key, timezone.now())
        if session is None:
            self._session_key = None
        return session
