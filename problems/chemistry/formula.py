"""`Formula`: what one particle or formula unit consists of, and its charge."""

import re
from collections import Counter
from dataclasses import dataclass, field
from functools import lru_cache

import periodictable

from problems.errors import ProblemError

SYMBOLS: frozenset[str] = frozenset(element.symbol for element in periodictable.elements) - {"n"}
STATES: tuple[str, ...] = ("s", "l", "g", "aq")

_TOKEN = re.compile(r"([A-Z][a-z]?)|(\d+)|([(\[])|([)\]])|([.·])")
_PLAIN = re.compile(
    r"(?P<body>[A-Za-z0-9()\[\].·]+?)(?:\^(?P<size>\d*)(?P<sign>[+-]))?(?:\((?P<state>s|l|g|aq)\))?"
)


class FormulaError(ProblemError):
    """A text that is no formula in plain notation; `start` is the place [code points]."""

    def __init__(self, text: str, start: int, reason: str) -> None:
        self.text, self.start, self.reason = text, start, reason
        super().__init__(f"“{text}” is not a formula: {reason}.")


class UnknownElement(FormulaError):
    """A symbol that no element has."""

    def __init__(self, text: str, start: int, symbol: str) -> None:
        self.symbol = symbol
        super().__init__(text, start, f"{symbol} is not an element")


@dataclass(frozen=True, slots=True)
class Formula:
    """A species: its atoms and its charge. Two spellings of the same atoms are equal.

    >>> Formula.parse("SO4^2-")
    Formula('SO4^2-')
    >>> Formula.parse("HO^-") == Formula.parse("OH^-")
    True
    """

    atoms: tuple[tuple[str, int], ...]
    charge: int = 0
    body: str = field(default="", compare=False)
    state: str | None = field(default=None, compare=False)

    def __post_init__(self) -> None:
        if not self.atoms and self.charge != -1:
            raise ProblemError("A formula needs at least one atom, or to be the electron.")

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
        return dict(self.atoms).get(symbol, 0)

    @property
    def elements(self) -> frozenset[str]:
        return frozenset(symbol for symbol, _ in self.atoms)

    @property
    def molar_mass(self) -> float:
        """Molar mass [g/mol], from the atomic masses of the periodictable library (IUPAC).

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


ELECTRON = Formula((), -1, "e")


@lru_cache(maxsize=4096)
def _parse(text: str) -> Formula:
    match = _PLAIN.fullmatch(text)
    if not match:
        raise FormulaError(text, 0, "write it like SO4^2- or CuSO4.5H2O")
    body, size, sign, state = match["body"], match["size"], match["sign"], match["state"]
    charge = 0 if sign is None else int(sign + (size or "1"))
    if body == "e" and charge == -1:
        return ELECTRON
    return Formula(atoms_of(body), charge, body.replace("·", "."), state)


@lru_cache(maxsize=4096)
def _molar_mass(atoms: tuple[tuple[str, int], ...]) -> float:
    return float(sum(periodictable.elements.symbol(symbol).mass * count for symbol, count in atoms))


@lru_cache(maxsize=4096)
def atoms_of(body: str) -> tuple[tuple[str, int], ...]:
    """The atoms in a formula without charge, hydrates and groups included, sorted by symbol.

    >>> atoms_of("Al2(SO4)3")
    (('Al', 2), ('O', 12), ('S', 3))

    Raises FormulaError with the place of the fault.
    """
    total: Counter[str] = Counter()
    start = 0
    for part in re.split(r"[.·]", body):
        factor = re.match(r"\d+", part) if start else None
        lead = factor.group() if factor else ""
        for symbol, count in _group(part[len(lead) :], body, start + len(lead)).items():
            total[symbol] += count * int(lead or 1)
        start += len(part) + 1
    return tuple(sorted(total.items()))


def _group(part: str, body: str, offset: int) -> Counter[str]:
    """Count one part of a formula with a stack of open brackets."""
    stack: list[Counter[str]] = [Counter()]
    last: Counter[str] | None = None
    place = 0
    while place < len(part):
        match = _TOKEN.match(part, place)
        if not match:
            raise FormulaError(body, offset + place, f"“{part[place]}” does not belong there")
        symbol, digits, opening, closing, _ = match.groups()
        if symbol:
            if symbol not in SYMBOLS:
                raise UnknownElement(body, offset + place, symbol)
            last = Counter({symbol: 1})
            stack[-1] += last
        elif digits:
            if last is None or digits.startswith("0"):
                raise FormulaError(body, offset + place, "a number must follow a symbol or a bracket")
            stack[-1] += Counter({key: count * (int(digits) - 1) for key, count in last.items()})
            last = None
        elif opening:
            stack.append(Counter())
            last = None
        elif closing:
            if len(stack) == 1 or not stack[-1]:
                raise FormulaError(body, offset + place, "a bracket closes that was not opened")
            last = stack.pop()
            stack[-1] += last
        place = match.end()
    if len(stack) > 1:
        raise FormulaError(body, offset + len(part), "a bracket is not closed")
    if not stack[0]:
        raise FormulaError(body, offset, "a part is empty")
    return stack[0]
