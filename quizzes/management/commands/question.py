"""`manage.py question`: the question of a skill, level and seed, as text for people or as JSON."""

import json
import sys
from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from problems import report
from problems.cell.setup import Setup
from problems.errors import ProblemError
from problems.generators.setups import setup_on
from problems.registry import find, make_question

SETUP = (
    "concentration",
    "electrodes",
    "indicator",
    "current",
    "time",
    "temperature",
    "pressure",
    "arm_volume",
    "tube_volume",
)


class Command(BaseCommand):
    help = "Make the question of a skill, level and seed; the same three always give the same question."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--list", action="store_true", help="every skill, and what it rests on")
        parser.add_argument("--skill", help="such as redox.half_reaction")
        parser.add_argument("--level", help="first_year or second_year; the skill's first where left out")
        parser.add_argument("--seed", type=int, default=1)
        parser.add_argument("--count", type=int, help="so many questions, from this seed on")
        parser.add_argument("--electrolyte", help="ask it on a cell with this salt: KNO3, CuSO4.5H2O")
        for name in SETUP:
            parser.add_argument("--" + name.replace("_", "-"), help="as in the command evidence")
        parser.add_argument(
            "--json", action="store_true", help="JSON instead of text; JSON Lines with --count"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        if options["list"]:
            self._write(json.dumps(report.skills()) if options["json"] else report.skills_text())
            return
        try:
            self._questions(options)
        except ProblemError as error:
            raise CommandError(str(error), returncode=2) from error
        except BrokenPipeError:
            raise SystemExit(2) from None

    def _questions(self, options: dict[str, Any]) -> None:
        count = options["count"]
        if not options["skill"]:
            raise CommandError("Name a skill with --skill; --list shows them all.", returncode=2)
        if count is not None and count < 1:
            raise CommandError("The count must be at least 1.", returncode=2)
        for seed in range(options["seed"], options["seed"] + (count or 1)):
            level = options["level"] or self._first_level(options["skill"])
            question = make_question(options["skill"], level, seed, self._setup(options, level, seed))
            self._write(json.dumps(report.as_json(question)) if options["json"] else report.as_text(question))

    def _first_level(self, name: str) -> str:
        skill = find(name)
        return skill.levels[0]

    def _setup(self, options: dict[str, Any], level: str, seed: int) -> Setup | None:
        """The setup that the options describe; what they leave out is drawn."""
        if options["electrolyte"] is None:
            if any(options[name] is not None for name in SETUP):
                raise CommandError("Name the --electrolyte of the setup as well.", returncode=2)
            return None
        skill = find(options["skill"], level)
        row = Setup.from_text(
            electrolyte=options["electrolyte"],
            electrodes="platinum",
            concentration="1 mmol/L",
            current="0.1 A",
            time="1 min",
        )
        drawn = setup_on(skill, row.electrolyte, skill.rng(skill.levels[0], seed))
        given = {name: options[name] for name in SETUP if options[name] is not None}
        texts = {**drawn.as_json(), "hydrate": row.hydrate, **given}
        if "electrodes" in given:
            del texts["cathode"], texts["anode"]
        return Setup.from_json(texts)

    def _write(self, text: str) -> None:
        sys.stdout.write(text + "\n")
