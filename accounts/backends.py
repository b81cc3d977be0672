"""Django's sign-in by name and password; the reader of a request is found with a prepared statement."""

from __future__ import annotations

from typing import Any

from django.contrib.auth.backends import ModelBackend

from accounts.models import User
from accounts.prepared import Prepared

BY_KEY = Prepared(lambda key: User.objects.filter(pk=key))


class AccountBackend(ModelBackend):
    def get_user(self, user_id: Any) -> User | None:
        user = BY_KEY.first(user_id)
        return user if user is not None and self.user_can_authenticate(user) else None
