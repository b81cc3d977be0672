"""Short forms of `python -m tests.load`, each on a database of its own of the kind that the suite runs on.

The goals for times hold on the machine the site was built on, so the long forms are run by hand; here
every page must be right, nothing may be lost, and the figures must be there.
"""

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from django.db import connection

ROOT = Path(__file__).parent.parent
MOST_MEMORY = 250  # MB, of each worker


def load(scene: str, *options: object) -> dict[str, Any]:
    command = [sys.executable, "-m", "tests.load", scene, "--database", connection.vendor]
    ran = subprocess.run(
        [*command, *map(str, options)], cwd=ROOT, capture_output=True, text=True, timeout=240
    )
    assert ran.returncode == 0, ran.stderr[-3000:] + ran.stdout[-1000:]
    found: dict[str, Any] = json.loads(ran.stdout)
    return found


def test_a_small_class_answers_in_the_same_instant() -> None:
    found = load("class", "--students", 8, "--times", 2)
    assert found["first_errors"] == []
    assert found["requests"]["answer"]["number"] == 16
    assert max(found["memory_mb"]) < MOST_MEMORY


def test_no_answer_is_lost_when_workers_and_the_database_are_killed() -> None:
    """Of what got its feedback every answer is stored once, numbered in order and counted."""
    found = load("kills", "--students", 21, "--answers", 42, "--kills", 2)
    assert (found["kills"], min(found["in_flight"]) >= 20) == (2, True)
    assert found["acknowledged"] >= 42
    wrong = {name: found[name] for name in ("lost", "doubled", "never_sent", "wrongly_numbered")}
    assert wrong == {"lost": 0, "doubled": 0, "never_sent": 0, "wrongly_numbered": 0}
    assert found["strength_differs"] == 0


def test_help_names_every_scene() -> None:
    told = subprocess.run(
        [sys.executable, "-m", "tests.load", "--help"], cwd=ROOT, capture_output=True, text=True, check=True
    ).stdout
    for scene in ("class", "school", "exchange", "soak", "kills"):
        assert f"\n  {scene} " in told


def test_every_commit_reaches_the_disk_before_it_is_acknowledged(db: None) -> None:
    """SQLite: 2 is FULL (sqlite.org/pragma.html, synchronous). PostgreSQL: the default, `on`."""
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA synchronous" if connection.vendor == "sqlite" else "SHOW synchronous_commit")
        assert cursor.fetchone()[0] in (2, "on")


@pytest.mark.parametrize(("share", "value"), [(0.5, 50.0), (0.95, 95.0), (0.99, 99.0), (1.0, 100.0)])
def test_percentiles_are_nearest_ranks(share: float, value: float) -> None:
    """Nearest rank: the value at place ceil(share × n), as in handbooks of statistics (from memory)."""
    from tests.load.figures import percentile

    assert percentile([float(each) for each in range(1, 101)], share) == value
