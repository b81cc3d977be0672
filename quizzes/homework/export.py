"""Marks as a table for spreadsheets and other programs: CSV (RFC 4180) and XLSX.

One row a student and set. The columns and their order are a promise: `HEADER` is only ever added to at
its end. Moments are ISO 8601 in UTC, points and shares plain numbers.

Text that a spreadsheet would take for a formula gets an apostrophe before it, as the OWASP page on CSV
injection advises; numbers stay numbers.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence
from datetime import UTC, datetime

from django.utils.translation import gettext_lazy
from xlsxwriter import Workbook

from quizzes.homework.marks import MarkTable

HEADER = (
    "student", "sign_in_name", "set", "due_at", "points", "points_possible", "share", "questions_finished",
    "begun_at", "handed_in_at", "late",
)  # fmt: skip
MEANINGS = (
    gettext_lazy("name shown in class"), gettext_lazy("sign-in name"), gettext_lazy("title of the set"),
    gettext_lazy("when it was due for this student"), gettext_lazy("points so far"),
    gettext_lazy("points it can bring"),
    gettext_lazy("points by points possible, from 0 to 1"), gettext_lazy("questions finished"),
    gettext_lazy("when the student began; empty if not"), gettext_lazy("when it was handed in; empty if not"),
    gettext_lazy("yes if it was handed in after it was due, else no"),
)  # fmt: skip
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")

Cell = str | float | int


def mark_rows(table: MarkTable) -> list[Sequence[Cell]]:
    """The rows of the export under `HEADER`: by student, then by set."""
    return [
        (
            plain(row.student.display_name), plain(row.student.username), plain(homework.title),
            moment(mark.due_at), round(mark.points, 2), mark.of, round(mark.share, 4), mark.finished,
            moment(mark.begun_at), moment(mark.handed_in_at), "yes" if mark.is_late else "no",
        )
        for row in table.rows
        for homework, mark in zip(table.sets, row.marks, strict=True)
    ]  # fmt: skip


def plain(text: str) -> str:
    """Text that no spreadsheet takes for a formula.

    >>> plain("=1+1"), plain("Ines")
    ("'=1+1", 'Ines')
    """
    return f"'{text}" if text.startswith(FORMULA_STARTS) else text


def moment(at: datetime | None) -> str:
    return at.astimezone(UTC).isoformat(timespec="seconds") if at else ""


def as_csv(rows: Iterable[Sequence[Cell]]) -> bytes:
    """With the mark by which spreadsheets know UTF-8."""
    text = io.StringIO(newline="")
    csv.writer(text).writerows([HEADER, *rows])
    return text.getvalue().encode("utf-8-sig")


def as_xlsx(rows: Iterable[Sequence[Cell]]) -> bytes:
    """One sheet; text is written as text, whatever it looks like."""
    held = io.BytesIO()
    with Workbook(held, {"in_memory": True}) as book:
        sheet = book.add_worksheet("marks")
        for line, row in enumerate([HEADER, *rows]):
            for column, cell in enumerate(row):
                write = sheet.write_string if isinstance(cell, str) else sheet.write_number
                write(line, column, cell)
        sheet.freeze_panes(1, 0)
        sheet.set_column(0, len(HEADER) - 1, 18)
    return held.getvalue()
