"""Typed text to equations and species."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from problems.chemistry.formula import Formula
from problems.chemistry.reading.arrows import Arrow, arrows
from problems.chemistry.reading.errors import ReadingError
from problems.chemistry.reading.familiar import LEFT, RIGHT, Familiar
from problems.chemistry.reading.faults import check_plus, check_terms, stuck
from problems.chemistry.reading.normal import Typed, normalise
from problems.chemistry.reading.shown import show_term
from problems.chemistry.reading.sums import FREE, Stuck, Sum, read_sum
from problems.chemistry.reading.terms import Term
from problems.words import _

LONGEST = 500
_LABEL = re.compile(r"[^→←<>=]*:")
_END = re.compile(r"[\s.,;]*$")


@dataclass(frozen=True, slots=True)
class ReadSpecies:
    """A species as typed: how many, in what state, and its place in the answer [code points]."""

    species: Formula
    coefficient: Fraction
    states: tuple[str, ...]
    position: int
    length: int

    @property
    def shown(self) -> str:
        return show_term(self.coefficient, self.species, self.states)


Side = tuple[ReadSpecies, ...]


@dataclass(frozen=True, slots=True)
class ReadEquation:
    """An equation as typed, every term by itself; electrons after a minus are on the other side already."""

    left: Side
    right: Side

    @property
    def sides(self) -> tuple[Side, Side]:
        return self.left, self.right

    @property
    def shown(self) -> str:
        """The equation with real subscripts, superscripts and arrow."""
        return " → ".join(" + ".join(one.shown for one in side) for side in self.sides)


def read_equation(source: str, familiar: Familiar | None = None) -> ReadEquation:
    """The equation that `source` means to a reader who expects the species of `familiar`.

    Raises ReadingError with its code, its place and what to do.

    >>> read_equation("Cu-->Cu2++2e-").shown
    'Cu → Cu²⁺ + 2 e⁻'
    """
    familiar = familiar or Familiar()
    typed = prepared(source)
    best = _best(typed, familiar)
    check_terms(typed, best, familiar)
    check_plus(typed, best, familiar)
    return _equation(typed, best)


def read_species(source: str, familiar: Familiar | None = None) -> ReadSpecies:
    """The one species that `source` means; raises ReadingError.

    >>> read_species("SO42-").shown
    'SO₄²⁻'
    """
    familiar = familiar or Familiar()
    typed = prepared(source)
    return _read(typed, _one_species(typed, familiar).terms[0])


def _one_species(typed: Typed, familiar: Familiar) -> Sum:
    """The text as a sum of one term; raises ReadingError."""
    found = read_sum(typed.text, 0, len(typed.text), LEFT, familiar)
    if isinstance(found, Stuck):
        raise stuck(typed, 0, len(typed.text), found.place)
    if len(found.terms) != 1 or found.subtracted:
        second = sorted((*found.terms, *found.subtracted), key=lambda term: term.start)[:2][-1]
        sentence = _("One species is asked for; there are several.")
        raise ReadingError("unreadable", sentence, *typed.span(second.start, second.end))
    check_terms(typed, (found, Sum((), (), FREE)), familiar)
    return found


def possible_equations(source: str, familiar: Familiar, even: bool = False) -> list[ReadEquation]:
    """The chosen reading, then those that differ from it in one species; raises ReadingError.

    With `even`, only those that are as expected as the chosen one.
    """
    typed = prepared(source)
    best = _best(typed, familiar)
    check_terms(typed, best, familiar)
    rivals = [rival for side in best for rival in side.rivals if rival.is_even or not even]
    changed = ((_with(best[0], rival.term), _with(best[1], rival.term)) for rival in rivals)
    return [_equation(typed, sides) for sides in (best, *changed)]


def live_readings(source: str, ions: Iterable[Formula] = ()) -> tuple[str, ...]:
    """How an equation reads to one who knows no key: one reading, or two that stay possible, as shown.

    Raises ReadingError where there is none.

    >>> live_readings("2Br- -> Br2 + 2e-")
    ('2 Br⁻ → Br₂ + 2 e⁻',)
    """
    readings = possible_equations(source, Familiar.with_ions(ions), even=True)
    return _two(reading.shown for reading in readings)


def live_species(source: str, ions: Iterable[Formula] = ()) -> tuple[str, ...]:
    """How a formula reads to one who knows no key: one reading, or two that stay possible, as shown.

    Raises ReadingError where there is none.

    >>> live_species("Br2-")
    ('Br²⁻', 'Br₂⁻')
    """
    typed = prepared(source)
    found = _one_species(typed, Familiar.with_ions(ions))
    even = (rival.term for rival in found.rivals if rival.is_even)
    return _two(_read(typed, term).shown for term in (*found.terms, *even))


def _two(shown: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(shown))[:2]


def prepared(source: str) -> Typed:
    """The text in plain notation without label, full stop and spaces around; raises ReadingError."""
    if len(source) > LONGEST:
        raise ReadingError(
            "unreadable",
            _("The answer is longer than {limit} characters. Write the answer alone.").format(limit=LONGEST),
            LONGEST,
            len(source) - LONGEST,
        )
    typed = normalise(source)
    label = _LABEL.match(typed.text)
    start = label.end() if label else 0
    end = _END.search(typed.text, start)
    stop = end.start() if end else len(typed.text)
    while start < stop and typed.text[start].isspace():
        start += 1
    if start >= stop:
        raise ReadingError("unreadable", _("Nothing is typed."), 0, 0)
    return typed.piece(start, stop)


def _best(typed: Typed, familiar: Familiar) -> tuple[Sum, Sum]:
    """The best reading over all places of the arrow, left side first."""
    places = arrows(typed)
    if not places:
        raise _no_arrow(typed, familiar)
    product = _side(typed, places[0], after=True, familiar=familiar)
    reactants = [_side(typed, place, after=False, familiar=familiar) for place in places]
    read = [side for side in reactants if isinstance(side, Sum)]
    if not read:
        place = next(side.place for side in reactants if isinstance(side, Stuck))
        raise stuck(typed, 0, places[0].start, place)
    if isinstance(product, Stuck):
        raise stuck(typed, places[0].end, len(typed.text), product.place)
    best = min(read, key=lambda side: side.cost)
    return (product, best) if places[0].backwards else (best, product)


def _no_arrow(typed: Typed, familiar: Familiar) -> ReadingError:
    """What to say where no arrow is; the place is where the text stops being a sum of species."""
    found = read_sum(typed.text, 0, len(typed.text), LEFT, familiar)
    place = found.place if isinstance(found, Stuck) else len(typed.text)
    sentence = _("There is no arrow. Write it as -> between the two sides.")
    return ReadingError("unreadable", sentence, *typed.span(place, place + 1))


def _side(typed: Typed, arrow: Arrow, after: bool, familiar: Familiar) -> Sum | Stuck:
    side = RIGHT if after != arrow.backwards else LEFT
    start, stop = (arrow.end, len(typed.text)) if after else (0, arrow.start)
    return read_sum(typed.text, start, stop, side, familiar)


def _equation(typed: Typed, sides: tuple[Sum, Sum]) -> ReadEquation:
    left, right = sides
    return ReadEquation(
        tuple(_read(typed, term) for term in (*left.terms, *right.subtracted)),
        tuple(_read(typed, term) for term in (*right.terms, *left.subtracted)),
    )


def _read(typed: Typed, term: Term) -> ReadSpecies:
    assert term.species is not None
    return ReadSpecies(term.species, term.coefficient, term.states, *typed.span(term.start, term.end))


def _with(side: Sum, rival: Term) -> Sum:
    """The side with a rival reading in the place of the chosen one."""
    terms = tuple(
        rival if (term.start, term.end) == (rival.start, rival.end) else term for term in side.terms
    )
    return Sum(terms, side.subtracted, side.cost)
