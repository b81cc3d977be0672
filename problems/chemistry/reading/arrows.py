"""Where the arrow of an equation stands. Dashes before it may be charges, so there can be several places."""

import re
from typing import NamedTuple

from problems.chemistry.reading.errors import ReadingError
from problems.chemistry.reading.normal import LEFT, RIGHT, Typed
from problems.words import _

MOST_CHARGES = 4

_ARROW = re.compile(rf"{LEFT}+|<[-=]+>|=+>|(?P<dashes>-*)(?:{RIGHT}+|(?<=-)>)|<[-=]+")
_EQUALS = re.compile(r"=+")
_STRAY = re.compile(r"[<>=]")
_BROKEN = re.compile(r"(?<=\s)[-=]\s+>")


class Arrow(NamedTuple):
    """An arrow from `start` to `end`; `backwards` where it points to the left."""

    start: int
    end: int
    backwards: bool


def arrows(typed: Typed) -> list[Arrow]:
    """Every place for the arrow, the longest first, or none; raises ReadingError for a second arrow."""
    patterns = (_ARROW, _BROKEN, _EQUALS)
    found = next((found for pattern in patterns if (found := list(pattern.finditer(typed.text)))), [])
    if not found:
        return []
    if len(found) > 1:
        raise _at(typed, found[1], _("There is more than one arrow. Write one equation with one arrow."))
    match = found[0]
    if match.re is _ARROW:
        _refuse_stray(typed)
    dashes = match.groupdict().get("dashes") or ""
    spare = len(dashes) - match.group().endswith(">") if dashes else 0
    backwards = match.group()[0] in LEFT + "<" and match.group()[-1] != ">"
    shifts = range(min(spare, MOST_CHARGES) + 1)
    return [Arrow(match.start() + shift, match.end(), backwards) for shift in shifts]


def _refuse_stray(typed: Typed) -> None:
    """Raises ReadingError for a piece of an arrow beside the arrow."""
    rest = _ARROW.sub(lambda arrow: " " * len(arrow.group()), typed.text)
    stray = _STRAY.search(rest)
    if stray:
        raise _at(typed, stray, _("This sign cannot be read beside the arrow."))


def _at(typed: Typed, match: re.Match[str], sentence: str) -> ReadingError:
    return ReadingError("unreadable", sentence, *typed.span(match.start(), match.end()))
