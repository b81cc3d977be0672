"""Whether the site can serve: its database answers and has the tables of this version."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from django.db import DatabaseError, connection
from django.db.migrations.loader import MigrationLoader
from django.db.migrations.recorder import MigrationRecorder


@dataclass(frozen=True, slots=True)
class Health:
    """`migrated` is None where the database does not answer."""

    database: bool
    migrated: bool | None

    @property
    def ok(self) -> bool:
        return self.database and bool(self.migrated)


def health() -> Health:
    """Looks at the table of migrations only; nothing of it tells anything about people."""
    try:
        applied = MigrationRecorder(connection).applied_migrations()
    except DatabaseError:
        return Health(database=False, migrated=None)
    return Health(database=True, migrated=wanted() <= {*applied})


@cache
def wanted() -> frozenset[tuple[str, str]]:
    """The migrations that this version knows."""
    return frozenset(MigrationLoader(None).disk_migrations)
