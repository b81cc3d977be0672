"""Questions to the database and changes in it whose SQL is made once and then only filled in.

Django makes the SQL of a queryset anew each time, which takes about ten times as long as the database
needs for a row by its key. Most pages need not care; an answer and its next question ask a score of times.
"""

from __future__ import annotations

import inspect
import threading
import uuid
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Any, Generic, TypeVar

from django.db import DEFAULT_DB_ALIAS, connections
from django.db.models import DateTimeField, Field, Model, QuerySet, UUIDField, Value
from django.db.models.constants import OnConflict
from django.db.models.sql import InsertQuery, UpdateQuery

if TYPE_CHECKING:
    from django.db.backends.base.base import BaseDatabaseWrapper

Row = TypeVar("Row")
Kept = TypeVar("Kept", bound=Model)
Made = TypeVar("Made")
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


class _OfThread(Generic[Made]):
    """What is made once in each thread, since a connection belongs to one."""

    def __init__(self, make: Callable[[BaseDatabaseWrapper], Made]) -> None:
        self.make = make
        self.thread = threading.local()

    def here(self) -> Made:
        connection = connections[DEFAULT_DB_ALIAS]
        known: tuple[object, Made] | None = getattr(self.thread, "known", None)
        if known is None or known[0] is not connection:
            known = self.thread.known = (connection, self.make(connection))
        return known[1]


class _Statement:
    """The SQL of a query with places for its values, on one connection."""

    def __init__(self, compiler: Any) -> None:
        self.connection: BaseDatabaseWrapper = compiler.connection
        self.sql, self.params = compiler.as_sql()

    def rows(self, values: Sequence[object]) -> list[Any]:
        with self.connection.cursor() as cursor:
            cursor.execute(self.sql, self._filled(values))
            return [*cursor.fetchall()]

    def changed(self, values: Sequence[object]) -> int:
        """How many rows it changed."""
        with self.connection.cursor() as cursor:
            cursor.execute(self.sql, self._filled(values))
            return int(cursor.rowcount)

    def _filled(self, values: Sequence[object]) -> list[Any]:
        return [values[each.number] if isinstance(each, _Place) else each for each in self.params]

    def sought(self, values: Sequence[object]) -> list[object]:
        """Values to search by, as the database keeps them."""
        return [self._sought(value, FIELDS.get(type(value))) for value in values]

    def _sought(self, value: object, field: Field[Any, Any] | None) -> object:
        return field.get_db_prep_value(value, self.connection) if field else value


class Prepared(Generic[Row]):
    """The rows of a queryset, for one set of values after another.

    `build` gets a slot for each value and filters by it as it would by the value.

    >>> named = Prepared(lambda name: User.objects.filter(username=name))
    >>> [user.display_name for user in named("ines")]
    ['Ines']
    """

    def __init__(self, build: Callable[..., QuerySet[Any, Row]]) -> None:
        self.build = build
        self.made = _OfThread(self._make)

    def _make(self, connection: BaseDatabaseWrapper) -> tuple[Any, Any, _Statement]:
        """A queryset that asks the same compiler each time, which no longer looks for converters."""
        queryset: Any = self.build(*_slots(self.build))
        compiler = queryset.query.get_compiler(connection=connection)
        statement = _Statement(compiler)
        converters = compiler.get_converters([column for column, *_ in compiler.select])
        compiler.get_converters = lambda _: converters
        queryset.query.get_compiler = lambda *_, **__: compiler
        return queryset, compiler, statement

    def __call__(self, *values: object) -> list[Row]:
        queryset, compiler, statement = self.made.here()
        rows = statement.rows(statement.sought(values))
        if not rows:
            return []
        # Making objects of rows is left to Django, which is told that these are what it has found.
        compiler.execute_sql = lambda *_, **__: (rows,)
        return list(queryset._iterable_class(queryset))

    def first(self, *values: object) -> Row | None:
        rows = self(*values)
        return rows[0] if rows else None


def _slots(build: Callable[..., object]) -> list[Slot]:
    return [Slot(number) for number in range(len(inspect.signature(build).parameters))]


class PreparedUpdate:
    """New values for some fields in the rows of a queryset, built as for `Prepared`.

    >>> rename = PreparedUpdate(lambda name: User.objects.filter(username=name), "display_name")
    >>> rename("ines", display_name="Inés")
    1
    """

    def __init__(self, build: Callable[..., QuerySet[Any]], *names: str) -> None:
        self.build, self.names = build, names
        self.made = _OfThread(self._make)

    def _make(self, connection: BaseDatabaseWrapper) -> tuple[_Statement, list[Field[Any, Any]]]:
        sought = _slots(self.build)
        queryset = self.build(*sought)
        query: Any = queryset.query.chain(UpdateQuery)
        fields = [queryset.model._meta.get_field(name) for name in self.names]
        query.add_update_fields(
            [(field, None, Slot(len(sought) + number)) for number, field in enumerate(fields)]
        )
        return _Statement(query.get_compiler(connection=connection)), fields

    def __call__(self, *values: object, **new: object) -> int:
        """How many rows were changed."""
        statement, fields = self.made.here()
        stored = [field.get_db_prep_save(new[field.name], statement.connection) for field in fields]
        return statement.changed([*statement.sought(values), *stored])


class PreparedInsert(Generic[Kept]):
    """New rows of a model; where one with the same `unique` fields is there, its `update` fields change.

    No signal is sent, and no row of a parent is written.
    """

    def __init__(self, model: type[Kept], unique: Sequence[str] = (), update: Sequence[str] = ()) -> None:
        self.model, self.unique, self.update = model, unique, update
        self.made = _OfThread(self._make)

    def _make(self, connection: BaseDatabaseWrapper) -> _Insert:
        field = self.model._meta.get_field
        query = InsertQuery(
            self.model,
            on_conflict=OnConflict.UPDATE if self.unique else None,
            update_fields=[field(name) for name in self.update],
            unique_fields=[field(name) for name in self.unique],
        )
        return _Insert(query, connection)

    def __call__(self, row: Kept) -> None:
        self.made.here().insert(row)


class _Insert:
    """An insert of one row. A row that may be there already tells no key."""

    def __init__(self, query: Any, connection: BaseDatabaseWrapper) -> None:
        meta = query.get_meta()
        self.connection = connection
        self.fields = [field for field in meta.local_concrete_fields if field is not meta.auto_field]
        query.insert_values(self.fields, [meta.model()])
        self.compiler = query.get_compiler(connection=connection)
        self.compiler.returning_fields = self.returned = None if query.on_conflict else [meta.auto_field]
        [(self.sql, _values_of_the_empty_row)] = self.compiler.as_sql()

    def insert(self, row: Model) -> None:
        values = [field.pre_save(row, add=True) for field in self.fields]
        pairs = zip(self.fields, values, strict=True)
        params = tuple(field.get_db_prep_save(value, self.connection) for field, value in pairs)
        self.compiler.as_sql = lambda: [(self.sql, params)]
        for (row.pk,) in self.compiler.execute_sql(self.returned):
            row._state.adding, row._state.db = False, DEFAULT_DB_ALIAS
