"""The name of the asked quantity, where it is written in front of an answer: `V(H2) = 22.4 mL`."""

import re
from typing import NamedTuple

from problems.grading.typed import UnreadableError
from problems.words import _

_NAME = re.compile(
    r"(?P<name>[^\W\d_][\w °'′^{}₀-₉⁺⁻]{0,60}(?:\([^()=]{1,24}\)|\[[^\[\]=]{1,24}\])?[\w{}]{0,12})\s*[=≈]"
)
_DRESS = str.maketrans("₀₁₂₃₄₅₆₇₈₉", "0123456789", "_{}^ ")


class Named(NamedTuple):
    """A name, empty where there is none, and where the text behind it begins."""

    name: str
    start: int


def split_name(text: str) -> Named:
    """The name before the first `=` of a text.

    >>> split_name("V(H2) = 22.4 mL")
    Named(name='V(H2)', start=7)
    """
    match = _NAME.match(text)
    if not match:
        return Named("", 0)
    return Named(match["name"].strip(), match.end())


def drop_name(text: str, asked: str) -> int:
    """Where the answer proper begins, behind one name and `=`; where `asked` is known, only that name.

    Raises UnreadableError for another name than the one asked for.
    """
    found = split_name(text)
    if found.name and asked and not same_name(found.name, asked):
        raise UnreadableError(
            _("“{name}” is written in front, but {asked} is asked.").format(name=found.name, asked=asked),
            0,
            len(found.name),
        )
    return found.start


def same_name(written: str, asked: str) -> bool:
    """True where two names can mean the same: spelled alike, or one with a qualifier that the other lacks.

    >>> same_name("V_{H2}", "V(H2)"), same_name("m(Cu)", "m"), same_name("V(H2)", "V(O2)")
    (True, True, False)
    """
    mine, theirs = (re.sub(r"[()\[\]]", "", name.translate(_DRESS)) for name in (written, asked))
    if mine == theirs or mine.casefold() == theirs.casefold() in ("ph", "poh"):
        return True
    if " " in asked.strip():
        return True
    return _qualified(written, theirs) or _qualified(asked, mine)


def _qualified(name: str, plain: str) -> bool:
    """True for the plain name with a subscript or brackets behind."""
    return (
        bool(plain)
        and name.strip().startswith(plain)
        and name.strip()[len(plain) :].strip()[:1] in ("_", "(", "[")
    )
