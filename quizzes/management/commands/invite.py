"""`manage.py invite`: a link that makes one teacher's account."""

from argparse import ArgumentParser
from datetime import timedelta
from typing import Any

from django.core.management.base import CommandError
from django.urls import reverse
from django.utils import timezone

from accounts.models import Invitation
from quizzes.management.database import DatabaseCommand

LONGEST = 90


class Command(DatabaseCommand):
    help = "Print a link that makes one teacher's account. Whoever opens it first becomes the teacher."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument(
            "--days", type=int, default=7, help=f"how long it lasts, 1 to {LONGEST}; 7 if left out"
        )
        parser.add_argument(
            "--site", default="http://127.0.0.1:8000", help="address of the site, put in front"
        )

        parser.add_argument(
            "--may-invite", action="store_true", help="let this teacher invite other teachers in turn"
        )

    def handle(self, *args: Any, days: int, site: str, may_invite: bool, **options: Any) -> None:
        if not 1 <= days <= LONGEST:
            raise CommandError(f"--days is {days}; give 1 to {LONGEST}.")
        secret = Invitation.objects.issue(timezone.now(), timedelta(days=days), may_invite=may_invite)
        self.stdout.write(site.rstrip("/") + reverse("accounts:invitation", args=[secret]))
