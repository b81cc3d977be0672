"""A bundle after the OneRoster 1.2 CSV binding: a zip of tables about users, classes and who is in which.

Read without touching the database. Columns are found by name; of everything in it only the ids, the names
to show, the roles and the classes are kept, never passwords, addresses or birthdays. A table is `bulk`
(everything, so who is missing has left) or `delta` (what changed, with a status).
Source: 1EdTech OneRoster CSV Binding 1.2.1, August 2023, sections 2 and 3.
"""

from __future__ import annotations

import csv
import io
import json
import zipfile
import zlib
from collections.abc import Iterator, Mapping
from dataclasses import asdict, dataclass
from itertools import islice, zip_longest
from typing import Any, Literal

from django.utils.translation import gettext as _

from accounts.roster import MOST_ROWS as MOST_STUDENTS
from accounts.roster import Fault, RosterError, Row, RowError, checked_name

MOST_ZIPPED = 2_000_000
MOST_IN_A_TABLE = 8_000_000
MOST_ROWS = 10_000
VERSION = "1.2"
NEEDED = ("users", "classes", "enrollments")
COLUMNS: Mapping[str, tuple[str, ...]] = {
    "manifest": ("propertyName", "value"),
    "users": ("sourcedId", "givenName", "familyName"),
    "classes": ("sourcedId", "title"),
    "enrollments": ("sourcedId", "classSourcedId", "userSourcedId", "role"),
    "roles": ("userSourcedId", "role"),
}
"""The columns that a table must have; others are passed over, but for a few that may be there."""

Mode = Literal["bulk", "delta", "absent"]
Line = tuple[int, dict[str, str]]


@dataclass(frozen=True, slots=True)
class BundleClass:
    """One class of a bundle: its students, and the ids of those that it says have left.

    `is_whole` where the table of enrolments is complete, so that whoever is not `mentioned` has left.
    """

    sourced_id: str
    title: str
    rows: tuple[Row, ...]
    faults: tuple[Fault, ...]
    mentioned: frozenset[str]
    left: frozenset[str]
    is_whole: bool

    def as_text(self) -> str:
        """For a page that asks which of several classes is meant; `class_from_text` reads it back."""
        return json.dumps(asdict(self), default=sorted, ensure_ascii=False)


@dataclass(frozen=True, slots=True)
class Bundle:
    """The classes of a bundle in their order, the faults that belong to none of them, and how many
    enrolments of teachers and others were passed over."""

    classes: tuple[BundleClass, ...]
    faults: tuple[Fault, ...]
    passed_over: int


def read_bundle(content: bytes) -> Bundle:
    """The classes of a zip file and every fault in it. Raises RosterError where nothing can be used."""
    tables = _tables(content)
    modes = _modes(tables)
    faults: list[Fault] = []
    users = _users(tables, faults)
    classes = {row["sourcedId"]: row["title"] for _line, row in _active(tables, "classes", faults)}
    enrolments = _Enrolments(tables, modes, users, classes, faults)
    found = tuple(enrolments.of(key, title) for key, title in classes.items())
    return Bundle(found, tuple(faults), enrolments.passed_over)


def class_from_text(text: str) -> BundleClass:
    """What `as_text` wrote. Raises RosterError for anything else."""
    try:
        kept: dict[str, Any] = json.loads(text)
        return BundleClass(
            str(kept["sourced_id"]),
            str(kept["title"]),
            tuple(
                Row(int(row["line"]), str(row["name"]), "", str(row["sourced_id"])) for row in kept["rows"]
            ),
            tuple(
                Fault(int(each["line"]), str(each["text"]), str(each["reason"]), str(each["file"]))
                for each in kept["faults"]
            ),
            frozenset(map(str, kept["mentioned"])),
            frozenset(map(str, kept["left"])),
            bool(kept["is_whole"]),
        )
    except (ValueError, KeyError, TypeError, RecursionError):
        raise RosterError(_("Choose the file once more.")) from None


def is_zip(content: bytes) -> bool:
    return content.startswith(b"PK\x03\x04")


def _tables(content: bytes) -> dict[str, list[Line]]:
    """Every table of the bundle that is read, by its name without the ending."""
    if len(content) > MOST_ZIPPED:
        raise RosterError(_("The file is too large for a roster."))
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as bundle:
            return {
                name: _lines(name, _unpacked(bundle, info))
                for name, info in _members(bundle).items()
                if name in COLUMNS
            }
    except (zipfile.BadZipFile, zlib.error, NotImplementedError, RuntimeError, EOFError, ValueError):
        raise RosterError(_("This zip file cannot be opened.")) from None


def _members(bundle: zipfile.ZipFile) -> dict[str, zipfile.ZipInfo]:
    names: dict[str, zipfile.ZipInfo] = {}
    for info in bundle.infolist():
        name, _dot, ending = info.filename.casefold().rpartition(".")
        if ending != "csv":
            continue
        if name in names:
            raise RosterError(_("%(name)s.csv is in the zip file twice.") % {"name": name})
        names[name] = info
    return names


def _unpacked(bundle: zipfile.ZipFile, info: zipfile.ZipInfo) -> str:
    # What the zip says of a table's size need not be true: no more than the limit is ever unpacked.
    with bundle.open(info) as table:
        content = table.read(MOST_IN_A_TABLE + 1)
    if len(content) > MOST_IN_A_TABLE:
        raise RosterError(_("%(file)s is too large.") % {"file": info.filename})
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        line = content[: fault.start].count(b"\n") + 1
        sentence = _("%(file)s has letters in line %(line)d that cannot be read. It has to be UTF-8.")
        raise RosterError(sentence % {"file": info.filename, "line": line}) from None
    if "\0" in text:
        raise RosterError(_("%(file)s is no CSV file.") % {"file": info.filename})
    return text


def _lines(name: str, text: str) -> list[Line]:
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    try:
        heading = [cell.strip() for cell in next(reader, [])]
        missing = [column for column in COLUMNS[name] if column not in heading]
        if missing:
            sentence = _("%(file)s has no column %(missing)s.")
            raise RosterError(sentence % {"file": f"{name}.csv", "missing": ", ".join(missing)})
        lines = [(reader.line_num, _cells(heading, row)) for row in reader if any(row)]
    except csv.Error:
        sentence = _("%(file)s cannot be read from line %(line)d on: a quotation mark stands wrong.")
        raise RosterError(sentence % {"file": f"{name}.csv", "line": reader.line_num}) from None
    if len(lines) > MOST_ROWS:
        sentence = _("%(file)s has more than %(rows)d rows.")
        raise RosterError(sentence % {"file": f"{name}.csv", "rows": MOST_ROWS})
    return lines


def _cells(heading: list[str], row: list[str]) -> dict[str, str]:
    """By column; what a short row lacks is empty."""
    cells = (" ".join(cell.split()) for cell in row)
    return dict(zip_longest(heading, islice(cells, len(heading)), fillvalue=""))


def _modes(tables: Mapping[str, list[Line]]) -> dict[str, Mode]:
    """What the manifest says of each table. Raises RosterError for one of another version or without need."""
    if "manifest" not in tables:
        raise RosterError(_("The zip file has no manifest.csv, so it is no OneRoster bundle."))
    said = {row["propertyName"]: row["value"] for _line, row in tables["manifest"]}
    version = said.get("oneroster.version", "")
    if not version.startswith(VERSION):
        sentence = _("The bundle is of OneRoster version “%(version)s”; version 1.2 is read.")
        raise RosterError(sentence % {"version": version})
    modes: dict[str, Mode] = {}
    for name in (*NEEDED, "roles"):
        modes[name] = _mode(name, said.get(f"file.{name}", "absent"))
        if modes[name] != "absent" and name not in tables:
            raise RosterError(_("%(file)s is not in the zip file.") % {"file": f"{name}.csv"})
    return modes


def _mode(name: str, said: str) -> Mode:
    if said == "bulk":
        return "bulk"
    if said == "delta":
        return "delta"
    if said == "absent" and name not in NEEDED:
        return "absent"
    sentence = _("The manifest says “%(said)s” of %(file)s; “bulk” or “delta” is needed.")
    raise RosterError(sentence % {"said": said, "file": f"{name}.csv"})


def _active(tables: Mapping[str, list[Line]], name: str, faults: list[Fault]) -> Iterator[Line]:
    """The rows of a table that stand, each id once; others are faults, or are to be deleted."""
    for line, row in _with_status(tables, name, faults):
        if row["status"] != "tobedeleted":
            yield line, row


def _with_status(tables: Mapping[str, list[Line]], name: str, faults: list[Fault]) -> Iterator[Line]:
    seen: dict[str, int] = {}
    for line, row in tables.get(name, ()):
        row.setdefault("status", "")
        reason = _why_not(row, line, seen)
        if reason:
            faults.append(_fault(name, line, row, reason))
        else:
            yield line, row


def _fault(name: str, line: int, row: Mapping[str, str], reason: str) -> Fault:
    """A fault with what stands in the columns that are kept: never with a password or an address."""
    text = ", ".join(filter(None, (row.get(column, "") for column in COLUMNS[name])))
    return Fault(line, text, reason, f"{name}.csv")


def _why_not(row: Mapping[str, str], line: int, seen: dict[str, int]) -> str:
    key = row["sourcedId"]
    if not key:
        return _("The sourcedId is missing.")
    if len(key) > 255:
        return _("The sourcedId is longer than 255 signs.")
    if row["status"] not in ("", "active", "tobedeleted"):
        return _("The status “%(status)s” is none of active and tobedeleted.") % {"status": row["status"]}
    if (first := seen.setdefault(key, line)) != line:
        return _("The sourcedId %(key)s stands in line %(line)d already.") % {"key": key, "line": first}
    return ""


@dataclass(frozen=True, slots=True)
class _Users:
    """Names by id, the ids whose rows are faulty or switched off with the reason, and those to be deleted."""

    names: Mapping[str, str]
    refused: Mapping[str, str]
    deleted: frozenset[str]


def _users(tables: Mapping[str, list[Line]], faults: list[Fault]) -> _Users:
    names: dict[str, str] = {}
    refused: dict[str, str] = _no_students(tables)
    deleted: set[str] = set()
    for line, row in _with_status(tables, "users", faults):
        key = row["sourcedId"]
        if row["status"] == "tobedeleted":
            deleted.add(key)
        elif row.get("enabledUser", "").casefold() == "false":
            refused[key] = _("This user is switched off in users.csv.")
        else:
            try:
                names[key] = checked_name(_name(row))
            except RowError as fault:
                faults.append(_fault("users", line, row, str(fault)))
                refused[key] = _("The row of this user in users.csv has a fault.")
    return _Users(names, refused, frozenset(deleted))


def _name(row: Mapping[str, str]) -> str:
    """The names by which somebody is called, where they are given."""
    given = row.get("preferredGivenName") or row["givenName"]
    family = row.get("preferredFamilyName") or row["familyName"]
    return f"{given} {family}".strip()


def _no_students(tables: Mapping[str, list[Line]]) -> dict[str, str]:
    """Users whose roles are told and are all others than student's."""
    roles: dict[str, set[str]] = {}
    for _line, row in tables.get("roles", ()):
        if row.get("status") != "tobedeleted":
            roles.setdefault(row["userSourcedId"], set()).add(row["role"].casefold())
    reason = _("By roles.csv this user is no student.")
    return {key: reason for key, found in roles.items() if "student" not in found}


class _Enrolments:
    """The rows of enrollments.csv by class."""

    def __init__(
        self,
        tables: Mapping[str, list[Line]],
        modes: Mapping[str, Mode],
        users: _Users,
        classes: Mapping[str, str],
        faults: list[Fault],
    ) -> None:
        self.users, self.modes = users, modes
        self.passed_over = 0
        self.lines: dict[str, list[Line]] = {key: [] for key in classes}
        for line, row in _with_status(tables, "enrollments", faults):
            if row["role"].casefold() != "student":
                self.passed_over += 1
            elif row["classSourcedId"] in self.lines:
                self.lines[row["classSourcedId"]].append((line, row))
            elif modes["classes"] == "bulk":
                reason = _("No class in classes.csv has this id.")
                faults.append(_fault("enrollments", line, row, reason))

    def of(self, key: str, title: str) -> BundleClass:
        rows: list[Row] = []
        faults: list[Fault] = []
        left = set(self.users.deleted)
        seen: dict[str, int] = {}
        for line, row in self.lines[key]:
            user = row["userSourcedId"]
            if row["status"] == "tobedeleted":
                left.add(user)
            elif reason := self._why_not(user, line, seen):
                faults.append(_fault("enrollments", line, row, reason))
            else:
                rows.append(Row(line, self.users.names.get(user, ""), "", user))
        if len(rows) > MOST_STUDENTS:
            sentence = _("The class %(title)s has more than %(rows)d students.")
            raise RosterError(sentence % {"title": title, "rows": MOST_STUDENTS})
        mentioned = frozenset(row["userSourcedId"] for _line, row in self.lines[key])
        whole = self.modes["enrollments"] == "bulk"
        return BundleClass(key, title, tuple(rows), tuple(faults), mentioned, frozenset(left - {""}), whole)

    def _why_not(self, user: str, line: int, seen: dict[str, int]) -> str:
        if user in self.users.refused:
            return self.users.refused[user]
        if user in self.users.deleted:
            return _("This user is to be deleted by users.csv.")
        if user not in self.users.names and (self.modes["users"] == "bulk" or not user):
            return _("No user in users.csv has this id.")
        if (first := seen.setdefault(user, line)) != line:
            return _("This user stands in line %(line)d already.") % {"line": first}
        return ""
