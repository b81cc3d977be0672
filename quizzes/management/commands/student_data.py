"""`manage.py student_data`: all that is kept of one student, as JSON."""

import json
import sys
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import CommandError
from django.utils import timezone

from quizzes.management.database import DatabaseCommand
from quizzes.management.students import student_with
from quizzes.upkeep.own_data import data_of


class Command(DatabaseCommand):
    help = "Write everything that is kept of one student, for the student or the parents."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("student", help="the student's id")
        parser.add_argument("--file", metavar="FILE", type=Path, help="write there; else to standard output")

    def handle(self, *args: Any, **options: Any) -> None:
        data = data_of(student_with(options["student"]), timezone.now())
        text = json.dumps(data, ensure_ascii=False, indent=1)
        if options["file"]:
            _write(options["file"], text + "\n")
        else:
            sys.stdout.write(text + "\n")


def _write(path: Path, text: str) -> None:
    try:
        path.write_text(text, encoding="utf-8")
    except OSError as error:
        raise CommandError(f"{path} cannot be written: {error.strerror}.", returncode=2) from None
