"""A roster: a table of students as a spreadsheet saves it, read row by row without touching the database.

The first line names the columns. Comma, semicolon or tab may part them; UTF-8 with or without its mark
and UTF-16 with its mark are read. Nothing is guessed: a row that cannot be read is a fault with its line.
"""

from __future__ import annotations

import codecs
import csv
import io
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _

from accounts.models import User

MOST_BYTES = 500_000
MOST_ROWS = 1000
DELIMITERS = ",;\t"
NAMES = {
    "name": ("name", "student", "display name", "full name"),
    "sign-in name": ("sign in name", "username", "user name", "login"),
}
"""The columns, and the headings that are taken for each; case, hyphens and underscores do not count."""


@dataclass(frozen=True, slots=True)
class Row:
    """One student: the line of the file (counted from 1), the name shown and the sign-in name."""

    line: int
    name: str
    username: str


@dataclass(frozen=True, slots=True)
class Fault:
    """A line that makes no student, as it stands in the file, and the reason as a sentence."""

    line: int
    text: str
    reason: str


@dataclass(frozen=True, slots=True)
class Roster:
    rows: tuple[Row, ...]
    faults: tuple[Fault, ...]


class RosterError(Exception):
    """Nothing of the file can be used; `str()` is a sentence."""


class _RowError(Exception):
    """This row cannot be used; `str()` is a sentence."""


def read_roster(content: bytes) -> Roster:
    """The students and the faults of a file, in the order of its lines. Raises RosterError.

    >>> read_roster(b"Name;Username\\nInes;ines\\n").rows
    (Row(line=2, name='Ines', username='ines'),)
    """
    lines = _lines(content)
    _line, heading = next(lines, (0, ""))
    if not heading:
        raise RosterError(_("The file is empty."))
    delimiter = max(DELIMITERS, key=heading.count)
    columns = _Columns.of(heading, delimiter)
    rows: list[Row] = []
    faults: list[Fault] = []
    seen: dict[str, int] = {}
    for line, text in lines:
        try:
            row = _row(line, text, columns)
            _refuse_twice(row, seen)
            rows.append(row)
        except _RowError as fault:
            faults.append(Fault(line, _readable(text), str(fault)))
    if not rows and not faults:
        raise RosterError(_("The file has a line of headings and no students."))
    return Roster(tuple(rows), tuple(faults))


def as_text(rows: Iterable[Row]) -> str:
    """The rows as a roster again, for the page that asks before they are taken."""
    text = io.StringIO(newline="")
    csv.writer(text, lineterminator="\n").writerows(
        [("name", "sign-in name"), *((row.name, row.username) for row in rows)]
    )
    return text.getvalue()


def _lines(content: bytes) -> Iterator[tuple[int, str]]:
    """The lines that hold anything, numbered; bytes that are no UTF-8 stay as lone surrogates."""
    if len(content) > MOST_BYTES:
        raise RosterError(_("The file is too large for a roster."))
    if content.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        text = content.decode("utf-16", errors="replace")
    else:
        text = content.decode("utf-8-sig", errors="surrogateescape")
    if "\0" in text:
        raise RosterError(_("This is no CSV file. Save the table as CSV and choose that file."))
    lines = io.StringIO(text, newline=None).read().split("\n")
    if len(lines) > MOST_ROWS + 2:
        raise RosterError(_("The file has more than %(rows)d lines. Split it.") % {"rows": MOST_ROWS})
    return ((number, line) for number, line in enumerate(lines, 1) if line.strip(f'{DELIMITERS} "'))


def _cells(text: str, delimiter: str) -> list[str]:
    # One line at a time: a quotation mark left open spoils its own row and no other.
    try:
        [cells] = csv.reader([text], delimiter=delimiter, strict=True)
    except csv.Error:
        raise _RowError(_("A quotation mark is left open or stands in a wrong place.")) from None
    return [" ".join(cell.split()) for cell in cells]


@dataclass(frozen=True, slots=True)
class _Columns:
    """Where the columns stand, how many there are, and what parts them."""

    delimiter: str
    count: int
    places: Mapping[str, int]

    @classmethod
    def of(cls, heading: str, delimiter: str) -> _Columns:
        try:
            cells = _cells(heading, delimiter)
        except _RowError as fault:
            raise RosterError(str(fault)) from None
        plain = [cell.casefold().replace("-", " ").replace("_", " ") for cell in cells]
        places = {
            column: place
            for column, known in NAMES.items()
            for place, word in enumerate(plain)
            if word in known
        }
        missing = [column for column in NAMES if column not in places]
        if missing:
            raise RosterError(
                _("The first line has to name the columns. Not found: %(missing)s.")
                % {"missing": ", ".join(missing)}
            )
        return cls(delimiter, len(cells), places)

    def take(self, text: str) -> tuple[str, str]:
        """The name and the sign-in name of a line."""
        cells = _cells(text, self.delimiter)
        if len(cells) <= max(self.places.values()):
            raise _RowError(_("Columns are missing."))
        if any(cells[self.count :]):
            raise _RowError(_("It has more columns than the first line; put a name with a comma in quotes."))
        return cells[self.places["name"]], cells[self.places["sign-in name"]]


def _row(line: int, text: str, columns: _Columns) -> Row:
    if any("\udc80" <= letter <= "\udcff" or letter == "\ufffd" for letter in text):
        raise _RowError(_("It has letters that cannot be read. Save the file as “CSV UTF-8”."))
    name, username = columns.take(text)
    _refuse_empty(name, username)
    user = User(display_name=name, username=User.normalize_username(username))
    try:
        user.clean_fields(exclude=["password"])
    except ValidationError as error:
        raise _RowError(" ".join(error.messages)) from None
    if not name.isprintable():
        raise _RowError(_("The name has signs that are no letters."))
    return Row(line, name, user.username)


def _refuse_empty(name: str, username: str) -> None:
    if not name:
        raise _RowError(_("The name is missing."))
    if not username:
        raise _RowError(_("The sign-in name is missing."))


def _refuse_twice(row: Row, seen: dict[str, int]) -> None:
    first = seen.setdefault(row.username, row.line)
    if first != row.line:
        raise _RowError(
            _("The sign-in name %(username)s stands in line %(line)d already.")
            % {"username": row.username, "line": first}
        )


def _readable(text: str) -> str:
    return text.encode("utf-8", errors="surrogateescape").decode("utf-8", errors="replace")
