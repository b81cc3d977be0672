"""Backups: the whole database in one file, checked, and put back.

SQLite is copied by its own online backup, while the site runs; PostgreSQL by `pg_dump`. Either comes back
in the state of its day and is then brought to the present version by its migrations.
"""

from __future__ import annotations

import os
import sqlite3
import subprocess
from collections.abc import Iterator, Sequence
from contextlib import closing, contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from django.core.management import CommandError, call_command
from django.db import connection, connections

SUFFIXES = {"sqlite": ".sqlite3", "postgresql": ".dump"}
NAME, STAMP = "voltameter-", "%Y%m%d-%H%M%S"


@dataclass(frozen=True, slots=True)
class Backup:
    """One file; `size` in bytes."""

    path: Path
    made_at: datetime
    size: int


def kept_backups(data_dir: Path) -> list[Backup]:
    """The backups in the data folder, the newest first."""
    found = []
    for path in (data_dir / "backups").glob(f"{NAME}*"):
        try:
            made = datetime.strptime(path.stem.removeprefix(NAME), STAMP).replace(tzinfo=UTC)
        except ValueError:
            continue
        if path.suffix in SUFFIXES.values():
            found.append(Backup(path, made, path.stat().st_size))
    return sorted(found, key=lambda each: each.made_at, reverse=True)


def back_up(data_dir: Path, at: datetime, keep: int) -> Path:
    """Write and check a backup; older ones than the newest `keep` go. Raises CommandError."""
    folder = data_dir / "backups"
    folder.mkdir(parents=True, exist_ok=True)
    folder.chmod(0o700)
    path = folder / f"{NAME}{at.astimezone(UTC):{STAMP}}{SUFFIXES[connection.vendor]}"
    with _written_whole(path) as part:
        _copy_sqlite(part) if connection.vendor == "sqlite" else _dump_postgresql(part)
        check(part)
    for old in kept_backups(data_dir)[keep:]:
        old.path.unlink()
    return path


@contextmanager
def _written_whole(path: Path) -> Iterator[Path]:
    """A file that stands under its name only when it is complete, and that nobody else reads."""
    part = path.with_name(path.name + ".part")
    part.unlink(missing_ok=True)
    os.close(os.open(part, os.O_WRONLY | os.O_CREAT, 0o600))
    try:
        yield part
        os.replace(part, path)
    finally:
        part.unlink(missing_ok=True)


def check(path: Path) -> None:
    """Refuse a file that is no whole backup of this site's kind of database. Raises CommandError."""
    if connection.vendor == "sqlite":
        _check_sqlite(path)
    elif not any("quizzes_answer" in line for line in _run(["pg_restore", "--list", str(path)], path)):
        raise CommandError(f"{path} is no backup of this site.", returncode=2)


def _check_sqlite(path: Path) -> None:
    try:
        with closing(sqlite3.connect(f"file:{path}?mode=ro", uri=True)) as link:
            sound = link.execute("PRAGMA integrity_check").fetchone() == ("ok",)
            tables = {name for (name,) in link.execute("SELECT name FROM sqlite_master WHERE type='table'")}
    except sqlite3.Error:
        sound, tables = False, set()
    if not sound:
        raise CommandError(f"{path} is damaged, or no SQLite file.", returncode=2)
    if not {"quizzes_answer", "django_migrations"} <= tables:
        raise CommandError(f"{path} is no backup of this site.", returncode=2)


def restore(path: Path, *, replace: bool) -> None:
    """Put a backup in the place of the database, then bring it to this version. Raises CommandError.

    Everything given since the backup is lost, so a database with people in it is replaced only if told.
    """
    if not path.is_file():
        raise CommandError(f"There is no file {path}.", returncode=2)
    check(path)
    if not replace and holds_people():
        raise CommandError(
            "The database has people in it. Stop the site, make a backup, and say --replace to lose what "
            "came since.",
            returncode=2,
        )
    _restore_sqlite(path) if connection.vendor == "sqlite" else _restore_postgresql(path)
    connections.close_all()
    call_command("migrate", verbosity=0)


def holds_people() -> bool:
    """Whether anyone has an account here."""
    from accounts.models import User

    if User._meta.db_table not in connection.introspection.table_names():
        return False
    return User.objects.exists()


def _copy_sqlite(path: Path) -> None:
    connection.ensure_connection()
    with closing(sqlite3.connect(path)) as copy:
        connection.connection.backup(copy)
        copy.execute("PRAGMA journal_mode=DELETE")


def _restore_sqlite(path: Path) -> None:
    """Page by page into the live file, in one transaction of SQLite's own."""
    connection.ensure_connection()
    with closing(sqlite3.connect(f"file:{path}?mode=ro", uri=True)) as source:
        source.backup(connection.connection)


def _dump_postgresql(path: Path) -> None:
    _run(["pg_dump", "--format=custom", "--no-owner", "--no-privileges", f"--file={path}", _database()], path)


def _restore_postgresql(path: Path) -> None:
    options = ["--clean", "--if-exists", "--no-owner", "--no-privileges", "--single-transaction"]
    connections.close_all()
    _run(["pg_restore", *options, f"--dbname={_database()}", str(path)], path)


def _database() -> str:
    return str(connection.settings_dict["NAME"])


def _run(command: Sequence[str], path: Path) -> list[str]:
    """Run a tool of PostgreSQL's with the connection of the site; its output, line by line."""
    given: dict[str, Any] = connection.settings_dict
    names = {"PGHOST": "HOST", "PGPORT": "PORT", "PGUSER": "USER", "PGPASSWORD": "PASSWORD"}
    env = {**os.environ, **{name: str(given[key]) for name, key in names.items() if given.get(key)}}
    try:
        done = subprocess.run(command, env=env, capture_output=True, text=True, check=True)
    except FileNotFoundError:
        raise CommandError(
            f"{command[0]} is not installed; PostgreSQL's client tools are needed.", returncode=2
        ) from None
    except subprocess.CalledProcessError as error:
        last = (error.stderr.strip().splitlines() or ["it did not say why"])[-1]
        raise CommandError(f"{command[0]} failed on {path.name}: {last}", returncode=2) from None
    return done.stdout.splitlines()
