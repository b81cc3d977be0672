"""`manage.py simulate`: how well the steering works on students whose true strengths are known."""

import json
import sys
from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from tqdm import tqdm

from quizzes.adaptive.errors import SteeringError
from quizzes.adaptive.simulate.run import PART_NAMES, Plan, run
from quizzes.adaptive.simulate.text import as_text
from quizzes.adaptive.simulate.worlds import WORLDS

NUMBERS = {"students": 400, "answers": 100, "seed": 1}


class Command(BaseCommand):
    help = (
        "Simulate students with known strengths: ours beside Elo, PFA, BKT and plainer ways to choose. "
        "Of the predictions, ours_start keeps the starting values; ours_cold is a class nobody knew, "
        "refitted every night on its own answers, as the site does."
    )
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        for name, start in NUMBERS.items():
            parser.add_argument(f"--{name}", default=str(start), metavar="N", help=f"{start} if left out")
        parser.add_argument("--learners", default=",".join(WORLDS), help="worlds, split by commas")
        parser.add_argument("--part", default=",".join(PART_NAMES), help="parts, split by commas")
        parser.add_argument("--json", action="store_true", help="JSON instead of tables")

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            plan = _plan(options)
        except SteeringError as error:
            raise CommandError(str(error), returncode=2) from error
        with tqdm(total=plan.steps(), unit="part", disable=None, leave=False) as bar:
            results = run(plan, bar.update)
        sys.stdout.write((json.dumps(results.figures) if options["json"] else as_text(results)) + "\n")


def _plan(options: dict[str, Any]) -> Plan:
    numbers = {name: _whole(name, str(options[name])) for name in NUMBERS}
    return Plan(**numbers, learners=_names(options["learners"]), parts=_names(options["part"]))


def _whole(name: str, text: str) -> int:
    try:
        return int(text)
    except ValueError:
        raise SteeringError(name, text, "must be a whole number") from None


def _names(text: str) -> tuple[str, ...]:
    """Names split by commas, each once."""
    return tuple(dict.fromkeys(name.strip() for name in text.split(",") if name.strip()))
