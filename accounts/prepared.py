"""A queryset whose SQL is made once and then only filled in.

Django makes the SQL of a queryset anew each time, which takes about ten times as long as the database
needs for a row by its key. Most pages need not care; an answer and its next question ask a score of times.
"""

from __future__ import annotations

import threading
import uuid
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Any, Generic, TypeVar

from django.db import DEFAULT_DB_ALIAS, connections
from django.db.models import DateTimeField, Field, QuerySet, UUIDField, Value

if TYPE_CHECKING:
    from django.db.backends.base.base import BaseDatabaseWrapper

Row = TypeVar("Row")
FIELDS: Mapping[type, Field[Any, Any]] = {uuid.UUID: UUIDField(), datetime: DateTimeField()}
"""What the database keeps in a form of its own; numbers and texts go as they are."""


@dataclass(frozen=True, slots=True)
class _Place:
    """Stands among the parameters where the value of this number belongs."""

    number: int


class Slot(Value):
    """The place of a value that is given later."""

    def __init__(self, number: int) -> None:
        super().__init__(_Place(number))


class Prepared(Generic[Row]):
    """The rows of a queryset, for one set of values after another.

    `build` gets a slot for each value and filters by it as it would by the value.

    >>> named = Prepared(lambda name: User.objects.filter(username=name))
    >>> [user.display_name for user in named("ines")]
    ['Ines']
    """

    def __init__(self, build: Callable[..., QuerySet[Any, Row]]) -> None:
        self.build = build
        self.of_thread = threading.local()

    def __call__(self, *values: object) -> list[Row]:
        return self._made(len(values)).rows(values)

    def first(self, *values: object) -> Row | None:
        rows = self(*values)
        return rows[0] if rows else None

    def _made(self, count: int) -> _Made[Row]:
        """Made once in each thread, since a connection belongs to one."""
        connection = connections[DEFAULT_DB_ALIAS]
        made: _Made[Row] | None = getattr(self.of_thread, "made", None)
        if made is None or made.connection is not connection:
            made = self.of_thread.made = _Made(self.build(*map(Slot, range(count))), connection)
        return made


class _Made(Generic[Row]):
    """A queryset with its SQL for one connection. Reading the rows is left to Django, which asks the
    queryset for a compiler and that for the SQL: it gets the same every time, and only other values."""

    def __init__(self, queryset: Any, connection: BaseDatabaseWrapper) -> None:
        self.queryset, self.connection = queryset, connection
        compiler = queryset.query.get_compiler(connection=connection)
        self.sql, self.places = compiler.as_sql()
        self.params: Sequence[object] = ()
        compiler.as_sql = lambda: (self.sql, self.params)
        queryset.query.get_compiler = lambda **_: compiler

    def rows(self, values: Sequence[object]) -> list[Row]:
        self.params = [self._filled(each, values) for each in self.places]
        rows: list[Row] = list(self.queryset._iterable_class(self.queryset))
        return rows

    def _filled(self, param: object, values: Sequence[object]) -> object:
        if not isinstance(param, _Place):
            return param
        value = values[param.number]
        field = FIELDS.get(type(value))
        return field.get_db_prep_value(value, self.connection) if field else value
