"""What is done to an equation before species are compared: each step in its order, with its code.

    1. H₃O⁺ becomes H⁺ and water; that water is struck first
    2. whole formulas of strong electrolytes become ions, where the key is ionic
    3. foreign ions on both sides are struck, in whatever amounts
    4. what stands on both sides is cancelled
    5. H⁺ and OH⁻ on one side are joined to water

The key goes through the same steps; nobody reads the codes found in it.
"""

from dataclasses import dataclass, field, replace
from fractions import Fraction

from problems.chemistry.formula import ELECTRON, HYDROGEN_ION, HYDRONIUM, HYDROXIDE, WATER, Formula
from problems.chemistry.reading import ReadEquation
from problems.grading.equations.electrolytes import ions_of
from problems.grading.equations.sides import (
    BOTH,
    LEFT,
    RIGHT,
    Amounts,
    Sides,
    Species,
    add,
    copied,
    on_both,
    species_on,
    strike,
    summed,
)

NOTHING: Species = frozenset()
HALF_REACTION, NET_IONIC, OVERALL = "half_reaction", "net_ionic", "overall"
ROLES = (HALF_REACTION, NET_IONIC, OVERALL)


@dataclass(frozen=True, slots=True)
class Frame:
    """What the steps need to know of the key.

    `typed` are its species as written, `left` and `right` those that are left after the steps
    (empty while the key itself goes through them: `of_key`).
    """

    role: str
    typed: Species
    ionise: bool
    whole_key: bool = False
    of_key: bool = False
    keeps_water_ions: bool = False
    cancels: bool = True
    left: Species = NOTHING
    right: Species = NOTHING

    @property
    def sides(self) -> tuple[Species, Species]:
        return self.left, self.right

    @property
    def species(self) -> Species:
        return self.left | self.right


@dataclass(slots=True)
class Work:
    """An equation on its way through the steps, and what was found on it."""

    typed: Sides
    sides: Sides
    names: dict[Formula, Formula] = field(default_factory=dict)
    whole: tuple[Species, Species] = (NOTHING, NOTHING)
    has_hydronium: bool = False
    water_typed: tuple[bool, bool] = (False, False)
    spectators: list[Formula] = field(default_factory=list)
    not_cancelled: list[Formula] = field(default_factory=list)
    side_by_side: bool = False
    electrons_typed: tuple[bool, bool] = (False, False)

    @property
    def has_electrons(self) -> bool:
        return any(self.electrons_typed)


def typed_sides(read: ReadEquation) -> Sides:
    """The two sides of an equation as read."""
    left, right = (summed((term.species, term.coefficient) for term in side) for side in read.sides)
    return left, right


def worked(typed: Sides, frame: Frame) -> Work:
    """An equation after all steps."""
    work = Work(typed, copied(typed), electrons_typed=(ELECTRON in typed[LEFT], ELECTRON in typed[RIGHT]))
    split_hydronium(work)
    ionise(work, frame)
    strike_foreign_ions(work, frame)
    cancel(work, frame)
    join_water(work, frame)
    return work


def split_hydronium(work: Work) -> None:
    """H₃O⁺ (with a wrong charge: H with that charge) and water, the water struck against the other side's."""
    waters = [Fraction(), Fraction()]
    for side in BOTH:
        for species in [one for one in work.sides[side] if one.atoms == HYDRONIUM.atoms]:
            count = work.sides[side].pop(species)
            proton = Formula(HYDROGEN_ION.atoms, species.charge, "H")
            add(work.sides[side], proton, count)
            waters[side] += count
            work.names[proton] = species
            work.has_hydronium = True
    work.water_typed = (WATER in work.sides[LEFT], WATER in work.sides[RIGHT])
    if work.has_hydronium:
        _strike_waters(work.sides, waters)


def _strike_waters(sides: Sides, waters: list[Fraction]) -> None:
    """The waters of hydronium go against each other, then against water typed on the other side."""
    common = min(waters)
    for side, other in ((LEFT, RIGHT), (RIGHT, LEFT)):
        left_over = waters[side] - common
        struck = min(left_over, sides[other].get(WATER, Fraction()))
        add(sides[other], WATER, -struck)
        add(sides[side], WATER, left_over - struck)


def ionise(work: Work, frame: Frame) -> None:
    """Whole formulas of strong electrolytes become ions, but never a species of the key."""
    if not frame.ionise:
        return
    kept = NOTHING if frame.whole_key else frame.typed
    found: list[Species] = []
    for amounts in work.sides:
        whole = {
            species: ions
            for species in amounts
            if species not in kept and (ions := ions_of(species, frame.typed))
        }
        for species, ions in whole.items():
            count = amounts.pop(species)
            for ion, number in ions.items():
                add(amounts, ion, number * count)
        found.append(frozenset(whole))
    work.whole = (found[LEFT], found[RIGHT])


def strike_foreign_ions(work: Work, frame: Frame) -> None:
    """Ions that take no part go from both sides wholly; the counts tell whether they were equal."""
    for species in () if frame.of_key else on_both(work.sides):
        if (
            species in frame.species
            or not _is_bystander_ion(species)
            or _holds_a_place(species, work.sides, frame)
        ):
            continue
        for amounts in work.sides:
            del amounts[species]
        if all(species in amounts for amounts in work.typed) and not frame.whole_key:
            work.spectators.append(species)
    if frame.role != OVERALL:
        work.spectators += sorted(work.whole[LEFT] | work.whole[RIGHT], key=str)


def _is_bystander_ion(species: Formula) -> bool:
    return bool(species.charge) and not species.is_electron and species not in (HYDROGEN_ION, HYDROXIDE)


def cancel(work: Work, frame: Frame) -> None:
    """What stands on both sides is taken off, but not a species in the place of a missing one."""
    for species in on_both(work.sides) if frame.cancels else ():
        if species.is_electron and frame.role != HALF_REACTION:
            continue
        if _holds_a_place(species, work.sides, frame):
            continue
        strike(work.sides, species)
        if _typed_on_both(species, work):
            work.not_cancelled.append(species)
    if frame.role == OVERALL:
        work.not_cancelled += sorted(work.whole[LEFT] & work.whole[RIGHT], key=str)
    if frame.role != HALF_REACTION and ELECTRON not in frame.typed:
        for amounts in work.sides:
            amounts.pop(ELECTRON, None)


def _typed_on_both(species: Formula, work: Work) -> bool:
    """True where the species itself was written on both sides, not as part of a whole formula."""
    names = {species, work.names.get(species, species)}
    return all(names & amounts.keys() for amounts in work.typed)


def _holds_a_place(species: Formula, sides: Sides, frame: Frame) -> bool:
    """True where the key has the same atoms with another charge on a side that lacks them."""
    return any(
        other.atoms == species.atoms and other not in sides[side]
        for side in BOTH
        if species not in frame.sides[side]
        for other in frame.sides[side]
    )


def join_water(work: Work, frame: Frame) -> None:
    """H⁺ and OH⁻ on one side become water, unless the key has both on one side."""
    if frame.keeps_water_ions:
        return
    for side, amounts in enumerate(work.sides):
        if not (HYDROGEN_ION in amounts and HYDROXIDE in amounts):
            continue
        pairs = min(amounts[HYDROGEN_ION], amounts[HYDROXIDE])
        for ion in (HYDROGEN_ION, HYDROXIDE):
            add(amounts, ion, -pairs)
        add(amounts, WATER, pairs)
        work.side_by_side = work.side_by_side or _has_both(work.typed[side])
    strike(work.sides, WATER)


def _has_both(amounts: Amounts) -> bool:
    return HYDROXIDE in amounts and bool({HYDROGEN_ION, HYDRONIUM} & amounts.keys())


def frame_of(typed: Sides, role: str, in_ions: bool = False) -> tuple[Frame, Work]:
    """What the steps need to know of a key, and the key after them.

    `in_ions` puts a key of whole formulas into ions, to compare an answer in ions with it. A key of
    which nothing is left (a change of state) is compared without cancelling.
    """
    species = species_on(typed[LEFT]) | species_on(typed[RIGHT])
    keeps = in_ions or any(_has_both(amounts) for amounts in typed)
    first = Frame(role, species, in_ions, in_ions, of_key=True, keeps_water_ions=keeps)
    work = worked(typed, first)
    cancels = any(work.sides)
    if not cancels:
        work = worked(typed, replace(first, cancels=False))
    left, right = (species_on(amounts) for amounts in work.sides)
    ionic = any(one.charge for one in species)
    keeps = any(_has_both(amounts) for amounts in (*typed, *work.sides))
    frame = Frame(role, species, ionic or in_ions, in_ions, False, keeps, cancels, left, right)
    return frame, work


def is_whole(species: Species) -> bool:
    """True for species without ions, of which one at least is a strong electrolyte."""
    return not any(one.charge for one in species) and any(ions_of(one, species) for one in species)
