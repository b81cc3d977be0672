"""A backup comes back as it was, rows and strengths; on the kind of database that the suite runs on."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from pytest_django.plugin import DjangoDbBlocker

from quizzes.upkeep.backup import kept_backups
from tests import sites
from tests.sites import COUNTS, Environment, manage, run

CHANGE = """
import django; django.setup()
from accounts.models import User
User.objects.get(username="cleo").delete()
User.objects.create_user("late", "graphite-rods", display_name="Late")
"""


@pytest.fixture
def site(tmp_path: Path, django_db_setup: None, django_db_blocker: DjangoDbBlocker) -> Iterator[Environment]:
    with django_db_blocker.unblock():
        yield from sites.site(tmp_path)


@pytest.fixture
def filled(site: Environment) -> Environment:
    return sites.fill(site)


def test_it_comes_back_as_it_was(filled: Environment, tmp_path: Path) -> None:
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
    site: Environment, tmp_path: Path, content: bytes
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
