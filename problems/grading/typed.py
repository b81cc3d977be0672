"""What a student typed, cleaned for reading, each character knowing its place in the original.

For every kind but equations and formulas. Pasted text brings invisible marks, LaTeX scraps,
full-width characters and look-alikes; they are dropped or mapped here, one character at a time, so
that a fault can be shown where it was typed. Superscripts are left alone: a compatibility
normalisation would turn 10⁻² into 10-2.
"""

import re
import unicodedata
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from problems.errors import ProblemError
from problems.grading.verdict import Verdict
from problems.words import _

LONGEST = 500
"""The most that is read [code points]."""

DASHES = "‐‑‒–—―−﹘﹣－➖"
LOOK_ALIKES = str.maketrans(
    "АВЕЅІЈКМНОРСТУХхΑΒΕΖΗΙΚΜΝΟΡΤΥΧμΩℓ∗∙⋅•‧∕⁄∶º",
    "ABESIJKMHOPCTYXxABEZHIKMNOPTYXµΩl*····//:°",
)
COMMANDS = {
    "times": "×",
    "cdot": "·",
    "div": "÷",
    "circ": "°",
    "degree": "°",
    "mu": "µ",
    "approx": "≈",
    "sim": "~",
    "quad": " ",
    "left": "",
    "right": "",
    "displaystyle": "",
    "limits": "",
    "dfrac": "\\frac",
    "tfrac": "\\frac",
    "frac": "\\frac",
    "sqrt": "\\sqrt",
}
WRAPPERS = frozenset(
    {"ce", "mathrm", "text", "textrm", "mathit", "mathbf", "mathsf", "rm", "operatorname", "unit"}
)
_DEGREE = re.compile(r"\^\s*\{?\s*(?:\\circ|[°∘])\s*\}?\s?")
_PIECE = re.compile(rf"({_DEGREE.pattern})|\\([A-Za-z]+)\s?|\\([,;:!% {{}}])|(.)", re.DOTALL)

Piece = tuple[str, int, int]
"""Cleaned text, and where it stood in the original: start and end."""


class UnreadableError(ProblemError):
    """The text stops making sense; `start` and `end` are places in the cleaned text."""

    def __init__(self, sentence: str, start: int, end: int | None = None, code: str = "unreadable") -> None:
        self.sentence, self.start, self.code = sentence, start, code
        self.end = start if end is None else end
        super().__init__(sentence)


@dataclass(frozen=True, slots=True)
class Typed:
    """Cleaned text with the place of each of its characters in what was typed [code points]."""

    text: str
    starts: tuple[int, ...]
    ends: tuple[int, ...]
    size: int

    def __post_init__(self) -> None:
        if not len(self.text) == len(self.starts) == len(self.ends):
            raise ValueError("Each character needs its place.")

    @classmethod
    def of(cls, answer: str) -> "Typed":
        """Clean what was typed.

        >>> Typed.of("\\u200b2,24\\u00a0\\\\times 10⁻² L.").text
        '2,24 ×10⁻² L'
        """
        pieces = _unwrapped(list(_pieces(answer)))
        cells = [(char, start, end) for text, start, end in pieces for char in text]
        while cells and cells[-1][0] in " .":
            cells.pop()
        while cells and cells[0][0] == " ":
            cells.pop(0)
        chars, starts, ends = zip(*cells, strict=True) if cells else ((), (), ())
        return cls("".join(chars), starts, ends, len(answer))

    def place(self, start: int, end: int) -> tuple[int, int]:
        """Position and length, in what was typed, of the characters from `start` to `end`."""
        if start >= len(self.text):
            return (self.ends[-1] if self.ends else self.size), 0
        position = self.starts[start]
        return position, (self.ends[min(end, len(self.ends)) - 1] - position if end > start else 0)


def read_or_refuse(answer: str, judge: Callable[[Typed], Verdict]) -> Verdict:
    """The judgement on the cleaned answer; where it cannot be read, the verdict that says so."""
    if len(answer) > LONGEST:
        message = _("At most {limit} characters are read.").format(limit=LONGEST)
        return Verdict("unreadable", ("unreadable",), None, message, LONGEST, len(answer) - LONGEST)
    typed = Typed.of(answer)
    try:
        if not typed.text:
            raise UnreadableError(_("Nothing is written here."), 0)
        return judge(typed)
    except UnreadableError as fault:
        position, length = typed.place(fault.start, fault.end)
        return Verdict("unreadable", (fault.code,), None, fault.sentence, position, length)


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
        yield text, match.start(), match.end()


def _command(name: str) -> str:
    """A LaTeX command: a sign, a Greek letter, a wrapper to drop, or itself."""
    if name in COMMANDS:
        return COMMANDS[name]
    if name in WRAPPERS:
        return "\\wrap"
    size = "CAPITAL" if name[0].isupper() else "SMALL"
    try:
        return unicodedata.lookup(f"GREEK {size} LETTER {name.upper()}")
    except KeyError:
        return f"\\{name}"


def _clean(char: str) -> str:
    """One character as the readers want it; empty where it is dropped."""
    if char == "$" or "\N{VARIATION SELECTOR-1}" <= char <= "\N{VARIATION SELECTOR-16}":
        return ""
    if char in DASHES:
        return "-"
    if char in "℃˚":
        return "°C" if char == "℃" else "°"
    category = unicodedata.category(char)
    if category == "Cf":
        return ""
    if category == "Zs" or char in "\t\r\n":
        return " "
    if "！" <= char <= "～":
        char = chr(ord(char) - 0xFEE0)
    if "㌀" <= char <= "㏿":  # square units such as ㎖
        return unicodedata.normalize("NFKC", char)
    return char.translate(LOOK_ALIKES)


def _unwrapped(pieces: list[Piece]) -> Iterator[Piece]:
    """Drop wrappers such as \\mathrm{...} with their own pair of braces."""
    wraps: list[bool] = []
    pending = False
    for text, start, end in pieces:
        if text == "\\wrap":
            pending = True
            continue
        if text == "{":
            wraps.append(pending)
        dropped = (pending if text == "{" else bool(wraps) and wraps[-1]) if text in ("{", "}") else False
        if text == "}" and wraps:
            wraps.pop()
        pending = pending and text in ("", " ")
        if not dropped:
            yield text, start, end
