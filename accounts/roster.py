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
ID = ("sourcedid", "sourced id")
"""The headings of a column that may be there."""


@dataclass(frozen=True, slots=True)
class Row:
    """One student: the line of the file (counted from 1), the name shown and the sign-in name."""

    line: int
    name: str
    username: str
    # The id in another register, of a bundle; there the sign-in name is still to be made, and a student
    # who is known already may be without a name.
    sourced_id: str = ""


@dataclass(frozen=True, slots=True)
class Fault:
    """A line that makes no student, as it stands in the file, and the reason as a sentence."""

    line: int
    text: str
    reason: str
    file: str = ""


@dataclass(frozen=True, slots=True)
class Roster:
    rows: tuple[Row, ...] = ()
    faults: tuple[Fault, ...] = ()


class RosterError(Exception):
    """Nothing of the file can be used; `str()` is a sentence."""


class RowError(Exception):
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
        except RowError as fault:
            faults.append(Fault(line, _readable(text), str(fault)))
    if not rows and not faults:
        raise RosterError(_("The file has a line of headings and no students."))
    return Roster(tuple(rows), tuple(faults))


def as_text(rows: Iterable[Row]) -> str:
    """The rows as a roster again, for the page that asks before they are taken."""
    text = io.StringIO(newline="")
    csv.writer(text, lineterminator="\n").writerows(
        [("name", "sign-in name", "sourced id"), *((row.name, row.username, row.sourced_id) for row in rows)]
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
        raise RowError(_("A quotation mark is left open or stands in a wrong place.")) from None
    return [" ".join(cell.split()) for cell in cells]


@dataclass(frozen=True, slots=True)
class _Columns:
    """Where the columns stand, how many there are, and what parts them."""

    delimiter: str
    count: int
    places: Mapping[str, int]
    id_place: int | None

    @classmethod
    def of(cls, heading: str, delimiter: str) -> _Columns:
        try:
            cells = _cells(heading, delimiter)
        except RowError as fault:
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
        id_place = next((place for place, word in enumerate(plain) if word in ID), None)
        return cls(delimiter, len(cells), places, id_place)

    def take(self, text: str) -> tuple[str, str, str]:
        """The name, the sign-in name and the id (or nothing) of a line."""
        cells = _cells(text, self.delimiter)
        if len(cells) <= max(self.places.values()):
            raise RowError(_("Columns are missing."))
        if any(cells[self.count :]):
            raise RowError(_("It has more columns than the first line; put a name with a comma in quotes."))
        key = cells[self.id_place] if self.id_place is not None and self.id_place < len(cells) else ""
        return cells[self.places["name"]], cells[self.places["sign-in name"]], key


def _row(line: int, text: str, columns: _Columns) -> Row:
    if any("\udc80" <= letter <= "\udcff" or letter == "\ufffd" for letter in text):
        raise RowError(_("It has letters that cannot be read. Save the file as “CSV UTF-8”."))
    name, username, key = columns.take(text)
    checked_name(name)
    if not username:
        raise RowError(_("The sign-in name is missing."))
    user = User(display_name=name, username=User.normalize_username(username), sourced_id=key)
    try:
        user.clean_fields(exclude=["password"])
    except ValidationError as error:
        raise RowError(" ".join(error.messages)) from None
    return Row(line, name, user.username, key)


def checked_name(name: str) -> str:
    """The name itself, where it can be shown. Raises RowError."""
    if not name:
        raise RowError(_("The name is missing."))
    try:
        User._meta.get_field("display_name").clean(name, None)
    except ValidationError as error:
        raise RowError(" ".join(error.messages)) from None
    if not name.isprintable():
        raise RowError(_("The name has signs that are no letters."))
    return name


def _refuse_twice(row: Row, seen: dict[str, int]) -> None:
    first = seen.setdefault(row.username, row.line)
    if first != row.line:
        raise RowError(
            _("The sign-in name %(username)s stands in line %(line)d already.")
            % {"username": row.username, "line": first}
        )


def _readable(text: str) -> str:
    return text.encode("utf-8", errors="surrogateescape").decode("utf-8", errors="replace")
