"""All readings of one term: a coefficient, a species, its charge and state, from a place in a text.

A run of digits and signs at the end of a species can often be divided in more than one way, so every
way is given; `sums.py` keeps what fits with the rest of the text and ranks it.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import NamedTuple
from unicodedata import numeric

from problems.chemistry.formula import ELECTRON, LONGEST, Formula
from problems.chemistry.reading.body import atoms_in, is_well_built, symbols_in
from problems.chemistry.reading.normal import HALVES

NESTING = 6
MOST_SIGNS = 8
SETTLED = -1
"""No loose digit can follow: the body has just begun, or its subscript was marked to its end."""

_SPACES = re.compile(r"\s+")
_TIMES = re.compile(r"\s+x\s+|\s*(?:\*\s*)?")
_COEFFICIENT = re.compile(
    rf"\(\s*(\d{{1,4}})\s*/\s*(\d{{1,4}})\s*\)|(\d{{1,4}})\s*/\s*(\d{{1,4}})(?!\d)"
    rf"|(\d{{0,4}})\s?([{HALVES}])|(\d{{0,4}})[.,](\d{{1,4}})(?!\d)|(\d{{1,4}})(?!\d)"
)
_ELECTRON = re.compile(r"(?i:electrons?)|e(?![a-z])")
_STATE = re.compile(
    r"\s*(?:_?\{?\s*[(\[]\s*((?:s|l|g|aq)(?:\|(?:s|l|g|aq))*)\s*[)\]]\s*\}?|_\{\s*(s|l|g|aq)\s*\}|_(s|l|g|aq)(?![a-z]))",
    re.IGNORECASE,
)
_CHARGE_IN_BRACKETS = re.compile(
    r"\s*(?:\^?[(\[]|\^\{\s*[(\[]?)\s*(?:(\d?)\s*(\++|-+)|(\++|-+)\s*(\d))\s*[)\]]?\s*\}?(?<=[)\]}])"
)
_CHARGE_RAISED = re.compile(r"\s*\^\{?\s*(\d)\s*\}?\s*([+-])")
_CHARGE_APART = re.compile(r"\s*(\d)\s*([+-])")
_SIGNS = re.compile(r"\s*(\^?)\s*(\++|-+)")
_DIGIT = re.compile(r"(\d)(?!\d)")
_BRACKETED_ION = re.compile(r"\((?:[^()]|\([^()]*\))*\)|\[[^\[\]]*\]")
_DIGITS = re.compile(r"\d(?:\s*\d)*(?:_\{?\d+\}?)?")
_HYDRATE = re.compile(r"(?:\s*[.*]|\s+x(?=\s))\s*(\d{0,4})\s*(?=[A-Za-z(\[])")
_GROUP_NEXT = re.compile(r"\s+(?=[(\[])")
_LOWERED = re.compile(r"_\{\s*(\d+)\s*\}|_(\d)")
_WRAPPED = re.compile(r"([(\[])[^()\[\]]*[)\]]")


class Body(NamedTuple):
    """The body of a species as it stands in a text; `loose` digits at its end may be a charge."""

    text: str
    start: int
    end: int
    loose: int


class Piece(NamedTuple):
    """A piece of a body: its plain text, how much it fills, loose digits up to it, brackets opened."""

    text: str
    length: int
    loose: int = 0
    opens: int = 0


class Tail(NamedTuple):
    """What follows a body: a charge, states, and how far they go.

    `takes_digit`: the last digit of the body is the size of the charge; `is_doubtful`: the sign stands
    apart, or raised where its digit is not, and is believed only for an ion that is expected.
    """

    charge: int
    states: tuple[str, ...]
    end: int
    takes_digit: bool = False
    is_doubtful: bool = False


@dataclass(frozen=True, slots=True)
class Term:
    """One reading of one term. `species` is None where its symbols or digits are wrong.

    `unusual` is 1 for the less usual division of digits and sign; a term that `is_doubtful` is
    believed only where its species is expected.
    """

    coefficient: Fraction
    species: Formula | None
    states: tuple[str, ...]
    start: int
    end: int
    body: Body
    unusual: int = 0
    is_doubtful: bool = False

    @property
    def charge(self) -> int:
        return self.species.charge if self.species else 0


def terms_at(text: str, start: int, stop: int) -> Iterator[Term]:
    """Every reading of a term that begins at `start`, before `stop`."""
    coefficient, place = _coefficient(text, start, stop)
    electron = _ELECTRON.match(text, place, stop)
    if electron:
        yield from _electrons(text, start, electron, coefficient, stop)
        return
    body = _body(text, place, stop)
    if body is None:
        yield from _in_brackets(text, start, place, stop, coefficient)
        yield from _digits_only(text, start, stop)
        return
    for tail in _tails(text, body, stop):
        yield _term(coefficient, body, tail, start)


def _coefficient(text: str, start: int, stop: int) -> tuple[Fraction | None, int]:
    """The coefficient in front and where it ends: 1 where there is none, None where it is no count."""
    match = _COEFFICIENT.match(text, start, stop)
    if not match:
        return Fraction(1), start
    end = _TIMES.match(text, match.end(), stop).end()  # type: ignore[union-attr]
    top, bottom, over, under, whole, half, integer, decimals, plain = match.groups()
    if half:
        return Fraction(int(whole or 0)) + Fraction(numeric(half)).limit_denominator(100), end
    if decimals:
        return _positive(Fraction(f"{integer or 0}.{decimals}")), end
    if plain:
        return (None if plain.startswith("0") else Fraction(int(plain))), end
    above, below = int(top or over), int(bottom or under)
    return (_positive(Fraction(above, below)) if below else None), end


def _positive(value: Fraction) -> Fraction | None:
    return value if value > 0 else None


def _electrons(
    text: str, start: int, match: re.Match[str], coefficient: Fraction | None, stop: int
) -> Iterator[Term]:
    body = Body(match.group(), match.start(), match.end(), 0)
    for tail in _tails(text, body, stop):
        if tail.charge in (0, -1) and coefficient is not None:
            yield Term(coefficient, ELECTRON, tail.states, start, tail.end, body)


def _in_brackets(
    text: str, start: int, place: int, stop: int, coefficient: Fraction | None
) -> Iterator[Term]:
    """`2(OH-)`: a bracket round a whole ion."""
    closing = _BRACKETED_ION.match(text, place, stop)
    if not closing or coefficient is None:
        return
    inner = closing.end() - 1
    for term in terms_at(text, place + 1, inner):
        if term.charge and term.coefficient == 1 and not text[term.end : inner].strip():
            after = _STATE.match(text, closing.end(), stop)
            states, end = (_states(after), after.end()) if after else (term.states, closing.end())
            yield replace(term, coefficient=coefficient, states=states, start=start, end=end)


def _digits_only(text: str, start: int, stop: int) -> Iterator[Term]:
    """`02` where O2 was meant: a term without letters, kept so that its fault can be named."""
    digits = _DIGITS.match(text, start, stop)
    if digits and "0" in digits.group():
        body = Body(digits.group(), start, digits.end(), 0)
        for tail in _tails(text, body, stop):
            yield Term(Fraction(1), None, tail.states, start, tail.end, body)


def _body(text: str, start: int, stop: int) -> Body | None:
    """The longest run that can be a body, with spaces and marks of subscripts taken out."""
    parts: list[str] = []
    place, depth, loose = start, 0, 0
    while place < stop and (piece := _piece(text, place, stop, depth, loose if parts else SETTLED)):
        parts.append(piece.text)
        place += piece.length
        depth += piece.opens
        loose = piece.loose
    body = "".join(parts)
    if depth or len(body) > LONGEST or not any(one.isalpha() for one in body):
        return None
    return Body(body, start, place, max(loose, 0)) if is_well_built(body) else None


def _piece(text: str, place: int, stop: int, depth: int, loose: int) -> Piece | None:
    """What a body goes on with at a place, after so many loose digits; None where it ends.

    A zero where no digit can stand is a letter O mistyped: it is kept, so that the fault can be named.
    """
    character = text[place]
    if character.isascii() and character.isalpha():
        return Piece(character, 1)
    if character == "0" or (character.isdigit() and loose != SETTLED):
        return Piece(character, 1, loose + 1)
    if character in "([":
        ends = not depth and _is_tail(text, place, stop)
        return None if ends or depth == NESTING else Piece(character, 1, opens=1)
    if character in ")]" and depth:
        return Piece(character, 1, opens=-1)
    lowered = _LOWERED.match(text, place, stop)
    if lowered:
        return Piece(lowered[1] or lowered[2], len(lowered.group()), SETTLED if lowered[1] else 0)
    return _joint(text, place, stop, depth)


def _joint(text: str, place: int, stop: int, depth: int) -> Piece | None:
    """What holds the parts of a body together: a hydrate's dot, or a space at a bracket."""
    hydrate = None if depth else _HYDRATE.match(text, place, stop)
    if hydrate:
        return Piece("." + hydrate[1], len(hydrate.group()))
    space = (_SPACES if depth else _GROUP_NEXT).match(text, place, stop)
    return Piece("", len(space.group())) if space and not _is_tail(text, place, stop) else None


def _is_tail(text: str, place: int, stop: int) -> bool:
    """True where a state or a bracketed charge begins."""
    return bool(_STATE.match(text, place, stop) or _CHARGE_IN_BRACKETS.match(text, place, stop))


def _tails(text: str, body: Body, stop: int) -> Iterator[Tail]:
    """Every way to read what follows a body as a charge and a state, in either order."""
    state = _STATE.match(text, body.end, stop)
    if state:
        states, end = _states(state), state.end()
        yield Tail(0, states, end)
        for tail in _charges(text, end, stop, 0):
            yield tail._replace(states=states)
        return
    yield Tail(0, (), body.end)
    for tail in _charges(text, body.end, stop, body.loose):
        after = _STATE.match(text, tail.end, stop)
        yield tail._replace(states=_states(after), end=after.end()) if after else tail


def _states(match: re.Match[str]) -> tuple[str, ...]:
    found: str = match[1] or match[2] or match[3]
    return tuple(found.lower().split("|"))


def _charges(text: str, place: int, stop: int, loose: int) -> Iterator[Tail]:
    """Every charge that can be read at a place; `loose` digits stand before it."""
    bracketed = _CHARGE_IN_BRACKETS.match(text, place, stop)
    if bracketed:
        digit, signs = bracketed[1] or bracketed[4], bracketed[2] or bracketed[3]
        if not digit or (len(signs) == 1 and digit != "0"):
            yield Tail(_signed(signs, digit), (), bracketed.end())
        if loose and not digit and len(signs) == 1 and text[place] == "^":
            yield Tail(_signed(signs, "1"), (), bracketed.end(), takes_digit=True, is_doubtful=True)
        return
    for pattern in (_CHARGE_RAISED, _CHARGE_APART):
        apart = pattern.match(text, place, stop)
        if apart and apart[1] != "0":
            yield Tail(_signed(apart[2], apart[1]), (), apart.end())
    signs_match = _SIGNS.match(text, place, stop)
    if signs_match:
        yield from _signs(text, signs_match, stop, loose)


def _signs(text: str, match: re.Match[str], stop: int, loose: int) -> Iterator[Tail]:
    """A run of equal signs: all of it the charge, or all but the last, which joins the next term."""
    raised, run = match.groups()
    apart = match.start() != match.start(2) and not raised
    for length in {len(run), len(run) - 1} - {0}:
        if length > MOST_SIGNS:
            continue
        end = match.start(2) + length
        yield Tail(_signed(run[:length], ""), (), end, is_doubtful=apart)
        if length > 1:
            continue
        if loose:
            doubtful = apart or bool(raised)
            yield Tail(_signed(run[0], "1"), (), end, takes_digit=True, is_doubtful=doubtful)
        digit = _DIGIT.match(text, end, stop)
        if digit and digit[1] != "0":
            yield Tail(_signed(run[0], digit[1]), (), digit.end())


def _signed(signs: str, digit: str) -> int:
    size = int(digit) if digit else len(signs)
    return size if signs[0] == "+" else -size


def _term(coefficient: Fraction | None, body: Body, tail: Tail, start: int) -> Term:
    text, charge = body.text, tail.charge
    if tail.takes_digit:
        text, charge = text[:-1], charge * int(text[-1])
    atoms = atoms_in(text)
    bad = atoms is None or coefficient is None or (tail.takes_digit and not charge)
    species = None if bad else Formula(atoms or (), charge, _unwrapped(text))
    number, unusual = coefficient or Fraction(1), _unusual(body, tail)
    return Term(number, species, tail.states, start, tail.end, body, unusual, tail.is_doubtful)


def _unusual(body: Body, tail: Tail) -> int:
    """0 for the usual division of a run of digits and a sign, 1 for the other.

    After one symbol, or a bracket round the whole, the last digit is the charge; after several it is
    a subscript (`NO3-`); of two or more digits the last is the charge (`SO42-`).
    """
    if not body.loose or not tail.charge:
        return 0
    bare = body.text[: -body.loose]
    is_charge = (
        body.loose > 1
        or len(symbols_in(bare)) == 1
        or bool(_WRAPPED.fullmatch(bare))
        or bare != bare.rstrip("0123456789")
    )
    return int(is_charge != tail.takes_digit)


def _unwrapped(text: str) -> str:
    """`(SO4)` without its brackets, for showing; square brackets of a complex stay."""
    inner = text[1:-1]
    return inner if text.startswith("(") and text.endswith(")") and not set("()") & set(inner) else text
