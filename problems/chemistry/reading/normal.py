"""Typed and pasted text brought to plain ASCII notation, with a map back to the text as typed.

After this step a subscript is `_{4}`, a superscript `^{2-}`, an arrow of one character is `→` or `←`, a
multiplication sign or hydrate dot is `*`; wrappers of TeX are gone. Superscripts are mapped before any
compatibility normalisation, which would turn `10⁻²` into `10-2`.
"""

import re
import tomllib
import unicodedata
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from itertools import takewhile
from pathlib import Path

DATA = Path(__file__).parents[2] / "data" / "typed_text.toml"
RIGHT, LEFT = "→", "←"
HALVES = "½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞"
_KEPT = frozenset(HALVES + RIGHT + LEFT)
_INVISIBLE = frozenset(("Cf", "Cc", "Mn", "Cs"))

_RAISED_FRACTION = re.compile(r"([⁰¹²³⁴-⁹]+)[⁄/∕]([₀-₉]+|\d+)")
_COMMAND = re.compile(r"\\([A-Za-z]+)\*? ?|\\([,;:!> ()\[\]])|\\([{}])")
_FRACTION = re.compile(r"\\[dt]?frac *\{ *(\d+) *\} *\{ *(\d+) *\}")
_BARE_SUPERSCRIPT = re.compile(r"\^\{?\s*(\d)\s*\}?\s*\^\{?\s*([+-]+)\s*\}?")
_LABELLED_ARROW = re.compile(r"\\x(right|left)arrow\s*(?:\[[^\]]*\])?\s*\{(?:[^{}]|\{[^{}]*\})*\}")
_EMPTY = re.compile(r"[_^]\{\s*\}")
_COUNT_AND_STATE = re.compile(r"_\{\s*(\d+)\s*(\([A-Za-z]+\))\s*\}")
_RAISED_FIRST = re.compile(r"(\^\{[^{}]*\})(_\{\d+\}|_\d)")


@dataclass(frozen=True, slots=True)
class Typed:
    """A text and, for each of its characters, its place in `source` [code points]."""

    text: str
    places: tuple[int, ...]
    source: str

    def span(self, start: int, end: int) -> tuple[int, int]:
        """Position and length in the source of what stands between two places of the text."""
        if not self.source:
            return 0, 0
        if start >= len(self.places):
            return len(self.source.rstrip()), 0
        first = self.places[start]
        last = self.places[max(start, min(end, len(self.places)) - 1)]
        return first, max(last - first + 1, 1)

    def piece(self, start: int, end: int) -> "Typed":
        return Typed(self.text[start:end], self.places[start:end], self.source)


@dataclass(frozen=True, slots=True)
class _Tables:
    characters: dict[str, str]
    commands: dict[str, str]
    wrappers: frozenset[str]
    words: re.Pattern[str]


@cache
def _tables() -> _Tables:
    rows = tomllib.loads(DATA.read_text(encoding="utf-8"))
    characters = {typed: plain for plain, alike in rows["alike"].items() for typed in alike}
    arrows, tex = rows["arrows"], rows["tex"]
    for typed, plain in ((arrows["right"], RIGHT), (arrows["left"], LEFT), (arrows["dropped"], "")):
        characters |= dict.fromkeys(typed, plain)
    meanings = {"right": RIGHT, "left": LEFT, "times": "*", "raised": "^", "lowered": "_"}
    meanings |= {"dropped": "", "spaces": " "}
    commands = {name: plain for group, plain in meanings.items() for name in tex[group]}
    words = re.compile("|".join(arrows["words"]), re.IGNORECASE)
    return _Tables(characters, commands, frozenset(tex["wrappers"]), words)


@cache
def _raised() -> dict[str, tuple[str, str]]:
    """Superscript and subscript characters: their mark and the plain character."""
    rows = tomllib.loads(DATA.read_text(encoding="utf-8"))
    return {
        typed: (mark, plain)
        for group, mark in (("superscripts", "^"), ("subscripts", "_"))
        for typed, plain in zip(rows[group]["from"], rows[group]["to"], strict=True)
    }


def normalise(source: str) -> Typed:
    """The text in plain notation.

    >>> normalise("SO₄²⁻ → \\\\mathrm{Cl^-}").text
    'SO_{4}^{2-} → Cl^-'
    """
    if source.isascii() and not ("\\" in source or "$" in source or "{" in source or "^" in source):
        typed = Typed(source, tuple(range(len(source))), source)
    else:
        typed = replace(_characters(source), _FRACTION, lambda match: f"{match[1]}/{match[2]}")
        typed = replace(typed, _LABELLED_ARROW, lambda match: RIGHT if match[1] == "right" else LEFT)
        typed = replace(_braces(_commands(typed)), _EMPTY, lambda match: "")
        typed = replace(typed, _BARE_SUPERSCRIPT, lambda match: f"^{{{match[1]}{match[2]}}}")
        typed = replace(typed, _COUNT_AND_STATE, lambda match: f"_{{{match[1]}}}{match[2]}")
        typed = _swap_raised(typed) if "}_" in typed.text else typed
    return replace(typed, _tables().words, lambda match: RIGHT)


def replace(typed: Typed, pattern: re.Pattern[str], by: Callable[[re.Match[str]], str]) -> Typed:
    """Each match of the pattern replaced; new characters stand where the match began, its end at its end."""
    if not pattern.search(typed.text):
        return typed
    text: list[str] = []
    places: list[int] = []
    done = 0
    for match in pattern.finditer(typed.text):
        new, old = by(match), match.group()
        span = typed.places[match.start() : match.end()]
        kept = _common_end(new, old)
        text += typed.text[done : match.start()], new
        places += typed.places[done : match.start()]
        places += [span[min(index, len(span) - 1)] for index in range(len(new) - kept)]
        places += span[len(span) - kept :]
        done = match.end()
    text.append(typed.text[done:])
    places += typed.places[done:]
    return Typed("".join(text), tuple(places), typed.source)


def _common_end(new: str, old: str) -> int:
    """How many characters two texts have in common at their end."""
    pairs = zip(reversed(new), reversed(old), strict=False)
    return sum(1 for _pair in takewhile(lambda pair: pair[0] == pair[1], pairs))


def _characters(source: str) -> Typed:
    """Character by character: look-alikes, raised and lowered digits, compatibility forms."""
    pairs: list[tuple[str, int]] = []
    mark = ""
    for place, character in enumerate(_plain_fractions(source)):
        raised = _raised().get(character)
        new_mark, plain = raised or ("", _plain(character))
        if mark and new_mark != mark and plain:
            pairs.append(("}", place - 1))
            mark = ""
        if new_mark and new_mark != mark:
            pairs += ((new_mark, place), ("{", place))
            mark = new_mark
        pairs += ((one, place) for one in plain)
    if mark:
        pairs.append(("}", len(source) - 1))
    return _typed(pairs, source)


def _plain_fractions(source: str) -> str:
    """`¹⁄₂` is a number of its own, no charge: its digits are made plain, place for place."""

    def plain(match: re.Match[str]) -> str:
        return "/".join("".join(str(unicodedata.digit(one)) for one in match[group]) for group in (1, 2))

    return _RAISED_FRACTION.sub(plain, source)


def _plain(character: str) -> str:
    if character.isascii():
        return " " if character.isspace() else character
    known = _tables().characters.get(character)
    if known is not None:
        return known
    if character in _KEPT:
        return character
    digit = unicodedata.decimal(character, None)
    if digit is not None:
        return str(digit)
    if unicodedata.category(character) in _INVISIBLE:
        return ""
    plain = unicodedata.normalize("NFKC", character)
    return "".join(_tables().characters.get(one, " " if one.isspace() else one) for one in plain)


def _commands(typed: Typed) -> Typed:
    """Commands of TeX become their sign, spaces, or the mark of a wrapper whose braces fall away."""

    def sign(match: re.Match[str]) -> str:
        name, space, brace = match.groups()
        if name:
            return _named(name)
        return (brace or "") if not space else " "

    text = replace(typed, _COMMAND, sign)
    return replace(text, re.compile(r"\$"), lambda match: "")


def _named(name: str) -> str:
    """What a command stands for; letters run on behind it (`\\toH2`) stay."""
    tables = _tables()
    for length in range(len(name), 1, -1):
        command, rest = name[:length], name[length:]
        if command in tables.commands or command in tables.wrappers:
            return tables.commands.get(command, "") + rest
    return f"\\{name}"


def _braces(typed: Typed) -> Typed:
    """Braces stay after `^` and `_` only; elsewhere they were there to hold a text together."""
    kept: list[tuple[str, int]] = []
    stack: list[bool] = []
    for character, place in zip(typed.text, typed.places, strict=True):
        if character == "{":
            stack.append(bool(kept) and kept[-1][0] in "^_")
            if not stack[-1]:
                continue
        elif character == "}" and not (stack.pop() if stack else True):
            continue
        kept.append((character, place))
    return _typed(kept, typed.source)


def _swap_raised(typed: Typed) -> Typed:
    """`SO^{2-}_{4}` and `SO_{4}^{2-}` are the same: the subscript goes first."""
    order = list(range(len(typed.text)))
    for match in _RAISED_FIRST.finditer(typed.text):
        first, middle, last = match.start(1), match.start(2), match.end()
        order[first:last] = [*range(middle, last), *range(first, middle)]
    return _typed([(typed.text[index], typed.places[index]) for index in order], typed.source)


def _typed(pairs: list[tuple[str, int]], source: str) -> Typed:
    return Typed("".join(one for one, _ in pairs), tuple(place for _, place in pairs), source)
