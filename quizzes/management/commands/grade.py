"""`manage.py grade`: JSON Lines of typed answers in, JSON Lines of verdicts out, one for one."""

import gc
import json
import os
import sys
from argparse import ArgumentParser
from pathlib import Path
from typing import Any, BinaryIO

from django.core.management.base import BaseCommand, CommandError

from problems.grading.case import grade_lines, lines_of


class Command(BaseCommand):
    help = "Grade typed answers: JSON Lines in (a file, or standard input), JSON Lines out, one for one."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument(
            "file", nargs="?", type=Path, help="JSON Lines; standard input where it is left out"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        path: Path | None = options["file"]
        if path is None:
            self._grade(sys.stdin.buffer)
            return
        try:
            source = path.open("rb")
        except OSError as error:
            raise CommandError(f"The file {path} cannot be read: {error.strerror}.", returncode=2) from error
        with source:
            self._grade(source)

    def _grade(self, source: BinaryIO) -> None:
        """Write one line for each; exit with 1 where any was an error."""
        failed = False
        gc.freeze()  # what is loaded by now stays: no answer pays for looking through it
        try:
            for result in grade_lines(lines_of(source)):
                failed = failed or "error" in result
                sys.stdout.write(json.dumps(result) + "\n")
                sys.stdout.flush()
        except KeyboardInterrupt:
            raise SystemExit(2) from None
        except BrokenPipeError:
            # Nobody reads on. Without another standard output, closing it at exit would complain.
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
            raise SystemExit(2) from None
        except OSError as error:
            raise CommandError(f"The input cannot be read: {error.strerror}.", returncode=2) from error
        if failed:
            raise SystemExit(1)
