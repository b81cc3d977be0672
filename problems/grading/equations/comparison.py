"""An answer beside a key, both after the steps: what is missing and what is too much, side by side."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from problems.chemistry.formula import HYDROGEN_ION, HYDRONIUM, HYDROXIDE, WATER, Formula
from problems.chemistry.notation import as_unicode
from problems.chemistry.reading import ReadEquation, ReadSpecies
from problems.grading.equations.sides import (
    BOTH,
    LEFT,
    RIGHT,
    Net,
    Sides,
    Species,
    is_balanced,
    net,
    species_on,
    split,
    water_added,
)
from problems.grading.equations.steps import Frame, Work, worked

Pair = tuple[int, Formula, Formula]
"""A side, what stands there too much, and what is missing there."""


@dataclass(frozen=True)
class Standard:
    """A key ready for comparison: as read, after the steps, and its frame."""

    read: ReadEquation
    frame: Frame
    work: Work

    @cached_property
    def net(self) -> Net:
        return net(self.work.sides)

    @cached_property
    def forms(self) -> tuple[tuple[Species, Species], ...]:
        """The species of both sides as written, and for acid and for base."""
        changes = (water_added(self.net, ion) for ion in (HYDROGEN_ION, HYDROXIDE))
        others = [split(change) for change in changes if change]
        return tuple((species_on(left), species_on(right)) for left, right in (self.work.sides, *others))


@dataclass(frozen=True)
class Comparison:
    """One answer beside one standard."""

    read: ReadEquation
    work: Work
    standard: Standard

    @classmethod
    def of(cls, read: ReadEquation, typed: Sides, standard: Standard) -> "Comparison":
        return cls(read, worked(typed, standard.frame), standard)

    @property
    def role(self) -> str:
        return self.standard.frame.role

    @cached_property
    def species(self) -> tuple[Species, Species]:
        """The answer's species by side, as the key's sides ask for water."""
        return self.species_for(self.standard.frame.sides)

    def species_for(self, wanted: tuple[Species, Species]) -> tuple[Species, Species]:
        """The answer's species by side. Beside hydronium, water counts where it is wanted and typed."""
        left, right = (self._species_on(side, wanted[side]) for side in BOTH)
        return left, right

    def _species_on(self, side: int, wanted: Species) -> Species:
        found = species_on(self.work.sides[side])
        if not self.work.has_hydronium:
            return found
        counted = WATER in wanted and self.work.water_typed[side]
        return found | {WATER} if counted else found - {WATER}

    def matches(self, wanted: tuple[Species, Species]) -> bool:
        """True where each side holds just the species wanted there, and there are some."""
        return all(wanted) and self.species_for(wanted) == wanted

    @cached_property
    def extra(self) -> tuple[Species, Species]:
        wanted = self.standard.frame.sides
        return self.species[LEFT] - wanted[LEFT], self.species[RIGHT] - wanted[RIGHT]

    @cached_property
    def missing(self) -> tuple[Species, Species]:
        wanted = self.standard.frame.sides
        return wanted[LEFT] - self.species[LEFT], wanted[RIGHT] - self.species[RIGHT]

    @property
    def has_right_species(self) -> bool:
        return not any((*self.extra, *self.missing))

    @cached_property
    def net(self) -> Net:
        return net(self.work.sides)

    @cached_property
    def is_balanced(self) -> bool:
        return is_balanced(self.work.typed)

    def pairs(self) -> Iterator[Pair]:
        """Every species too much beside every missing one on its side, in the order typed."""
        for side in BOTH:
            for extra in self.work.sides[side]:
                if extra in self.extra[side]:
                    yield from ((side, extra, missing) for missing in sorted(self.missing[side], key=str))

    def typed_name(self, species: Formula) -> str:
        """The species as the student wrote it."""
        return as_unicode(self.work.names.get(species, species))

    def place(self, species: Formula, side: int | None = None) -> ReadSpecies | None:
        """Where a species was typed."""
        wanted = {species, self.work.names.get(species, species)}
        sides = self.read.sides if side is None else (self.read.sides[side],)
        return next((term for terms in sides for term in terms if term.species in wanted), None)


def has_hydronium(read: ReadEquation) -> bool:
    return any(term.species == HYDRONIUM for side in read.sides for term in side)
