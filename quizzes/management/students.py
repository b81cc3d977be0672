"""What commands about one student share."""

import uuid

from django.core.management import CommandError

from accounts.models import User


def student_with(text: str) -> User:
    """The student of this id; a sentence where there is none."""
    try:
        return User.objects.get(public_id=uuid.UUID(text), is_teacher=False, is_staff=False)
    except (ValueError, User.DoesNotExist):
        raise CommandError(f"There is no student with the id {text}.", returncode=2) from None
