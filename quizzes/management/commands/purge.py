"""`manage.py purge`: what is older than the settings say is deleted."""

from typing import Any

from django.conf import settings
from django.utils import timezone

from quizzes.management.database import DatabaseCommand
from quizzes.upkeep.retention import purge


class Command(DatabaseCommand):
    help = "Delete what is older than it is kept; strengths stay as they are. For a daily timer."

    def handle(self, *args: Any, **options: Any) -> None:
        gone = purge(timezone.now())
        self.stdout.write(
            f"Deleted: {gone.answers} answers older than {settings.KEEP_ANSWERS_DAYS} days, "
            f"{gone.looks} looks, {gone.sign_ins} traces of signing in, {gone.changes} changes."
        )
