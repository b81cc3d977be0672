"""A backup comes back as it was: the same rows, the same strengths; on the kind of database the suite runs on."""

import os
import subprocess
import sys
import uuid
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from django.db import connection

from quizzes.upkeep.backup import kept_backups

ROOT = Path(__file__).resolve().parents[3]
FILL = """
import django; django.setup()
from django.utils import timezone
from quizzes.demo import school
school.RUNS_EACH, school.CLASSES = 1, (("Group A", "first_year", 2), ("Group B", "second_year", 1))
school.fill(timezone.now(), 5, lambda answers: None)
"""
COUNTS = """
import django; django.setup()
from hashlib import sha256
from accounts.models import User
from quizzes.models import Answer, Strength
rows = Strength.objects.order_by("student__username").values_list("student__username", "state", "answers")
told = "".join(f"{name} {sha256(bytes(state)).hexdigest()} {answers} " for name, state, answers in rows)
print(User.objects.count(), Answer.objects.count(), told)
"""
CHANGE = """
import django; django.setup()
from accounts.models import User
User.objects.get(username="cleo").delete()
User.objects.create_user("late", "graphite-rods", display_name="Late")
"""


@pytest.fixture
def site(tmp_path: Path, django_db_blocker: pytest.FixtureRequest) -> Iterator[dict[str, str]]:
    """The environment of a site of its own, on a database of the suite's kind."""
    env = {
        "PATH": os.environ["PATH"],
        "DATA_DIR": str(tmp_path),
        "DJANGO_SETTINGS_MODULE": "quizzes.settings",
    }
    env["SECRET_KEY"] = "for a test of backups only, and long enough for a key"
    if connection.vendor == "sqlite":
        yield env
        return
    name = f"backup_{uuid.uuid4().hex}"
    with django_db_blocker.unblock(), connection._nodb_cursor() as cursor:  # type: ignore[attr-defined]
        cursor.execute(f"CREATE DATABASE {name}")
    yield {**env, "DATABASE_URL": _url(name)}
    with django_db_blocker.unblock(), connection._nodb_cursor() as cursor:  # type: ignore[attr-defined]
        cursor.execute(f"DROP DATABASE {name} WITH (FORCE)")


def _url(name: str) -> str:
    given = connection.settings_dict
    password = f":{given['PASSWORD']}" if given["PASSWORD"] else ""
    return f"postgres://{given['USER']}{password}@/{name}?host={given['HOST']}&port={given['PORT'] or 5432}"


def run(env: dict[str, str], *command: str) -> "subprocess.CompletedProcess[str]":
    return subprocess.run(
        [sys.executable, *command], cwd=ROOT, env=env, capture_output=True, text=True, check=False
    )


def manage(env: dict[str, str], *command: str) -> "subprocess.CompletedProcess[str]":
    return run(env, "manage.py", *command)


@pytest.fixture
def filled(site: dict[str, str]) -> dict[str, str]:
    assert manage(site, "migrate", "--verbosity", "0").returncode == 0
    done = run(site, "-c", FILL)
    assert done.returncode == 0, done.stderr
    return site


def test_it_comes_back_as_it_was(filled: dict[str, str], tmp_path: Path) -> None:
    before = run(filled, "-c", COUNTS).stdout
    done = manage(filled, "backup")
    assert done.returncode == 0, done.stderr
    (backup,) = kept_backups(tmp_path)
    assert backup.path.stat().st_mode & 0o077 == 0

    run(filled, "-c", CHANGE)
    assert run(filled, "-c", COUNTS).stdout != before
    refused = manage(filled, "restore", str(backup.path))
    assert (refused.returncode, "--replace" in refused.stderr) == (2, True)
    done = manage(filled, "restore", str(backup.path), "--replace")
    assert done.returncode == 0, done.stderr
    assert run(filled, "-c", COUNTS).stdout == before
    assert "0 changed." in manage(filled, "recompute").stdout


@pytest.mark.parametrize("content", [b"no database", b"SQLite format 3\x00" + b"\x00" * 4096])
def test_what_is_no_backup_is_refused_with_a_sentence(
    site: dict[str, str], tmp_path: Path, content: bytes
) -> None:
    path = tmp_path / "thing.sqlite3"
    path.write_bytes(content)
    for given in (path, tmp_path / "not-there"):
        done = manage(site, "restore", str(given), "--replace")
        assert done.returncode == 2
        assert "Traceback" not in done.stderr
        assert done.stderr.count("\n") == 1


def test_only_the_newest_are_kept_and_other_files_are_left_alone(tmp_path: Path) -> None:
    folder = tmp_path / "backups"
    folder.mkdir()
    start = datetime(2026, 11, 1, 3, 0, tzinfo=UTC)
    for day in range(3):
        (folder / f"voltameter-{start + timedelta(days=day):%Y%m%d-%H%M%S}.sqlite3").touch()
    (folder / "voltameter-of-my-own.sqlite3").touch()
    found = kept_backups(tmp_path)
    assert [each.made_at.day for each in found] == [3, 2, 1]
