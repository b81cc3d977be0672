"""Two sides of an equation as exact amounts by species, and arithmetic on them."""

from collections.abc import Iterable
from fractions import Fraction
from math import gcd

from problems.chemistry.equation import Exact, atoms_on, charge_on
from problems.chemistry.formula import HYDROGEN_ION, HYDROXIDE, WATER, Formula

Amounts = dict[Formula, Fraction]
Sides = tuple[Amounts, Amounts]
Species = frozenset[Formula]
Net = dict[Formula, Fraction]

LEFT, RIGHT = 0, 1
BOTH = (LEFT, RIGHT)


def add(amounts: Amounts, species: Formula, count: Fraction) -> None:
    """Put in, or with a negative count take out; what is left of nothing goes."""
    known = amounts.get(species)
    total = count if known is None else known + count
    if total:
        amounts[species] = total
    else:
        amounts.pop(species, None)


def summed(terms: Iterable[tuple[Formula, Fraction]]) -> Amounts:
    """The same species twice is added up."""
    total: Amounts = {}
    for species, count in terms:
        add(total, species, count)
    return total


def copied(sides: Sides) -> Sides:
    return dict(sides[LEFT]), dict(sides[RIGHT])


def species_on(amounts: Amounts) -> Species:
    """The species of a side, electrons left out of account."""
    return frozenset(species for species in amounts if not species.is_electron)


def strike(sides: Sides, species: Formula) -> None:
    """Take off both sides what stands on both."""
    if all(species in amounts for amounts in sides):
        common = min(amounts[species] for amounts in sides)
        for amounts in sides:
            add(amounts, species, -common)


def on_both(sides: Sides) -> list[Formula]:
    return [species for species in sides[LEFT] if species in sides[RIGHT]]


def net(sides: Sides) -> Net:
    """Right minus left, by species."""
    total = dict(sides[RIGHT])
    for species, count in sides[LEFT].items():
        add(total, species, -count)
    return total


def split(change: Net) -> Sides:
    """The two sides of a net change."""
    return (
        {species: -count for species, count in change.items() if count < 0},
        {species: count for species, count in change.items() if count > 0},
    )


def atoms(amounts: Amounts) -> dict[str, Exact]:
    """Atoms by element on a side."""
    return atoms_on(amounts.items())


def charge(amounts: Amounts) -> Exact:
    """Sum of the charges on a side [elementary charges]."""
    return charge_on(amounts.items())


def is_balanced(sides: Sides) -> bool:
    return atoms(sides[LEFT]) == atoms(sides[RIGHT]) and charge(sides[LEFT]) == charge(sides[RIGHT])


def is_smallest(sides: Sides) -> bool:
    """True for whole numbers without a common factor."""
    counts = [count for side in sides for count in side.values()]
    return all(count.denominator == 1 for count in counts) and gcd(*(int(count) for count in counts)) <= 1


def factor(change: Net, of: Net) -> Fraction | None:
    """The positive number by which one net change is the other; None where there is none."""
    if change.keys() != of.keys() or not of:
        return None
    ratios = {change[species] / count for species, count in of.items()}
    ratio = ratios.pop()
    return ratio if not ratios and ratio > 0 else None


def water_added(change: Net, ion: Formula) -> Net:
    """The net change with H⁺ + OH⁻ for water, so often that an ion falls out."""
    times = change.get(ion, Fraction())
    total = dict(change)
    for species, sign in ((HYDROGEN_ION, -1), (HYDROXIDE, -1), (WATER, 1)):
        add(total, species, sign * times)
    return total
