"""`Equation`: two sides of species with exact coefficients."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from math import gcd, lcm

from problems.chemistry.formula import HYDROGEN_ION, HYDRONIUM, HYDROXIDE, WATER, Formula
from problems.errors import ProblemError
from problems.words import _

Exact = int | Fraction
Terms = Iterable[tuple[Formula, Fraction]]
Side = tuple[tuple[Formula, Fraction], ...]
ARROW = " -> "
_COEFFICIENT = re.compile(r"[1-9]\d{0,8}(/[1-9]\d{0,8})?")


class EquationError(ProblemError):
    """A text that is no equation in plain notation."""

    def __init__(self, text: str, reason: str) -> None:
        self.text, self.reason = text, reason
        super().__init__(_("“{text}” is not an equation: {reason}.").format(text=text, reason=reason))


@dataclass(frozen=True, slots=True, eq=False)
class Equation:
    """A reaction as written: left side, right side, each species once a side with its coefficient.

    The order on a side is kept for the reader and does not count: `A + B -> C` equals `B + A -> C`.

    >>> cathode = Equation.parse("2 H2O + 2 e^- -> H2 + 2 OH^-")
    >>> cathode.is_balanced
    True
    """

    left: Side
    right: Side

    def __post_init__(self) -> None:
        for side in (self.left, self.right):
            if any(count.numerator <= 0 for _, count in side):
                raise ProblemError(_("Coefficients in an equation are positive."))
            if len({species for species, _ in side}) != len(side):
                raise ProblemError(_("A species stands once on a side."))

    @classmethod
    def of(
        cls, left: Mapping[Formula, Fraction | int], right: Mapping[Formula, Fraction | int]
    ) -> "Equation":
        """Build from two mappings species → coefficient; zero coefficients are dropped."""
        return cls(_side(left.items()), _side(right.items()))

    @classmethod
    def parse(cls, text: str) -> "Equation":
        """Read the plain notation of the program's own tables: `2 H2O + 2 e^- -> H2 + 2 OH^-`."""
        sides = text.split(ARROW)
        if len(sides) != 2:
            raise EquationError(text, _("it needs one arrow with a space on both sides"))
        return cls(_parse_side(sides[0]), _parse_side(sides[1]))

    @classmethod
    def from_net(cls, net: Mapping[Formula, Fraction]) -> "Equation":
        """The equation whose net change is `net` (products positive, reactants negative)."""
        return cls.of(
            {species: -count for species, count in net.items() if count < 0},
            {species: count for species, count in net.items() if count > 0},
        )

    @property
    def species(self) -> frozenset[Formula]:
        return frozenset(species for species, _ in (*self.left, *self.right))

    @property
    def net(self) -> dict[Formula, Fraction]:
        """The net change by species: right minus left, zeros left out."""
        total = {species: -count for species, count in self.left}
        for species, count in self.right:
            total[species] = total[species] + count if species in total else count
        return {species: count for species, count in total.items() if count}

    @property
    def electrons(self) -> Fraction:
        """Electrons on the left minus on the right: positive in a reduction."""
        taken, given = (
            next((count for species, count in side if species.is_electron), Fraction())
            for side in (self.left, self.right)
        )
        return taken - given

    @property
    def is_balanced(self) -> bool:
        """True where atoms and charge agree on both sides."""
        return atoms_on(self.left) == atoms_on(self.right) and charge_on(self.left) == charge_on(self.right)

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Equation):
            return NotImplemented
        return set(self.left) == set(other.left) and set(self.right) == set(other.right)

    def __hash__(self) -> int:
        return hash((frozenset(self.left), frozenset(self.right)))

    def reversed(self) -> "Equation":
        return Equation(self.right, self.left)

    def scaled(self, factor: Fraction | int) -> "Equation":
        """Every coefficient times `factor`, a positive number."""
        times = Fraction(factor)
        left, right = (
            tuple((species, count * times) for species, count in side) for side in (self.left, self.right)
        )
        return Equation(left, right)

    def cancelled(self) -> "Equation":
        """What stands on both sides is taken off both."""
        net = self.net
        return Equation(
            tuple((species, -net[species]) for species, _ in self.left if net.get(species, 0) < 0),
            tuple((species, net[species]) for species, _ in self.right if net.get(species, 0) > 0),
        )

    def joined(self) -> "Equation":
        """H⁺ (or H₃O⁺) and OH⁻ that stand on one side become water, as far as they pair up.

        >>> str(Equation.parse("2 H^+ + 3 OH^- -> 2 H2O + OH^-").joined())
        'OH^- + 2 H2O -> 2 H2O + OH^-'
        """
        return Equation(_joined(self.left), _joined(self.right))

    def smallest_whole(self) -> "Equation":
        """The same equation in smallest whole numbers."""
        counts = [count for _, count in (*self.left, *self.right)]
        if not counts:
            return self
        denominators = lcm(*(count.denominator for count in counts))
        return self.scaled(Fraction(denominators, gcd(*(int(count * denominators) for count in counts))))

    def __add__(self, other: "Equation") -> "Equation":
        return Equation(_side((*self.left, *other.left)), _side((*self.right, *other.right)))

    def __str__(self) -> str:
        return ARROW.join(_side_text(side) for side in (self.left, self.right))

    def __repr__(self) -> str:
        return f"Equation({str(self)!r})"


def atoms_on(side: Terms) -> dict[str, Exact]:
    """Atoms by element on one side."""
    total: dict[str, Exact] = {}
    for species, count in side:
        times = _whole(count)
        for symbol, number in species.atoms:
            total[symbol] = total.get(symbol, 0) + number * times
    return total


def charge_on(side: Terms) -> Exact:
    """Sum of charges on one side [elementary charges]."""
    return sum(species.charge * _whole(count) for species, count in side)


def _whole(count: Fraction) -> Exact:
    """A whole number as one: it is added up many times faster than a fraction."""
    return count.numerator if count.denominator == 1 else count


def overall(cathode: Equation, anode: Equation) -> Equation:
    """The two half-reactions added for equal electrons, cancelled, in smallest whole numbers.

    H⁺ from one arm and OH⁻ from the other become water. Raises ProblemError where the first does
    not take electrons or the second does not give them.

    >>> str(overall(Equation.parse("Cu^2+ + 2 e^- -> Cu"), Equation.parse("2 H2O -> O2 + 4 H^+ + 4 e^-")))
    '2 Cu^2+ + 2 H2O -> 2 Cu + O2 + 4 H^+'
    >>> water = Equation.parse("2 H2O + 2 e^- -> H2 + 2 OH^-"), Equation.parse("2 H2O -> O2 + 4 H^+ + 4 e^-")
    >>> str(overall(*water))
    '2 H2O -> 2 H2 + O2'
    """
    taken, given = cathode.electrons, -anode.electrons
    if taken <= 0 or given <= 0:
        raise ProblemError(
            _("The cathode half-reaction takes electrons and the anode half-reaction gives them.")
        )
    return (cathode.scaled(given) + anode.scaled(taken)).joined().cancelled().smallest_whole()


def _joined(side: Side) -> Side:
    for acid, waters in ((HYDROGEN_ION, 1), (HYDRONIUM, 2)):
        total = dict(side)
        if acid in total and HYDROXIDE in total:
            pairs = min(total[acid], total[HYDROXIDE])
            side = _side([*side, (acid, -pairs), (HYDROXIDE, -pairs), (WATER, pairs * waters)])
    return side


def _side(items: Iterable[tuple[Formula, Fraction | int]]) -> Side:
    total: dict[Formula, Fraction] = {}
    for species, count in items:
        total[species] = total[species] + count if species in total else Fraction(count)
    return tuple((species, count) for species, count in total.items() if count)


def _parse_side(text: str) -> Side:
    return _side(_parse_term(term) for term in text.strip().split(" + "))


def _parse_term(term: str) -> tuple[Formula, Fraction]:
    *counts, formula = term.split() or [""]
    if len(counts) > 1:
        raise EquationError(term, _("a term is a coefficient and a formula"))
    return Formula.parse(formula), _coefficient(counts[0]) if counts else Fraction(1)


def _coefficient(text: str) -> Fraction:
    if not _COEFFICIENT.fullmatch(text):
        raise EquationError(text, _("a coefficient is a positive number like 2 or 1/2"))
    return Fraction(text)


def _side_text(side: Side) -> str:
    return " + ".join(species.plain if count == 1 else f"{count} {species.plain}" for species, count in side)
