"""`manage.py demo`: a filled school of our own invention, served on this machine."""

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError
from django.db import connections
from django.utils import timezone
from tqdm import tqdm

from quizzes import environment, serving
from quizzes.demo import database

EXPECTED = 7_500


class Command(BaseCommand):
    help = "Fill a school of our own invention (once) and serve it on this machine."
    requires_system_checks = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument(
            "--reset", action="store_true", help="start over; deletes only the demo's own database"
        )
        parser.add_argument("--no-serve", action="store_true", help="only fill the database")
        parser.add_argument("--port", type=int, default=8000, help="port to serve on (8000)")
        parser.add_argument("--seed", type=int, default=1, help="another seed, another school (1)")

    def handle(self, *args: Any, **options: Any) -> None:
        path = Path(settings.DATA_DIR) / "demo.sqlite3"
        serving.use_database(environment.sqlite(path))
        if options["reset"] or not database.is_filled(path):
            self._fill(path, options["seed"])
        else:
            call_command("migrate", verbosity=0)
        self._say(options["port"])
        if not options["no_serve"]:
            serving.serve("127.0.0.1", options["port"], lan=False)

    def _fill(self, path: Path, seed: int) -> None:
        from quizzes.calibration import calibrate, judge_all_anew
        from quizzes.demo import school

        try:
            database.start_over(path)
        except database.NotOursError as fault:
            raise CommandError(str(fault)) from None
        call_command("migrate", verbosity=0)
        with tqdm(total=EXPECTED, unit="answer", desc="Filling the demo school", disable=None) as bar:
            school.fill(timezone.now(), seed, bar.update)
            bar.total = bar.n
        # A served site has done so every day.
        calibrate(timezone.now())
        judge_all_anew()
        connections.close_all()
        database.set_filled(path)

    def _say(self, port: int) -> None:
        from quizzes.demo.school import PASSWORD, STUDENT, TEACHER

        self.stdout.write(
            f"\nThe demo school is at http://127.0.0.1:{port}/\n"
            f"  teacher: {TEACHER}   password: {PASSWORD}\n"
            f"  student: {STUDENT}   password: {PASSWORD}\n"
        )
