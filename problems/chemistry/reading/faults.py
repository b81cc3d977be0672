"""Why a text cannot be read, and what was meant: letter case, look-alikes, unknown symbols, a lost plus."""

import re
from collections.abc import Iterator
from functools import lru_cache
from itertools import chain, combinations, islice, product
from typing import NamedTuple

import periodictable

from problems.chemistry.formula import SYMBOLS, Formula
from problems.chemistry.reading.body import LETTERS, SYMBOL
from problems.chemistry.reading.errors import Fault, ReadingError
from problems.chemistry.reading.familiar import LEFT, RIGHT, Familiar
from problems.chemistry.reading.normal import Typed
from problems.chemistry.reading.sums import Sum
from problems.chemistry.reading.terms import Term, terms_at
from problems.words import _

ALIKE = {"0": "O", "1": "l", "I": "l"}
MOST_ALIKE = 6
MOST_RECASED = 64
MOST_ATTEMPTS, READING, LOOK = 600, 10, 1
ELECTRON = re.compile(r"[\d\s/.,*]*e[\s^{}()1-]*")
LONGEST_RUN = 12
_MARKS = re.compile(r"([_^])\{([^{}]*)\}")
WORD = re.compile(r"[a-z]{4,}")
ORDER: tuple[Fault, ...] = ("unreadable", "letter_case", "look_alike", "unknown_element")

_NUMBERS = {element.symbol: element.number for element in periodictable.elements}


class Found(NamedTuple):
    """A fault of one term, and where in the plain text it is."""

    code: Fault
    sentence: str
    start: int
    end: int
    suggestion: str = ""


class Attempts:
    """How much may still be tried for one answer: the bound on the work."""

    def __init__(self) -> None:
        self.left = MOST_ATTEMPTS

    def spend(self, cost: int) -> bool:
        """True while there is something left to spend."""
        self.left -= cost
        return self.left > 0

    def read(self, text: str) -> Iterator[Term]:
        """Readings of a text as one term."""
        if not self.spend(READING):
            return iter(())
        text = text.strip()
        return (term for term in terms_at(text, 0, len(text)) if term.end == len(text))

    def gives_key(self, text: str, familiar: Familiar) -> bool:
        """True where a changed text reads as a species of the key, or as the electron."""
        symbols = {*SYMBOL.findall(text)}
        if not self.spend(LOOK) or not any(species.elements <= symbols for species in familiar.key):
            return bool(ELECTRON.fullmatch(text))
        return any(new.species in familiar.key for new in self.read(text))


def check_terms(typed: Typed, sides: tuple[Sum, Sum], familiar: Familiar) -> None:
    """Raises ReadingError for the gravest fault of the terms, if any has one.

    A change of letter case is of no use where another symbol stays unknown.
    """
    terms = [(term, side) for side in (LEFT, RIGHT) for term in (*sides[side].terms, *sides[side].subtracted)]
    suspects = sorted(
        ((term, side) for term, side in terms if _is_suspect(term, familiar)),
        key=lambda suspect: suspect[0].species is not None,
    )
    attempts = Attempts()
    faults = (_fault(typed, term, side, familiar, attempts) for term, side in suspects)
    found = [fault for fault in faults if fault]
    if any(fault.code == "unknown_element" for fault in found):
        found = [fault for fault in found if fault.code != "letter_case"]
    if not found:
        return
    worst = min(found, key=lambda fault: (ORDER.index(fault.code), fault.start))
    raise ReadingError(
        worst.code, worst.sentence, *typed.span(worst.start, worst.end), suggestion=worst.suggestion
    )


def _is_suspect(term: Term, familiar: Familiar) -> bool:
    if term.species is None:
        return True
    return familiar.has_key and not term.species.is_electron and term.species not in familiar.key


def _fault(typed: Typed, term: Term, side: int, familiar: Familiar, attempts: Attempts) -> Found | None:
    """What is wrong with a term that has no species, or one that the key does not have."""
    if familiar.has_key and term.end - term.start <= familiar.longest:
        meant = _recased_to_key(typed.text, term, familiar, attempts)
        meant = meant or _alike_to_key(typed.text, term, familiar, attempts)
        if meant:
            return meant
    return None if term.species else _unread(typed.text, term, side, familiar, attempts)


def _unread(text: str, term: Term, side: int, familiar: Familiar, attempts: Attempts) -> Found:
    body = term.body
    if WORD.search(text, body.start, body.end):
        return Found("unreadable", _("This cannot be read as a formula."), body.start, body.end)
    for run in LETTERS.finditer(text, body.start, body.end):
        if not _spellings(run.group()):
            return _unknown(run)
    if not (text[body.start : body.end].isdigit() or _is_cased(text, term)):
        readable = [
            (other, new)
            for other in islice(_recased(text, term), MOST_ALIKE)
            for new in attempts.read(other)
            if new.species
        ]
        if readable:
            best, _term = min(readable, key=lambda pair: _strangeness(pair[1].species, side, familiar))
            return _letter_case(text, term, best)
    sentence = _("“{typed}” cannot be read: a number in it is out of place or too large.")
    return Found("unreadable", sentence.format(typed=text[term.start : term.end]), term.start, term.end)


def _strangeness(species: Formula | None, side: int, familiar: Familiar) -> tuple[int, int]:
    assert species is not None
    heaviest = max((_NUMBERS[symbol] for symbol in species.elements), default=0)
    return familiar.rank(species, side), heaviest


def _unknown(run: re.Match[str]) -> Found:
    """The first symbol in a run of letters that no element has."""
    first = next(
        (symbol for symbol in SYMBOL.finditer(run.group()) if symbol.group() not in SYMBOLS),
        re.match(r".*", run.group()),
    )
    assert first is not None
    start = run.start() + first.start()
    sentence = _("{symbol} is not the symbol of an element.").format(symbol=first.group())
    return Found("unknown_element", sentence, start, start + len(first.group()))


def _is_cased(text: str, term: Term) -> bool:
    """True where the letters are symbols as typed, so that letter case is not what is wrong."""
    runs = LETTERS.findall(text, term.body.start, term.body.end)
    return all(symbol in SYMBOLS for run in runs for symbol in SYMBOL.findall(run))


def _recased_to_key(text: str, term: Term, familiar: Familiar, attempts: Attempts) -> Found | None:
    """A change of letter case alone that makes one of the key's species, look-alikes put right too."""
    others = [
        other for other in islice(_recased(text, term), MOST_RECASED) if other != text[term.start : term.end]
    ]
    for changed in chain(others, chain.from_iterable(_alike(other) for other in others)):
        if attempts.gives_key(changed, familiar):
            return _letter_case(text, term, changed)
    return None


def _letter_case(text: str, term: Term, changed: str) -> Found:
    body, shift = term.body, term.start
    typed, meant = _bare(text[body.start : term.end]), _bare(changed[body.start - shift :])
    sentence = _("Write “{meant}” for “{typed}”: capital and small letters tell elements apart.")
    return Found("letter_case", sentence.format(meant=meant, typed=typed), body.start, body.end, meant)


def _alike_to_key(text: str, term: Term, familiar: Familiar, attempts: Attempts) -> Found | None:
    """Look-alikes put right that make one of the key's species."""
    typed = text[term.start : term.end]
    for changed in _alike(typed):
        if attempts.gives_key(changed, familiar):
            places = [
                place for place, pair in enumerate(zip(typed, changed, strict=True)) if pair[0] != pair[1]
            ]
            sentence = _(
                "Write “{meant}” for “{typed}”: a digit or letter stands for one that looks like it."
            )
            return Found(
                "look_alike",
                sentence.format(meant=_bare(changed), typed=_bare(typed)),
                term.start + places[0],
                term.start + places[-1] + 1,
                _bare(changed),
            )
    return None


def _bare(text: str) -> str:
    """The text without the marks of subscripts and the braces of superscripts."""
    return _MARKS.sub(lambda match: f"^{match[2]}" if match[1] == "^" else match[2], text).strip()


def _alike(text: str) -> Iterator[str]:
    """The text with look-alikes changed, the fewest changes first."""
    places = [place for place, one in enumerate(text) if one in ALIKE][:MOST_ALIKE]
    for size in range(1, len(places) + 1):
        for chosen in combinations(places, size):
            yield "".join(ALIKE[one] if place in chosen else one for place, one in enumerate(text))


def _recased(text: str, term: Term) -> Iterator[str]:
    """The term's text with the letters of its body spelled as symbols in every possible way."""
    runs = list(LETTERS.finditer(text, term.body.start, term.body.end))
    for spelled in product(*(_spellings(run.group()) for run in runs)):
        changed = list(text[term.start : term.end])
        for run, letters in zip(runs, spelled, strict=True):
            changed[run.start() - term.start : run.end() - term.start] = letters
        yield "".join(changed)


@lru_cache(maxsize=1024)
def _spellings(letters: str) -> tuple[str, ...]:
    """The ways to write a run of letters as symbols of elements; `e` for an electron alone.

    >>> _spellings("PBI")
    ('PBI', 'PBi', 'PbI')
    """
    if len(letters) > LONGEST_RUN:
        return ()
    return (("e",) if letters in "eE" else ()) + tuple(islice(_spelled(letters), MOST_RECASED))


def _spelled(letters: str) -> Iterator[str]:
    if not letters:
        yield ""
    for length in (1, 2):
        symbol = letters[:length].capitalize()
        if len(symbol) == length and symbol in SYMBOLS:
            for rest in _spelled(letters[length:]):
                yield symbol + rest


def check_plus(typed: Typed, sides: tuple[Sum, Sum], familiar: Familiar) -> None:
    """Raises ReadingError where one plus was typed for a charge and for the sum (`Cu2+2e-`)."""
    for side, wanted in ((LEFT, familiar.left), (RIGHT, familiar.right)):
        for term in sides[side].terms:
            if (
                term.species
                and term.species not in wanted
                and _lost_plus(typed, term, sides[side], side, familiar)
            ):
                raise ReadingError(
                    "unreadable",
                    _("Write + between the species, beside the + of the charge."),
                    *typed.span(term.start, term.end + 1),
                )


def _lost_plus(typed: Typed, term: Term, sides: Sum, side: int, familiar: Familiar) -> bool:
    """True where the plus after a term would, if doubled, make it a species of the key's."""
    rest = typed.text[term.end :]
    if not rest.lstrip().startswith("+") or term.charge:
        return False
    for new in Attempts().read(typed.text[term.start : term.end] + "+"):
        if new.species not in familiar.key or new.species is None:
            continue
        if term.species in familiar.key:
            wanted = familiar.left if side == LEFT else familiar.right
            typed_here = {one.species for one in sides.terms if one is not term}
            return rest.startswith("+") and {one for one in typed_here if one} | {new.species} == wanted
        return rest.startswith("+") or (term.species is not None and new.species.atoms != term.species.atoms)
    return False


def stuck(typed: Typed, start: int, stop: int, place: int) -> ReadingError:
    """Why a side could not be read on from a place."""
    text = typed.text[start:stop]
    if not text.strip():
        where = _("Nothing stands before the arrow.") if start == 0 else _("Nothing stands after the arrow.")
        return ReadingError("unreadable", where, *typed.span(place, place + 1))
    opened = _unclosed(text)
    if opened is not None:
        return ReadingError(
            "unreadable", _("A bracket is not closed."), *typed.span(start + opened, start + opened + 1)
        )
    if place >= stop:
        sign = start + len(text.rstrip()) - 1
        sentence = _("A species is missing after the sign.")
        return ReadingError("unreadable", sentence, *typed.span(sign, sign + 1))
    return ReadingError("unreadable", _stuck_at(typed.text, place), *typed.span(place, place + 1))


def _stuck_at(text: str, place: int) -> str:
    if text[:place].rstrip().endswith("-"):
        return _("After a minus only electrons can stand.")
    if text[place].isalnum():
        return _("Reading stopped here: write + between the species.")
    return _("Reading stopped here: this cannot be read.")


def _unclosed(text: str) -> int | None:
    """The place of a bracket that is never closed."""
    opened: list[int] = []
    for place, character in enumerate(text):
        if character in "([":
            opened.append(place)
        elif character in ")]" and opened:
            opened.pop()
    return opened[0] if opened else None
