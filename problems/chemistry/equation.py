"""`Equation`: two sides of species with exact coefficients."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from math import gcd, lcm

from problems.chemistry.formula import Formula
from problems.errors import ProblemError

Side = tuple[tuple[Formula, Fraction], ...]
ARROW = " -> "


class EquationError(ProblemError):
    """A text that is no equation in plain notation."""

    def __init__(self, text: str, reason: str) -> None:
        self.text, self.reason = text, reason
        super().__init__(f"“{text}” is not an equation: {reason}.")


@dataclass(frozen=True, slots=True)
class Equation:
    """A reaction as written: left side, right side, each species once a side with its coefficient.

    >>> cathode = Equation.parse("2 H2O + 2 e^- -> H2 + 2 OH^-")
    >>> cathode.is_balanced
    True
    """

    left: Side
    right: Side

    def __post_init__(self) -> None:
        for side in (self.left, self.right):
            if any(count <= 0 for _, count in side):
                raise ProblemError("Coefficients in an equation are positive.")
            if len({species for species, _ in side}) != len(side):
                raise ProblemError("A species stands once on a side.")

    @classmethod
    def of(cls, left: Mapping[Formula, Fraction | int], right: Mapping[Formula, Fraction | int]) -> "Equation":
        """Build from two mappings species → coefficient; zero coefficients are dropped."""
        return cls(_side(left.items()), _side(right.items()))

    @classmethod
    def parse(cls, text: str) -> "Equation":
        """Read the plain notation of the program's own tables: `2 H2O + 2 e^- -> H2 + 2 OH^-`."""
        sides = text.split(ARROW)
        if len(sides) != 2:
            raise EquationError(text, "it needs one arrow with a space on both sides")
        return cls.of(*(_parse_side(side) for side in sides))

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
        total: dict[Formula, Fraction] = {}
        for side, sign in ((self.left, -1), (self.right, 1)):
            for species, count in side:
                total[species] = total.get(species, Fraction()) + sign * count
        return {species: count for species, count in total.items() if count}

    @property
    def electrons(self) -> Fraction:
        """Electrons on the left minus on the right: positive in a reduction."""
        return -sum((count for species, count in self.net.items() if species.is_electron), Fraction())

    @property
    def is_balanced(self) -> bool:
        """True where atoms and charge agree on both sides."""
        return atoms_on(self.left) == atoms_on(self.right) and charge_on(self.left) == charge_on(self.right)

    def reversed(self) -> "Equation":
        return Equation(self.right, self.left)

    def scaled(self, factor: Fraction | int) -> "Equation":
        """Every coefficient times `factor`, a positive number."""
        left, right = (
            tuple((species, count * Fraction(factor)) for species, count in side)
            for side in (self.left, self.right)
        )
        return Equation(left, right)

    def cancelled(self) -> "Equation":
        """What stands on both sides is taken off both."""
        net = self.net
        return Equation(
            tuple((species, -net[species]) for species, _ in self.left if net.get(species, 0) < 0),
            tuple((species, net[species]) for species, _ in self.right if net.get(species, 0) > 0),
        )

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


def atoms_on(side: Side) -> dict[str, Fraction]:
    """Atoms by element on one side."""
    total: dict[str, Fraction] = {}
    for species, count in side:
        for symbol, number in species.atoms:
            total[symbol] = total.get(symbol, Fraction()) + number * count
    return total


def charge_on(side: Side) -> Fraction:
    """Sum of charges on one side [elementary charges]."""
    return sum((species.charge * count for species, count in side), Fraction())


def overall(cathode: Equation, anode: Equation) -> Equation:
    """The two half-reactions added for equal electrons, cancelled, in smallest whole numbers.

    >>> str(overall(Equation.parse("Cu^2+ + 2 e^- -> Cu"), Equation.parse("2 H2O -> O2 + 4 H^+ + 4 e^-")))
    '2 Cu^2+ + 2 H2O -> 2 Cu + O2 + 4 H^+'
    """
    taken, given = cathode.electrons, -anode.electrons
    if taken <= 0 or given <= 0:
        raise ProblemError("The cathode half-reaction takes electrons and the anode half-reaction gives them.")
    return (cathode.scaled(given) + anode.scaled(taken)).cancelled().smallest_whole()


def _side(items: Iterable[tuple[Formula, Fraction | int]]) -> Side:
    total: dict[Formula, Fraction] = {}
    for species, count in items:
        total[species] = total.get(species, Fraction()) + count
    return tuple((species, count) for species, count in total.items() if count)


def _parse_side(text: str) -> dict[Formula, Fraction]:
    total: dict[Formula, Fraction] = {}
    for term in text.strip().split(" + "):
        words = term.split()
        if len(words) not in (1, 2):
            raise EquationError(text, f"“{term}” is not a coefficient and a formula")
        try:
            count = Fraction(words[0]) if len(words) == 2 else Fraction(1)
        except ValueError:
            raise EquationError(text, f"“{words[0]}” is not a coefficient") from None
        species = Formula.parse(words[-1])
        total[species] = total.get(species, Fraction()) + count
    return total


def _side_text(side: Side) -> str:
    return " + ".join(species.plain if count == 1 else f"{count} {species.plain}" for species, count in side)
