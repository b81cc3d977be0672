"""Commands on a database that lacks its tables or cannot be reached say so in a sentence."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]


def run(*command: str, **env: str) -> subprocess.CompletedProcess[str]:
    kept = {name: value for name, value in os.environ.items() if name != "DATABASE_URL"}
    return subprocess.run(
        [sys.executable, "manage.py", *command],
        cwd=ROOT,
        env={**kept, "DJANGO_SETTINGS_MODULE": "quizzes.settings", **env},
        capture_output=True,
        text=True,
        timeout=60,
    )


@pytest.mark.parametrize("command", ["invite", "purge"])
def test_a_database_without_tables_is_to_be_migrated(tmp_path: Path, command: str) -> None:
    said = run(command, DATA_DIR=str(tmp_path))
    assert said.returncode == 1
    assert said.stderr.splitlines()[-1] == (
        "CommandError: The database lacks tables of this version: run `manage.py migrate` first."
    )
    assert "Traceback" not in said.stderr


def test_a_database_out_of_reach_is_named(tmp_path: Path) -> None:
    """Here it is a folder, where it should be a file."""
    said = run("recompute", DATABASE_URL=f"sqlite:///{tmp_path}")
    assert said.returncode == 1
    assert said.stderr == "CommandError: The database cannot be reached: unable to open database file\n"
