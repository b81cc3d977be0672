"""`manage.py backup`: the whole database in one checked file."""

from typing import Any

from django.conf import settings
from django.utils import timezone

from quizzes.management.database import DatabaseCommand
from quizzes.upkeep.backup import back_up


class Command(DatabaseCommand):
    help = "Write a backup to DATA_DIR/backups while the site runs; the newest KEEP_BACKUPS are kept."

    def handle(self, *args: Any, **options: Any) -> None:
        path = back_up(settings.DATA_DIR, timezone.now(), settings.KEEP_BACKUPS)
        self.stdout.write(f"{path} ({path.stat().st_size / 1e6:.1f} MB)")
