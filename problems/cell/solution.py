"""What is dissolved in one arm, and its pH by charge balance.

A solution is kept as amounts of *parts*: each strong ion by itself, all sulfate, all carbonate and all
ammonium together, each metal ion with its hydroxide. Hydrogen and hydroxide ions are never kept: the
charge balance gives them. Activities are set aside; constants hold at 25 °C.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from math import log10, sqrt

from problems.cell import tables
from problems.chemistry.formula import Formula

PKW: float = float(tables.document("water")["school"]["pkw"])
KW: float = 10.0**-PKW
LOWEST, HIGHEST = -2.0, 16.0
Terms = tuple[Callable[[float], float], ...]


@dataclass(frozen=True, slots=True)
class Part:
    """One part: its name, its ions from few to many charges; a strong ion has itself alone."""

    name: str
    ions: tuple[tables.Ion, ...]
    weak: bool


@lru_cache(maxsize=1)
def parts() -> Mapping[str, Part]:
    """All parts by name."""
    grouped: dict[str, list[tables.Ion]] = {}
    for ion in tables.ions().values():
        if ion.formula.plain not in ("H^+", "OH^-"):
            grouped.setdefault(ion.part, []).append(ion)
    metals = {metal.ion.plain for metal in tables.metals().values()}
    weak = set(tables.acids()) | metals
    return {
        name: Part(name, tuple(sorted(ions, key=lambda ion: abs(ion.formula.charge))), name in weak)
        for name, ions in grouped.items()
    }


def dissolve(row: tables.Electrolyte, molarity: float) -> dict[str, float]:
    """The parts [mol/L] of a fresh solution of `molarity` [mol/L]."""
    content: dict[str, float] = {}
    for ion, count in row.ions.items():
        if ion.plain not in ("H^+", "OH^-"):
            part = tables.ions()[ion].part
            content[part] = content.get(part, 0.0) + count * molarity
    return content


def ph(content: Mapping[str, float], offset: float = 0.0, start: float | None = None) -> float:
    """The pH at which charges balance.

    `content`: parts [mol/L]; `offset`: charge of anything else [mol/L], as of the drop of acid or base
    that brings a solution to its start pH; `start`: a pH near the answer, which saves time.

    Source: charge balance with the constants of `equilibria.toml`; pKw = 14.00.

    >>> round(ph({"Na^+": 0.1, "carbonate": 0.1}), 2)
    8.34
    """
    fixed, terms = _balance(content)
    fixed += offset
    if not terms:
        half = fixed / 2
        root = sqrt(half * half + KW)
        hydrogen = root - half if fixed <= 0 else KW / (root + half)
        return -log10(hydrogen)
    return _bisect(fixed, terms, start)


def imbalance(content: Mapping[str, float], at: float) -> float:
    """The charge [mol/L] left over at a pH of `at`; its negative is the offset that makes this the pH."""
    fixed, terms = _balance(content)
    hydrogen = 10.0**-at
    return float(fixed + hydrogen - KW / hydrogen + sum(term(hydrogen) for term in terms))


def _bisect(fixed: float, terms: Terms, start: float | None) -> float:
    """Halve an interval of pH on the charge, which falls as the pH rises."""

    def charge(value: float) -> float:
        hydrogen = 10.0**-value
        total: float = fixed + hydrogen - KW / hydrogen
        for term in terms:
            total += term(hydrogen)
        return total

    low, high = _bracket(charge, start)
    while high - low > 1e-5:
        middle = (low + high) / 2
        if charge(middle) > 0:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def _bracket(charge: Callable[[float], float], start: float | None) -> tuple[float, float]:
    if start is None:
        return LOWEST, HIGHEST
    step = 0.05
    if charge(start) > 0:
        while start + step < HIGHEST and charge(start + step) > 0:
            step *= 4
        return start, min(start + step, HIGHEST)
    while start - step > LOWEST and charge(start - step) <= 0:
        step *= 4
    return max(start - step, LOWEST), start


def _balance(content: Mapping[str, float]) -> tuple[float, Terms]:
    """The charge of the strong ions [mol/L], and for each weak part its charge as a function of [H⁺]."""
    known = parts()
    fixed = 0.0
    terms: list[Callable[[float], float]] = []
    for name, amount in content.items():
        part = known[name]
        if not part.weak:
            fixed += part.ions[0].formula.charge * amount
        elif amount > 0:
            terms.append(_TERMS.get(name, _metal)(amount, part))
    return fixed, tuple(terms)


@lru_cache(maxsize=1)
def _constants() -> dict[str, float]:
    return {name: 10.0**-acid.pka for name, acid in tables.acids().items()}


def _sulfate(amount: float, part: Part) -> Callable[[float], float]:
    constant = _constants()["sulfate"]
    return lambda hydrogen: -amount * (2 - hydrogen / (hydrogen + constant))


def _carbonate(amount: float, part: Part) -> Callable[[float], float]:
    first, second = _constants()["carbonic"], _constants()["carbonate"]

    def charge(hydrogen: float) -> float:
        single, double = hydrogen * first, first * second
        return -amount * (single + 2 * double) / (hydrogen * hydrogen + single + double)

    return charge


def _ammonium(amount: float, part: Part) -> Callable[[float], float]:
    constant = _constants()["ammonium"]
    return lambda hydrogen: amount * hydrogen / (hydrogen + constant)


def _metal(amount: float, part: Part) -> Callable[[float], float]:
    ion = part.ions[0].formula
    row, size = tables.metals()[ion], ion.charge

    def charge(hydrogen: float) -> float:
        free, first, dimer = _metal_forms(row, amount, hydrogen)
        return size * free + (size - 1) * first + 2 * (size - 1) * dimer

    return charge


def _metal_forms(row: tables.Metal, amount: float, hydrogen: float) -> tuple[float, float, float]:
    """Of `amount` [mol/L] of a metal: free ions, first hydrolysis product, dimer; the rest is solid."""
    ceiling = row.ksp / (KW / hydrogen) ** row.ion.charge
    if row.log_dimer is not None:
        ratio = 10.0**row.log_dimer / (hydrogen * hydrogen)
        free = 2 * amount / (1 + sqrt(1 + 8 * ratio * amount))
        free = min(free, ceiling)
        return free, 0.0, ratio * free * free
    ratio = 0.0 if row.pka is None else 10.0**-row.pka / hydrogen
    free = min(amount / (1 + ratio), ceiling)
    return free, ratio * free, 0.0


_TERMS: dict[str, Callable[[float, Part], Callable[[float], float]]] = {
    "sulfate": _sulfate,
    "carbonate": _carbonate,
    "ammonium": _ammonium,
}


def concentrations(content: Mapping[str, float], at: float) -> dict[Formula, float]:
    """Every ion [mol/L] of a solution whose pH is `at`, hydrogen and hydroxide included.

    Metal ions count as long as they are dissolved; their hydrolysis products are counted with them.
    """
    hydrogen = 10.0**-at
    found: dict[Formula, float] = {_H: hydrogen, _OH: KW / hydrogen}
    constants = _constants()
    for name, amount in content.items():
        part = parts()[name]
        if not part.weak:
            found[part.ions[0].formula] = amount
        elif name == "sulfate":
            single = hydrogen / (hydrogen + constants[name])
            found[_HSO4], found[_SO4] = amount * single, amount * (1 - single)
        elif name == "carbonate":
            single, double = hydrogen * constants["carbonic"], constants["carbonic"] * constants["carbonate"]
            total = hydrogen * hydrogen + single + double
            found[_HCO3], found[_CO3] = amount * single / total, amount * double / total
        elif name == "ammonium":
            found[_NH4] = amount * hydrogen / (hydrogen + constants[name])
        else:
            found[part.ions[0].formula] = amount - solid(name, amount, at)
    return found


def solid(name: str, amount: float, at: float) -> float:
    """How much of a metal part [mol/L] has come out as hydroxide at a pH of `at`."""
    row = tables.metals().get(parts()[name].ions[0].formula)
    if row is None or amount <= 0:
        return 0.0
    free, first, dimer = _metal_forms(row, amount, 10.0**-at)
    left = amount - free - first - 2 * dimer
    return left if left > 1e-9 * amount else 0.0


_H, _OH = Formula.parse("H^+"), Formula.parse("OH^-")
_SO4, _HSO4 = Formula.parse("SO4^2-"), Formula.parse("HSO4^-")
_CO3, _HCO3, _NH4 = Formula.parse("CO3^2-"), Formula.parse("HCO3^-"), Formula.parse("NH4^+")
