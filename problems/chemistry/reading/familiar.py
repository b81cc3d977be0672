"""What a reader expects to meet: by this, one of several readings of a text is preferred."""

import tomllib
from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cache, lru_cache
from pathlib import Path

from problems.chemistry.formula import Formula

DATA = Path(__file__).parents[2] / "data" / "known_species.toml"

Species = frozenset[Formula]
LEFT, RIGHT = 0, 1
SPARE = 12
"""Room for a coefficient, a charge and a state beside a body [characters]."""

KEY_HERE, KEY_THERE, ATOMS_HERE, ATOMS_THERE, KNOWN, NEUTRAL, STRANGE, UNREAD = range(8)


@cache
def known_species() -> Species:
    """The ions that a first course names, and molecules that could be taken for ions."""
    rows = tomllib.loads(DATA.read_text(encoding="utf-8"))
    names = (*(row["ion"] for row in rows["ions"]), *rows["molecules"])
    return frozenset(Formula.parse(name) for name in names)


@lru_cache(maxsize=1024)
def _bare(species: Species) -> frozenset[tuple[tuple[str, int], ...]]:
    return frozenset(one.atoms for one in species)


@dataclass(frozen=True, slots=True)
class Familiar:
    """The species of a key, side by side, and the species a reader knows; the key may be unknown.

    `forms` are other right forms of the key's species; they count where a fault is put right.
    """

    left: Species = frozenset()
    right: Species = frozenset()
    known: Species = field(default_factory=known_species)
    forms: Species = frozenset()

    @classmethod
    def with_ions(cls, ions: Iterable[Formula]) -> "Familiar":
        """For reading without a key: the known ions and those of a setup."""
        return cls(known=known_species() | frozenset(ions))

    @property
    def has_key(self) -> bool:
        return bool(self.left or self.right)

    @property
    def key(self) -> Species:
        """The key's species in all forms."""
        return self.left | self.right | self.forms

    @property
    def longest(self) -> int:
        """A text longer than this is no faulty spelling of one of the key's species [characters]."""
        return SPARE + 3 * max((len(species.body) for species in self.key), default=0)

    def rank(self, species: Formula, side: int) -> int:
        """How expected the species is on the side: 0 is best."""
        if species.is_electron:
            return KEY_HERE
        here, there = (self.left, self.right) if side == LEFT else (self.right, self.left)
        for rank, known in ((KEY_HERE, here), (KEY_THERE, there)):
            if species in known:
                return rank
        for rank, known in ((ATOMS_HERE, here), (ATOMS_THERE, there)):
            if species.atoms in _bare(known):
                return rank
        if species in self.known:
            return KNOWN
        return STRANGE if species.charge else NEUTRAL
