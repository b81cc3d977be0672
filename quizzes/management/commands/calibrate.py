"""`manage.py calibrate`: how hard the skills are, refitted from all answers."""

import json
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import CommandError
from django.utils import timezone

from quizzes.adaptive.calibrate import Calibration, ItemMove
from quizzes.adaptive.reliability import calibration_error, reliability_svg
from quizzes.calibration import calibrate, is_due, judge_all_anew
from quizzes.management.database import DatabaseCommand

REFUSALS = {
    "few_answers": "Nothing moved: {answers} answers are too few to tell how hard the skills are.",
    "few_students": "Nothing moved: {students} students are too few to tell how hard the skills are.",
}


class Command(DatabaseCommand):
    help = (
        "Refit the difficulty of the skills to all answers, say what moved, and judge every student's "
        "answers anew by it. Safe to run while students answer."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument(
            "--report", metavar="FILE", type=Path, help="draw expected against observed, as SVG"
        )
        parser.add_argument("--json", action="store_true", help="print JSON")
        parser.add_argument(
            "--if-due", action="store_true", help="only once a day, and when enough is new; for timers"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        now = timezone.now()
        if options["if_due"] and not is_due(now):
            return
        found = calibrate(now)
        if not found.refused:
            judge_all_anew()
        self.stdout.write(json.dumps(as_json(found)) if options["json"] else as_text(found))
        if options["report"]:
            self._report(found, options["report"])

    def _report(self, found: Calibration, path: Path) -> None:
        if found.after is None:
            raise CommandError("There is nothing to report on yet.", returncode=2)
        try:
            path.write_text(reliability_svg(found.after.bins, "Expected and observed"), encoding="utf-8")
        except OSError as error:
            raise CommandError(f"{path} cannot be written: {error.strerror}.", returncode=2) from None


def as_text(found: Calibration) -> str:
    """What moved and on how many answers it rests, for people."""
    if found.refused:
        return REFUSALS[found.refused].format(answers=found.answers, students=found.students)
    lines = [f"{found.answers} answers of {found.students} students."]
    lines += [_moved(move) for move in found.moves]
    lines += [f"{name}: {old:.3g} to {new:.3g}" for name, (old, new) in found.changed.items()]
    if found.before and found.after:
        lines.append(
            f"log-loss an answer: {found.before.log_loss:.4f} before, {found.after.log_loss:.4f} after"
        )
        lines.append(f"calibration error: {calibration_error(found.after.bins):.4f}")
    return "\n".join(lines)


def _moved(move: ItemMove) -> str:
    item = " ".join(filter(None, move.key))
    return f"{item}: {move.before:+.2f} to {move.after:+.2f} ({move.answers} answers)"


def as_json(found: Calibration) -> dict[str, Any]:
    moves = [
        {"skill": move.key[0], "level": move.key[1], "kind": move.key[2], "before": move.before,
         "after": move.after, "answers": move.answers}
        for move in found.moves
    ]  # fmt: skip
    return {
        "refused": found.refused,
        "students": found.students,
        "answers": found.answers,
        "moves": moves,
        "changed": {name: list(values) for name, values in found.changed.items()},
        "log_loss": [fit.log_loss for fit in (found.before, found.after) if fit],
    }
