"""Where the arrow of an equation stands. Dashes before it may be charges, so there can be several places."""

import re
from typing import NamedTuple

from problems.chemistry.reading.errors import ReadingError
from problems.chemistry.reading.normal import LEFT, RIGHT, Typed
from problems.words import _

MOST_CHARGES = 4

_ARROW = re.compile(rf"{RIGHT}+|{LEFT}+|<[-=]+>|=+>|(?P<dashes>-+)>|<[-=]+")
_EQUALS = re.compile(r"=+")
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
    stray = re.compile("[<>=]").search(_ARROW.sub(lambda arrow: " " * len(arrow.group()), typed.text))
    if stray and match.re is _ARROW:
        raise _at(typed, stray, _("This sign cannot be read beside the arrow."))
    if "dashes" not in match.re.groupindex or not match["dashes"]:
        return [
            Arrow(match.start(), match.end(), match.group()[0] in LEFT + "<" and match.group()[-1] != ">")
        ]
    charges = min(len(match["dashes"]) - 1, MOST_CHARGES)
    return [Arrow(match.start() + shift, match.end(), False) for shift in range(charges + 1)]


def _at(typed: Typed, match: re.Match[str], sentence: str) -> ReadingError:
    return ReadingError("unreadable", sentence, *typed.span(match.start(), match.end()))
