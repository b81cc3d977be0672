"""Whole-number coefficients by exact null space: one answer, none, and many are told apart.

A coefficient is an unknown, each element and the charge an equation; the coefficients are the null
space of that matrix over the rational numbers, so nothing is ever rounded or guessed. A negative
coefficient means that the species stands on the wrong side.
Source: P. R. Blakley, "Chemical equation balancing: a general method which is quick, simple, and has
unexpected applications", J. Chem. Educ. 59 (1982) 728 (from memory).
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import gcd
from operator import mul
from typing import Any, Literal

from sympy import QQ
from sympy.polys.matrices import DomainMatrix

from problems.chemistry.equation import Equation, Side
from problems.chemistry.formula import ELECTRON, HYDROGEN_ION, HYDRONIUM, HYDROXIDE, WATER, Formula
from problems.chemistry.medium import in_base
from problems.words import _

Medium = Literal["acid", "base"]
Vector = tuple[Fraction, ...]

HELPERS = frozenset({WATER, HYDROGEN_ION, HYDROXIDE, HYDRONIUM, ELECTRON})


@dataclass(frozen=True, slots=True)
class Balanced:
    """One answer: the equation in smallest whole numbers."""

    equation: Equation


@dataclass(frozen=True, slots=True)
class Unbalanceable:
    """No answer with these species on these sides, and what stands in the way.

    `wrong_side`: would have to move to the other side; `idle`: can take no part; `one_sided`: elements
    that one side lacks. All three may be empty where no single species is to blame.
    """

    wrong_side: tuple[Formula, ...] = ()
    idle: tuple[Formula, ...] = ()
    one_sided: tuple[str, ...] = ()

    @property
    def reason(self) -> str:
        """One sentence for a person."""
        if self.wrong_side:
            return _("On the wrong side: {species}.").format(species=_listed(self.wrong_side))
        if self.one_sided:
            return _("Only one side holds {elements}.").format(elements=", ".join(self.one_sided))
        if self.idle:
            return _("Can take no part: {species}.").format(species=_listed(self.idle))
        return _("No coefficients balance both the atoms and the charge.")


@dataclass(frozen=True, slots=True)
class Undetermined:
    """Many answers: atoms and charge alone do not fix the proportions.

    `reactions` are the smallest ones among the same species, each on its side; every answer is a
    mixture of them at some ratio, and `example` that of all of them at equal parts.
    """

    example: Equation
    reactions: tuple[Equation, ...]


Balancing = Balanced | Unbalanceable | Undetermined


def balance(skeleton: Equation) -> Balancing:
    """Find the coefficients of `skeleton`, whose own coefficients do not count.

    Every species must take part, on the side where it stands.

    >>> balance(Equation.parse("Fe + O2 -> Fe2O3"))
    Balanced(equation=Equation('4 Fe + 3 O2 -> 2 Fe2O3'))
    >>> balance(Equation.parse("H2 + H2O -> O2")).reason
    'On the wrong side: H2.'
    """
    return _System(_species(skeleton.left), _species(skeleton.right)).solve()


def complete(skeleton: Equation, medium: Medium, *, half: bool) -> Balancing:
    """Balance with what the medium supplies: water, H⁺ or OH⁻ and, in a half-reaction, electrons.

    These are worked out, whether and wherever they are written. As few of them enter as will do:
    electrons first, then H⁺, then water; base is acid with OH⁻ added to both sides.

    >>> complete(Equation.parse("MnO4^- -> Mn^2+"), "acid", half=True)
    Balanced(equation=Equation('MnO4^- + 8 H^+ + 5 e^- -> Mn^2+ + 4 H2O'))
    >>> complete(Equation.parse("Cl2 -> Cl^- + ClO3^-"), "base", half=False)
    Balanced(equation=Equation('3 Cl2 + 6 OH^- -> 5 Cl^- + ClO3^- + 3 H2O'))
    """
    left, right = (_without_helpers(_species(side)) for side in (skeleton.left, skeleton.right))
    electrons = (ELECTRON,) if half else ()
    found: Balancing = Unbalanceable()
    for helpers in ((), (HYDROGEN_ION,), (HYDROGEN_ION, WATER)):
        found = _System(left, right, (*helpers, *electrons)).solve()
        if not isinstance(found, Unbalanceable):
            break
    return _in_base(found) if medium == "base" else found


class _System:
    """The unknown coefficients of some species: `left` and `right` positive, `free` of either sign.

    A vector holds one coefficient per species, those on the left counted positive like the others.
    """

    def __init__(
        self, left: Sequence[Formula], right: Sequence[Formula], free: Sequence[Formula] = ()
    ) -> None:
        self.left, self.right, self.free = left, right, free
        self.bound = (*left, *right)
        self.species = (*left, *right, *free)
        self.signs = [-1] * len(left) + [1] * (len(right) + len(free))
        contents = [[each.count(symbol) for each in self.species] for symbol in _elements(self.species)]
        contents.append([each.charge for each in self.species])
        self.rows = [[sign * x for sign, x in zip(self.signs, row, strict=True)] for row in contents]

    def solve(self) -> Balancing:
        vectors = self.null_space()
        if not vectors:
            return self.impossible(wrong_side=(), idle=())
        return self.single(vectors[0]) if len(vectors) == 1 else self.several()

    def null_space(self) -> list[Vector]:
        """A basis of the vectors that keep every element and the charge."""
        if not self.species:
            return []
        sparse = {
            i: {j: QQ(x) for j, x in enumerate(row) if x} for i, row in enumerate(self.rows) if any(row)
        }
        basis = DomainMatrix(sparse, (len(self.rows), len(self.species)), QQ).nullspace()
        return [tuple(map(_fraction, vector)) for vector in basis.to_list()]

    def single(self, vector: Vector) -> Balancing:
        """One dimension: the answer, or the species that the signs blame."""
        coefficients = vector[: len(self.bound)]
        direction = sum((x > 0) - (x < 0) for x in coefficients) or next(filter(None, coefficients), 1)
        vector = tuple(x if direction > 0 else -x for x in vector)
        signed = list(zip(self.bound, vector, strict=False))
        wrong_side = tuple(each for each, x in signed if x < 0)
        idle = tuple(each for each, x in signed if x == 0)
        if wrong_side or idle:
            return self.impossible(wrong_side, idle)
        return Balanced(self.equation(vector))

    def several(self) -> Balancing:
        """More dimensions: many answers where each species takes part in some reaction, else none."""
        vectors = self.smallest_reactions()
        totals = [sum(xs) for xs in zip(*vectors, strict=True)] or [0] * len(self.species)
        idle = tuple(each for each, x in zip(self.bound, totals, strict=False) if x == 0)
        if idle:
            return self.impossible((), idle)
        example = tuple(Fraction(x) for x in totals)
        return Undetermined(self.equation(example), tuple(map(self.equation, vectors)))

    def smallest_reactions(self) -> list[Vector]:
        """The reactions that no smaller choice of the species allows; a free species counts both ways."""
        first_free = len(self.bound)
        rows = [[*row, *(-x for x in row[first_free:])] for row in self.rows]
        merged = []
        for ray in _extreme_rays(rows):
            forward, back = ray[first_free : len(self.species)], ray[len(self.species) :]
            free = (Fraction(x - y) for x, y in zip(forward, back, strict=True))
            merged.append((*map(Fraction, ray[:first_free]), *free))
        return [vector for vector in merged if any(vector[:first_free])]

    def equation(self, vector: Vector) -> Equation:
        """The reaction with these coefficients; a negative one moves its species to the other side."""
        net: dict[Formula, Fraction] = {}
        for sign, species, x in zip(self.signs, self.species, vector, strict=True):
            net[species] = net.get(species, Fraction()) + sign * x
        return Equation.from_net(net).smallest_whole()

    def impossible(self, wrong_side: tuple[Formula, ...], idle: tuple[Formula, ...]) -> Unbalanceable:
        """With the elements that one side lacks and nothing free could supply."""
        one_sided = set(_elements(self.left)) ^ set(_elements(self.right))
        return Unbalanceable(wrong_side, idle, tuple(sorted(one_sided - set(_elements(self.free)))))


def _extreme_rays(rows: Sequence[Sequence[int]]) -> list[tuple[int, ...]]:
    """The smallest vectors without negative entries that every row takes to zero.

    Row by row, a vector that gives too much is mixed with one that gives too little, and of the mixtures
    only those stay that use no more entries than they must (double description method: S. Schuster and
    C. Hilgetag, J. Biol. Syst. 2 (1994) 165, from memory).
    """
    size = len(rows[0])
    rays = [tuple(int(i == j) for j in range(size)) for i in range(size)]
    for row in rows:
        values = {ray: sum(map(mul, row, ray)) for ray in rays}
        mixed = [
            _mixed(one, x, other, -y) for one, x in values.items() for other, y in values.items() if x > 0 > y
        ]
        rays = _smallest([*(ray for ray, value in values.items() if value == 0), *mixed])
    return rays


def _mixed(one: tuple[int, ...], surplus: int, other: tuple[int, ...], lack: int) -> tuple[int, ...]:
    entries = [lack * x + surplus * y for x, y in zip(one, other, strict=True)]
    divisor = gcd(*entries)
    return tuple(entry // divisor for entry in entries)


def _smallest(rays: Iterable[tuple[int, ...]]) -> list[tuple[int, ...]]:
    """Those whose entries are not all used by another one with fewer."""
    supports = {ray: frozenset(i for i, x in enumerate(ray) if x) for ray in rays}
    return [ray for ray, used in supports.items() if not any(other < used for other in supports.values())]


def _fraction(exact: Any) -> Fraction:
    """The same number from sympy's exact types."""
    return Fraction(int(exact.numerator), int(exact.denominator))


def _elements(species: Iterable[Formula]) -> list[str]:
    return sorted({symbol for each in species for symbol in each.elements})


def _species(side: Side) -> tuple[Formula, ...]:
    return tuple(species for species, _count in side)


def _without_helpers(species: Sequence[Formula]) -> tuple[Formula, ...]:
    return tuple(each for each in species if each not in HELPERS)


def _in_base(found: Balancing) -> Balancing:
    if isinstance(found, Balanced):
        return Balanced(in_base(found.equation))
    if isinstance(found, Undetermined):
        return Undetermined(in_base(found.example), tuple(map(in_base, found.reactions)))
    return found


def _listed(species: Sequence[Formula]) -> str:
    return ", ".join(each.plain for each in species)
