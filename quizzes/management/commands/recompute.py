"""`manage.py recompute`: strengths rebuilt from the answers."""

import uuid
from argparse import ArgumentParser
from typing import Any

from django.core.management.base import CommandError

from accounts.models import User
from quizzes.management.database import DatabaseCommand
from quizzes.models import Strength
from quizzes.recompute import recompute


class Command(DatabaseCommand):
    help = "Rebuild strengths from the stored answers, and say what changed."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--student", metavar="ID", help="one student's id; without it, every student")

    def handle(self, *args: Any, **options: Any) -> None:
        students = [self._student(options["student"])] if options["student"] else self._all()
        changed = [student for student in students if recompute(student)]
        for student in changed:
            self.stdout.write(f"changed: {student.public_id}")
        self.stdout.write(f"{len(students)} rebuilt, {len(changed)} changed.")

    def _all(self) -> list[User]:
        return [row.student for row in Strength.objects.select_related("student").order_by("student")]

    def _student(self, text: str) -> User:
        try:
            return User.objects.get(public_id=uuid.UUID(text))
        except (ValueError, User.DoesNotExist):
            raise CommandError(f"There is no student with the id {text}.", returncode=2) from None
