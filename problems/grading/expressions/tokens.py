"""Typed text cut into numbers, symbols and signs; a symbol is only what the question allows."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from problems.grading.numbers import FROM_SUPERSCRIPTS, GREATEST_POWER, RUN, VULGAR, run_readings
from problems.grading.typed import UnreadableError
from problems.words import _

Sort = Literal["number", "symbol", "+", "-", "*", "/", "^", "raised", "(", ")", "root", "fraction"]

SIGNS: Mapping[str, Sort] = {
    "**": "^", "^": "^", "+": "+", "-": "-", "*": "*", "·": "*", "×": "*", "/": "/", "÷": "/",
    "(": "(", "[": "(", "{": "(", ")": ")", "]": ")", "}": ")", "√": "root",
    "\\sqrt": "root", "sqrt": "root", "\\frac": "fraction", "x": "*",
}  # fmt: skip
CLOSING = {"(": ")", "[": "]", "{": "}"}

_SIGN = re.compile(
    "|".join(re.escape(sign) for sign in sorted(SIGNS, key=len, reverse=True) if not sign.isalpha())
)
_ROOT_WORD = re.compile(r"sqrt(?=\s*[(\[{])", re.IGNORECASE)
_RAISED = re.compile(r"[⁺⁻]?[⁰¹²³⁴-⁹]+")
_E_POWER = re.compile(r"[eE]([+-]?[0-9]{1,4})(?![0-9])")
_TIMES_TEN = re.compile(
    r"(?:\s*[*·×xX]\s*|\s+)10(?:\s*(?:\^|\*\*)\s*(?:\{\s*([+-]?[0-9]{1,4})\s*\}|\(\s*([+-]?[0-9]{1,4})\s*\)"
    r"|([+-]?[0-9]{1,4})(?![0-9.,]))|([⁺⁻]?[⁰¹²³⁴-⁹]{1,4}))"
)
_LETTER_TIMES = re.compile(r"[xX](?=\s*10)")
_DIGIT_PAIR = re.compile(r"\\frac\s*([0-9])\s*([0-9])(?![0-9])")


@dataclass(frozen=True, slots=True)
class Token:
    """A piece of the text from `start` to `end`; a number has its readings, the preferred first."""

    sort: Sort
    text: str
    start: int
    end: int
    values: tuple[Fraction, ...] = ()


class Symbols:
    """The allowed symbols with their spellings; the longest that fits is the one meant."""

    def __init__(self, names: Mapping[str, str]) -> None:
        self.names = sorted(names.items(), key=lambda pair: -len(pair[0]))
        self.allowed = sorted(set(names.values()))

    def at(self, text: str, place: int) -> tuple[str, int] | None:
        """The symbol that begins here, and where it ends."""
        for spelling, name in self.names:
            if text.startswith(spelling, place):
                return name, place + len(spelling)
        return None

    def __contains__(self, name: str) -> bool:
        return any(spelling == name for spelling, _name in self.names)


def tokens(text: str, start: int, symbols: Symbols, whole_numbers: bool = True) -> list[Token]:
    """Cut the text; raises UnreadableError with the place of what does not belong.

    With `whole_numbers`, 2×10^-3 is one number; else it is a product like any other.
    """
    found: list[Token] = []
    place = start
    while place < len(text):
        if text[place] in " ~":
            place += 1
            continue
        pair = _DIGIT_PAIR.match(text, place)
        new = list(_pair(pair)) if pair else [_token(text, place, symbols, whole_numbers, found)]
        found += new
        place = new[-1].end
    return found


def _pair(match: re.Match[str]) -> Iterator[Token]:
    """A fraction of two digits without braces: \\frac12."""
    yield Token("fraction", "\\frac", match.start(), match.start(1))
    for group in (1, 2):
        yield Token("number", match[group], match.start(group), match.end(group), (Fraction(match[group]),))


def _token(text: str, place: int, symbols: Symbols, whole_numbers: bool, before: list[Token]) -> Token:
    symbol = symbols.at(text, place)
    if symbol:
        return Token("symbol", symbol[0], place, symbol[1])
    number = _number(text, place, symbols, whole_numbers)
    if number:
        return _not_glued(number, before)
    raised = _RAISED.match(text, place)
    if raised:
        exponent = Fraction(_exponent(raised.group(), place))
        return Token("raised", raised.group(), place, raised.end(), (exponent,))
    sign = _ROOT_WORD.match(text, place) or _SIGN.match(text, place)
    if not sign and before and before[-1].sort == "number":
        sign = _LETTER_TIMES.match(text, place)
    if not sign:
        raise _fault(text, place, symbols)
    return Token(SIGNS[sign.group().lower()], sign.group(), place, sign.end())


def _not_glued(number: Token, before: list[Token]) -> Token:
    """Refuse `t2`: a power, an index or a product?"""
    last = before[-1] if before else None
    if last and last.sort == "symbol" and last.end == number.start:
        raise UnreadableError(
            _("“{text}” is a product or a power: write the one with a star, the other with a caret.").format(
                text=last.text + number.text
            ),
            last.start,
            number.end,
        )
    return number


def _number(text: str, place: int, symbols: Symbols, whole: bool) -> Token | None:
    if text[place] in VULGAR:
        return Token("number", text[place], place, place + 1, (Fraction(*VULGAR[text[place]]),))
    run = RUN.match(text, place)
    if not run:
        return None
    readings = [Fraction(digits.rstrip(".")) for digits in run_readings(run.group())]
    if not readings:
        raise UnreadableError(_("The marks in this number are not clear."), place, run.end())
    if run.end() < len(text) and text[run.end()] in VULGAR and run.group().isdigit():
        value = readings[0] + Fraction(*VULGAR[text[run.end()]])
        return Token("number", text[place : run.end() + 1], place, run.end() + 1, (value,))
    power = _power(text, run.end(), symbols, whole)
    end = power.end() if power else run.end()
    ten = Fraction(10) ** _exponent(next(group for group in power.groups() if group), place) if power else 1
    return Token("number", text[place:end], place, end, tuple(value * ten for value in readings))


def _power(text: str, place: int, symbols: Symbols, whole: bool) -> re.Match[str] | None:
    """The power of ten behind the digits, where it is part of the number."""
    found = None
    if text[place : place + 1] not in symbols:
        found = _E_POWER.match(text, place)
    return found or (_TIMES_TEN.match(text, place) if whole else None)


def _exponent(digits: str, place: int) -> int:
    value = digits.translate(FROM_SUPERSCRIPTS)
    if len(value) > 4 or abs(int(value)) > GREATEST_POWER:
        raise UnreadableError(_("This exponent is too large."), place, place + len(digits))
    return int(value)


def _fault(text: str, place: int, symbols: Symbols) -> UnreadableError:
    """What to say of a character that begins nothing known."""
    end = place
    while end < len(text) and (text[end].isalnum() or text[end] in "_'′°") and not symbols.at(text, end):
        end += 1
    if end == place or not text[place].isalpha():
        return UnreadableError(_("“{text}” does not belong here.").format(text=text[place]), place, place + 1)
    sentence = _("“{symbol}” is not among the symbols to use: {allowed}.")
    allowed = ", ".join(symbols.allowed)
    return UnreadableError(
        sentence.format(symbol=text[place:end], allowed=allowed), place, end, code="unknown_symbol"
    )
