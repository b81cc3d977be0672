"""`manage.py restore`: a backup in the place of the database."""

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from accounts.models import User
from quizzes.management.database import DatabaseCommand
from quizzes.models import Answer
from quizzes.upkeep.backup import restore


class Command(DatabaseCommand):
    help = "Put a backup in the place of the database and bring it to this version. Stop the site first."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", type=Path, help="a file that `backup` wrote")
        parser.add_argument("--replace", action="store_true", help="lose what came since the backup")

    def handle(self, *args: Any, **options: Any) -> None:
        restore(options["file"], replace=options["replace"])
        self.stdout.write(f"Restored: {User.objects.count()} people, {Answer.objects.count()} answers.")
