"""One side of an equation: terms joined by plus, chosen from all readings of the text.

Every reading of every term that begins where the last one ended is followed up, and of all ways
through the text the one with the most expected species is kept. A place in the text is visited once,
so the work grows with the length of the text only.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import NamedTuple

from problems.chemistry.reading.familiar import KEY_THERE, KNOWN, UNREAD, Familiar
from problems.chemistry.reading.terms import Term, terms_at

Cost = tuple[int, int]
FREE: Cost = (0, 0)


class Rival(NamedTuple):
    """Another reading of the same stretch of text; `is_even` where it is as expected as the chosen one."""

    term: Term
    is_even: bool


@dataclass(frozen=True, slots=True)
class Sum:
    """The best reading of a side: terms with their sign, and what other readings cost the same."""

    terms: tuple[Term, ...]
    subtracted: tuple[Term, ...]
    cost: Cost
    rivals: tuple[Rival, ...] = ()


@dataclass(frozen=True, slots=True)
class Stuck:
    """No way through the text: the farthest place reached."""

    place: int


@dataclass(frozen=True, slots=True)
class _Step:
    """A term and the cheapest way to it; `sign` is the one in front of the term."""

    cost: Cost
    term: Term
    sign: str
    before: "_Step | None"


def read_sum(text: str, start: int, stop: int, side: int, familiar: Familiar) -> Sum | Stuck:
    """The best reading of `text[start:stop]` as a sum of terms."""
    begin = _skip(text, start, stop)
    ways: dict[tuple[int, str], _Step | None] = {(begin, "+"): None}
    if begin < stop and text[begin] == "-":
        ways = {(_skip(text, begin + 1, stop), "-"): None}
    best: _Step | None = None
    farthest = begin
    while ways:
        place, sign = min(ways)
        before = ways.pop((place, sign))
        farthest = max(farthest, place)
        for step in _steps(text, place, stop, sign, before, side, familiar):
            end = _skip(text, step.term.end, stop)
            farthest = max(farthest, end)
            if end == stop:
                best = _cheaper(best, step)
            elif text[end] in "+-":
                onward = (_skip(text, end + 1, stop), text[end])
                ways[onward] = _cheaper(ways.get(onward), step)
    return _finished(best, side, familiar, text) if best else Stuck(farthest)


def _steps(
    text: str, place: int, stop: int, sign: str, before: _Step | None, side: int, familiar: Familiar
) -> Iterator[_Step]:
    sofar = before.cost if before else FREE
    for term in terms_at(text, place, stop):
        if sign == "-" and not (term.species and term.species.is_electron):
            continue
        rank = familiar.rank(term.species, side) if term.species else 10 * UNREAD
        if term.is_doubtful and not (rank <= KEY_THERE or rank == KNOWN):
            continue
        yield _Step((sofar[0] + rank, sofar[1] + term.unusual), term, sign, before)


def _cheaper(one: _Step | None, other: _Step) -> _Step:
    return one if one is not None and one.cost <= other.cost else other


def _finished(last: _Step, side: int, familiar: Familiar, text: str) -> Sum:
    terms: list[Term] = []
    subtracted: list[Term] = []
    step: _Step | None = last
    while step:
        (terms if step.sign == "+" else subtracted).append(step.term)
        step = step.before
    rivals = () if familiar.has_key else _rivals(terms, side, familiar, text)
    return Sum(tuple(reversed(terms)), tuple(reversed(subtracted)), last.cost, rivals)


def _rivals(terms: list[Term], side: int, familiar: Familiar, text: str) -> tuple[Rival, ...]:
    """Other readings of the stretches of text that the chosen terms fill."""
    return tuple(
        Rival(other, familiar.rank(other.species, side) == familiar.rank(term.species, side))
        for term in terms
        if term.species
        for other in terms_at(text, term.start, term.end)
        if other.end == term.end and other.species and other.species != term.species
    )


def _skip(text: str, place: int, stop: int) -> int:
    while place < stop and text[place].isspace():
        place += 1
    return place
