"""`manage.py evidence`: what one cell shows, as text for people or as JSON."""

import json
import sys
from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from problems.cell.report import as_json, as_text, known, known_text
from problems.cell.setup import Setup
from problems.errors import ProblemError

QUANTITIES = ("concentration", "current", "time", "temperature", "pressure", "arm_volume", "tube_volume")


class Command(BaseCommand):
    help = "Show what a two-arm cell gives: half-reactions, gases, deposits, pH and colours, with reasons."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--electrolyte", help="formula, also of a hydrate: KNO3, CuSO4.5H2O")
        parser.add_argument("--concentration", help='such as "0.25 mol/L"')
        parser.add_argument("--electrodes", help="one material for both, or cathode:anode as graphite:copper")
        parser.add_argument("--indicator", default="none", help='such as "phenol red", or none')
        parser.add_argument("--current", help='such as "0.40 A"')
        parser.add_argument("--time", help='such as "12 min"')
        parser.add_argument("--temperature", help="21 °C where it is left out")
        parser.add_argument("--pressure", help="101.325 kPa where it is left out")
        parser.add_argument("--arm-volume", help="liquid in one arm, 50 mL where it is left out")
        parser.add_argument(
            "--tube-volume", help="gas that a collecting tube holds, 50 mL where it is left out"
        )
        parser.add_argument(
            "--list", action="store_true", help="what is known: electrolytes, electrodes, indicators"
        )
        parser.add_argument("--json", action="store_true", help="JSON instead of text")

    def handle(self, *args: Any, **options: Any) -> None:
        if options["list"]:
            self._write(json.dumps(known()) if options["json"] else known_text())
            return
        try:
            setup = self._setup(options)
        except ProblemError as error:
            raise CommandError(str(error), returncode=2) from error
        self._write(json.dumps(as_json(setup)) if options["json"] else as_text(setup))

    def _setup(self, options: dict[str, Any]) -> Setup:
        return Setup.from_text(
            electrolyte=options["electrolyte"],
            electrodes=options["electrodes"],
            indicator=options["indicator"],
            **{name: options[name] for name in QUANTITIES},
        )

    def _write(self, text: str) -> None:
        sys.stdout.write(text + "\n")
