"""`Formula`: what one particle or formula unit consists of, and its charge."""

import re
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import lru_cache

import periodictable

from problems.errors import ProblemError
from problems.words import _

Atoms = tuple[tuple[str, int], ...]

SYMBOLS: frozenset[str] = frozenset(element.symbol for element in periodictable.elements)
STATES: tuple[str, ...] = ("s", "l", "g", "aq")
LONGEST = 100

_PLAIN = re.compile(
    r"(?P<body>[A-Za-z0-9()\[\].·]+?)(?:\^(?P<size>(?:[1-9]\d*)?)(?P<sign>[+-]))?(?:\((?P<state>s|l|g|aq)\))?"
)
_SYMBOL = re.compile(r"[A-Z][a-z]?")
_NUMBER = re.compile(r"[1-9]\d*")
_CLOSING = {"(": ")", "[": "]"}


class FormulaError(ProblemError):
    """A text that is no formula in plain notation; `start` is the place [code points]."""

    def __init__(self, text: str, start: int, reason: str) -> None:
        self.text, self.start, self.reason = text, start, reason
        shown = text if len(text) <= LONGEST else text[:LONGEST] + "…"
        super().__init__(_("“{text}” is not a formula: {reason}.").format(text=shown, reason=reason))


class UnknownElement(FormulaError):  # noqa: N818  (a plain trade word reads better here)
    """A symbol that no element has."""

    def __init__(self, text: str, start: int, symbol: str) -> None:
        self.symbol = symbol
        super().__init__(text, start, _("{symbol} is not an element").format(symbol=symbol))


@dataclass(frozen=True, slots=True)
class Formula:
    """A species: its atoms and its charge. Two spellings of the same atoms are equal.

    `body` is the spelling without the charge, made from the atoms where none is given; `state` is
    the state symbol or None; states that are equally right stand together as "l|aq".

    >>> Formula.parse("SO4^2-")
    Formula('SO4^2-')
    >>> Formula.parse("HO^-") == Formula.parse("OH^-")
    True
    """

    atoms: Atoms
    charge: int = 0
    body: str = field(default="", compare=False)
    state: str | None = field(default=None, compare=False)

    def __post_init__(self) -> None:
        if not self.atoms and self.charge != -1:
            raise ProblemError(_("A formula needs at least one atom, or to be the electron."))
        if self.state is not None and not set(self.state.split("|")) <= set(STATES):
            raise ProblemError(_("“{state}” is not a state: s, l, g or aq.").format(state=self.state))
        if not self.body:
            object.__setattr__(self, "body", _spelling(self.atoms))
        if (atoms_of(self.body) if self.atoms else self.body) != (self.atoms or "e"):
            sentence = _("“{body}” is not a spelling of the atoms given with it.")
            raise ProblemError(sentence.format(body=self.body))

    @classmethod
    def parse(cls, text: str) -> "Formula":
        """Read the plain notation of the program's own tables: `CuSO4.5H2O`, `SO4^2-`, `e^-`, `Br2(aq)`.

        Raises FormulaError (with `start`) for anything else, UnknownElement for a wrong symbol.
        """
        return _parse(text)

    @property
    def is_electron(self) -> bool:
        return not self.atoms

    def count(self, symbol: str) -> int:
        """How many atoms of the element one unit holds."""
        return next((count for element, count in self.atoms if element == symbol), 0)

    @property
    def elements(self) -> frozenset[str]:
        return frozenset(symbol for symbol, _ in self.atoms)

    @property
    def molar_mass(self) -> float:
        """Molar mass [g/mol], from the atomic masses of the periodictable library (IUPAC).

        The mass of an ion is that of its atoms: electrons are left out of account, as is usual.

        >>> round(Formula.parse("CuSO4.5H2O").molar_mass, 1)
        249.7
        """
        return _molar_mass(self.atoms)

    @property
    def plain(self) -> str:
        """The plain notation, without the state: `SO4^2-`."""
        if not self.charge:
            return self.body
        size = "" if abs(self.charge) == 1 else str(abs(self.charge))
        return f"{self.body}^{size}{'+' if self.charge > 0 else '-'}"

    def __str__(self) -> str:
        return self.plain

    def __repr__(self) -> str:
        return f"Formula({self.plain!r})"


@lru_cache(maxsize=4096)
def atoms_of(body: str) -> Atoms:
    """The atoms in a formula without charge, hydrates and groups included, sorted by symbol.

    >>> atoms_of("Al2(SO4)3")
    (('Al', 2), ('O', 12), ('S', 3))

    Raises FormulaError with the place of the fault.
    """
    if len(body) > LONGEST:
        raise FormulaError(body, LONGEST, _("it is too long"))
    total: Counter[str] = Counter()
    start = 0
    for part in re.split(r"[.·]", body):
        end = start + len(part)
        units = _NUMBER.match(part) if start else None
        atoms = _count(body, start + units.end() if units else start, end)
        total.update(_times(atoms, int(units.group()) if units else 1))
        start = end + 1
    return tuple(sorted(total.items()))


def _count(body: str, start: int, end: int) -> Counter[str]:
    """The atoms of one part of a formula that fills `body[start:end]`."""
    atoms, place = _run(body, start, end, closing="")
    if not atoms:
        raise FormulaError(body, place, _("a part is empty"))
    return atoms


def _run(body: str, start: int, end: int, closing: str) -> tuple[Counter[str], int]:
    """The atoms up to the bracket that closes, or to the end, and where that is."""
    total: Counter[str] = Counter()
    place = start
    while place < end and body[place] != closing:
        atoms, place = _unit(body, place, end)
        times = _NUMBER.match(body, place, end)
        if times:
            atoms, place = _times(atoms, int(times.group())), times.end()
        total.update(atoms)
    return total, place


def _unit(body: str, start: int, end: int) -> tuple[Counter[str], int]:
    """One symbol or one bracket, and where it ends."""
    closing = _CLOSING.get(body[start])
    if closing:
        inner, place = _run(body, start + 1, end, closing)
        if place == end or not inner:
            reason = _("a bracket is not closed") if place == end else _("a bracket is empty")
            raise FormulaError(body, start, reason)
        return inner, place + 1
    symbol = _SYMBOL.match(body, start, end)
    if not symbol:
        reason = _("“{character}” does not belong there").format(character=body[start])
        raise FormulaError(body, start, reason)
    if symbol.group() not in SYMBOLS:
        raise UnknownElement(body, start, symbol.group())
    return Counter({symbol.group(): 1}), symbol.end()


def _times(atoms: Counter[str], factor: int) -> Counter[str]:
    return Counter({symbol: count * factor for symbol, count in atoms.items()})


def _spelling(atoms: Atoms) -> str:
    """Carbon and hydrogen first where there is carbon, else by symbol (Hill 1900); "e" without atoms."""
    first = "CH" if any(symbol == "C" for symbol, _ in atoms) else ""
    ordered: Iterable[tuple[str, int]] = sorted(atoms, key=lambda atom: (atom[0] not in first, atom[0]))
    return "".join(symbol + (str(count) if count > 1 else "") for symbol, count in ordered) or "e"


@lru_cache(maxsize=4096)
def _parse(text: str) -> Formula:
    match = _PLAIN.fullmatch(text)
    if not match:
        raise FormulaError(text, 0, _("write it like SO4^2- or CuSO4.5H2O"))
    body, size, sign, state = match["body"], match["size"], match["sign"], match["state"]
    charge = 0 if sign is None else int(sign + (size or "1"))
    if body == "e" and charge == -1:
        return ELECTRON
    return Formula(atoms_of(body), charge, body.replace("·", "."), state)


@lru_cache(maxsize=4096)
def _molar_mass(atoms: Atoms) -> float:
    return float(sum(periodictable.elements.symbol(symbol).mass * count for symbol, count in atoms))


ELECTRON = Formula((), -1, "e")
WATER = Formula.parse("H2O")
HYDROGEN_ION = Formula.parse("H^+")
HYDROXIDE = Formula.parse("OH^-")
HYDRONIUM = Formula.parse("H3O^+")
