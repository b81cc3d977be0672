"""What a student typed, cleaned for reading, each character knowing its place in the original.

For every kind but equations and formulas. Pasted text brings invisible marks, LaTeX scraps,
full-width characters and look-alikes; they are dropped or mapped here, one character at a time.
Superscripts are left alone: a compatibility normalisation would turn 10⁻² into 10-2. So are Greek small
letters, which are symbols of their own in an expression.
"""

import re
import tomllib
import unicodedata
from collections.abc import Callable, Iterator
from functools import cache

from problems.chemistry.reading.normal import DATA, Typed
from problems.errors import ProblemError
from problems.grading.verdict import Verdict
from problems.words import _

LONGEST = 500
"""The most that is read [code points]."""

COMMANDS = {
    "times": "×",
    "cdot": "·",
    "div": "÷",
    "circ": "°",
    "degree": "°",
    "mu": "µ",
    "approx": "≈",
    "sim": "~",
    "left": "",
    "right": "",
    "dfrac": "\\frac",
    "tfrac": "\\frac",
    "frac": "\\frac",
    "sqrt": "\\sqrt",
}
SIGNS = {
    **dict.fromkeys("∙⋅•‧●", "·"),
    **dict.fromkeys("∕⁄", "/"),
    **dict.fromkeys("º˚∘", "°"),
    **dict.fromkeys("↑↓", ""),
    "∗": "*",
    "μ": "µ",
    "Ω": "Ω",
    "ℓ": "l",
    "х": "x",
    "℃": "°C",
}
WRAPPED = "\\wrapped"
"""Stands for a LaTeX command that only holds its braces together, until both are dropped."""

_DEGREE = re.compile(r"\^\s*\{?\s*(?:\\circ|[°∘])\s*\}?\s?")
_PIECE = re.compile(rf"({_DEGREE.pattern})|\\([A-Za-z]+)\s?|\\([,;:!% {{}}])|(.)", re.DOTALL)

Piece = tuple[str, int]
"""Cleaned text, and where it stood in the original."""


class UnreadableError(ProblemError):
    """The text stops making sense; `start` and `end` are places in the cleaned text."""

    def __init__(self, sentence: str, start: int, end: int | None = None, code: str = "unreadable") -> None:
        self.sentence, self.start, self.code = sentence, start, code
        self.end = start if end is None else end
        super().__init__(sentence)


def clean(answer: str) -> Typed:
    """What was typed, without what only came along.

    >>> clean("\\u200b2,24\\u00a0\\\\times 10⁻² L.").text
    '2,24 ×10⁻² L'
    """
    if answer.isascii() and answer.isprintable() and not ("\\" in answer or "$" in answer):
        kept = answer.rstrip(" .")
        text = kept.lstrip(" ")
        return Typed(text, tuple(range(len(kept) - len(text), len(kept))), answer)
    cells = [(char, place) for text, place in _unwrapped(list(_pieces(answer))) for char in text]
    while cells and cells[-1][0] in " .":
        cells.pop()
    while cells and cells[0][0] == " ":
        cells.pop(0)
    return Typed("".join(char for char, _place in cells), tuple(place for _char, place in cells), answer)


def read_or_refuse(answer: str, judge: Callable[[Typed], Verdict]) -> Verdict:
    """The judgement on the cleaned answer; where it cannot be read, the verdict that says so."""
    if len(answer) > LONGEST:
        message = _("At most {limit} characters are read.").format(limit=LONGEST)
        return Verdict("unreadable", ("unreadable",), None, message, LONGEST, len(answer) - LONGEST)
    typed = clean(answer)
    try:
        if not typed.text:
            raise UnreadableError(_("Nothing is written here."), 0)
        return judge(typed)
    except UnreadableError as fault:
        position, length = _place(typed, fault)
        return Verdict("unreadable", (fault.code,), None, fault.sentence, position, length)


def _place(typed: Typed, fault: UnreadableError) -> tuple[int, int]:
    """Position and length of a fault in what was typed; behind the last character, no length."""
    if fault.start < len(typed.places):
        return typed.span(fault.start, fault.end)
    return (typed.places[-1] + 1 if typed.places else 0), 0


@cache
def _plain() -> dict[str, str]:
    """Characters typed for others: dashes, brackets, capitals of other scripts."""
    alike: dict[str, str] = tomllib.loads(DATA.read_text(encoding="utf-8"))["alike"]
    mapped = {typed: plain for plain, many in alike.items() for typed in many if plain not in "*. ~"}
    return {typed: plain for typed, plain in mapped.items() if not plain.islower()} | SIGNS


@cache
def _wrappers() -> frozenset[str]:
    return frozenset(tomllib.loads(DATA.read_text(encoding="utf-8"))["tex"]["wrappers"])


def _pieces(answer: str) -> Iterator[Piece]:
    for match in _PIECE.finditer(answer):
        degree, command, escaped, char = match.groups()
        if degree:
            text = "°"
        elif command:
            text = _command(command)
        elif escaped:
            text = escaped if escaped in "%{}" else " "
        else:
            text = _clean(char)
        yield text, match.start()


def _command(name: str) -> str:
    """A LaTeX command: a sign, a Greek letter, a wrapper to drop, or itself."""
    if name in COMMANDS:
        return COMMANDS[name]
    if name in _wrappers():
        return WRAPPED
    if name in ("quad", "qquad"):
        return " "
    size = "CAPITAL" if name[0].isupper() else "SMALL"
    try:
        return unicodedata.lookup(f"GREEK {size} LETTER {name.upper()}")
    except KeyError:
        return f"\\{name}"


def _clean(char: str) -> str:
    """One character as the readers want it; empty where it is dropped."""
    if char.isascii():
        return " " if char.isspace() else char.replace("$", "")
    known = _plain().get(char)
    if known is not None:
        return known
    category = unicodedata.category(char)
    if category == "Cf" or "\N{VARIATION SELECTOR-1}" <= char <= "\N{VARIATION SELECTOR-16}":
        return ""
    if category == "Zs":
        return " "
    # Full-width characters, and the one-character units such as ㎖.
    compatible = "！" <= char <= "～" or "㌀" <= char <= "㏿"
    return unicodedata.normalize("NFKC", char) if compatible else char


def _unwrapped(pieces: list[Piece]) -> Iterator[Piece]:
    """Drop wrappers such as \\mathrm{...} with their own pair of braces."""
    wraps: list[bool] = []
    pending = False
    for text, place in pieces:
        if text == WRAPPED:
            pending = True
            continue
        dropped = False
        if text == "{":
            wraps.append(pending)
            dropped = pending
        elif text == "}" and wraps:
            dropped = wraps.pop()
        pending = pending and text in ("", " ")
        if not dropped:
            yield text, place
