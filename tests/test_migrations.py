"""From one version to the next: no change without its migration, forward and back on a filled database."""

import sqlite3
from collections.abc import Iterator
from io import StringIO
from pathlib import Path

import pytest
from django.core.management import call_command
from django.db import connection
from django.db.migrations.loader import MigrationLoader
from pytest_django.plugin import DjangoDbBlocker

from tests import sites
from tests.sites import COUNTS, Environment, manage, run

FIRST_VERSION = Path(__file__).parent / "data" / "first_version.sql"
FIRST = (("quizzes", "0001"), ("accounts", "0002"))
# What a large table bears while answers come in: new tables, and columns that are empty or have a
# default, which PostgreSQL adds without going through the rows (its manual on ALTER TABLE).
QUICK = {"CreateModel", "AddField", "AddIndex", "AddConstraint", "AlterModelOptions"}
# Looked at one by one: it goes through the rows in pieces, or its table is small.
LOOKED_AT = {("quizzes", "0003_rulings_and_parts")}


@pytest.mark.django_db
def test_no_migration_is_pending() -> None:
    call_command("makemigrations", check=True, dry_run=True, stdout=StringIO())


@pytest.fixture
def site(tmp_path: Path, django_db_setup: None, django_db_blocker: DjangoDbBlocker) -> Iterator[Environment]:
    with django_db_blocker.unblock():
        yield from sites.site(tmp_path)


def test_a_filled_database_goes_back_to_the_first_version_and_forward(site: Environment) -> None:
    sites.fill(site)
    before = run(site, "-c", COUNTS).stdout
    for app, number in FIRST:
        done = manage(site, "migrate", app, number, "--verbosity", "0")
        assert done.returncode == 0, done.stderr
    assert "[ ]  quizzes.0002" in manage(site, "showmigrations", "--plan").stdout
    assert manage(site, "migrate", "--verbosity", "0").returncode == 0
    assert run(site, "-c", COUNTS).stdout == before
    assert "0 changed." in manage(site, "recompute").stdout


def test_the_oldest_kept_database_is_brought_to_this_version(tmp_path: Path) -> None:
    with sqlite3.connect(tmp_path / "voltameter.sqlite3") as link:
        link.executescript(FIRST_VERSION.read_text(encoding="utf-8"))
        answers = link.execute("SELECT count(*) FROM quizzes_answer").fetchone()[0]
    env = sites.environment(tmp_path)
    done = manage(env, "migrate", "--verbosity", "0")
    assert done.returncode == 0, done.stderr
    assert run(env, "-c", COUNTS).stdout.startswith(f"3 {answers} ada ")
    assert "2 rebuilt, 0 changed." in manage(env, "recompute").stdout


@pytest.mark.django_db
def test_no_migration_holds_up_a_large_table() -> None:
    loader = MigrationLoader(connection)
    for key, migration in loader.disk_migrations.items():
        if key[0] in ("quizzes", "accounts") and not migration.initial and key not in LOOKED_AT:
            assert {type(operation).__name__ for operation in migration.operations} <= QUICK, key
