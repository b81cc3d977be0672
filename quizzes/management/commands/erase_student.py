"""`manage.py erase_student`: a student and all that is kept of him, gone."""

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import CommandError

from quizzes.management.database import DatabaseCommand
from quizzes.management.students import student_with
from quizzes.upkeep.own_data import erase


class Command(DatabaseCommand):
    help = "Erase a student with all answers; only counts by skill and verdict stay, which name nobody."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("student", help="the student's id")
        parser.add_argument("--yes", action="store_true", help="really erase; it cannot be taken back")

    def handle(self, *args: Any, **options: Any) -> None:
        student = student_with(options["student"])
        if not options["yes"]:
            raise CommandError(
                f"{student.display_name} has {student.answers.count()} answers; say --yes to erase them all.",
                returncode=2,
            )
        self.stdout.write(f"Erased, with {erase(student)} answers. Older backups still hold them.")
