"""Commands on the school's database."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.db import DatabaseError, connection
from django.db.migrations.executor import MigrationExecutor


class DatabaseCommand(BaseCommand):
    """A command that needs the tables, and says in a sentence where they are lacking or out of reach."""

    def execute(self, *args: Any, **options: Any) -> str | None:
        try:
            return super().execute(*args, **options)
        except DatabaseError as error:
            fault = _fault()
            if fault is None:
                raise
            raise CommandError(fault) from error


def _fault() -> str | None:
    try:
        executor = MigrationExecutor(connection)
    except DatabaseError as error:
        return f"The database cannot be reached: {str(error).strip()}"
    if executor.migration_plan(executor.loader.graph.leaf_nodes()):
        return "The database lacks tables of this version: run `manage.py migrate` first."
    return None
