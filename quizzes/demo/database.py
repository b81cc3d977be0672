"""The demo's own database file: marked by the demo, and only then ever deleted by it."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

# SQLite keeps two numbers for the application in a file's header.
OURS = 0x566F6C74
FILLED = 1


class NotOursError(Exception):
    """The file is a database that the demo did not make."""


def mark_of(path: Path) -> tuple[int, int]:
    """The file's two numbers: whose it is, and how far it is filled; zeros for no file."""
    if not path.exists():
        return 0, 0
    try:
        with closing(sqlite3.connect(path)) as link:
            (owner,) = link.execute("PRAGMA application_id").fetchone()
            (state,) = link.execute("PRAGMA user_version").fetchone()
    except sqlite3.DatabaseError:
        return 0, 0
    return owner, state


def is_filled(path: Path) -> bool:
    return mark_of(path) == (OURS, FILLED)


def start_over(path: Path) -> None:
    """Delete a database the demo made, and begin a new one with its mark. Raises NotOursError."""
    holds_something = path.exists() and path.stat().st_size > 0
    if holds_something and mark_of(path)[0] != OURS:
        raise NotOursError(f"{path} was not made by the demo; move it away and try again.")
    for suffix in ("", "-wal", "-shm"):
        path.with_name(path.name + suffix).unlink(missing_ok=True)
    path.parent.mkdir(parents=True, exist_ok=True)
    _set(path, "application_id", OURS)


def set_filled(path: Path) -> None:
    _set(path, "user_version", FILLED)


def _set(path: Path, name: str, value: int) -> None:
    with closing(sqlite3.connect(path)) as link, link:
        link.execute(f"PRAGMA {name} = {value}")
