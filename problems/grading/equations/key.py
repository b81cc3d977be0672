"""`EquationKey`: what an equation question asks for, read and checked once."""

from dataclasses import dataclass
from functools import cached_property, lru_cache

from problems.chemistry.formula import HYDROGEN_ION, HYDRONIUM
from problems.chemistry.reading import (
    Familiar,
    ReadEquation,
    ReadingError,
    possible_equations,
    read_equation,
)
from problems.errors import ProblemError
from problems.grading import fields
from problems.grading.equations.comparison import Standard
from problems.grading.equations.sides import Species, is_balanced, species_on
from problems.grading.equations.steps import HALF_REACTION, OVERALL, ROLES, frame_of, is_whole, typed_sides
from problems.grading.fields import Case
from problems.words import _

PARTLY, ACCEPTED = "partly", "accepted"
IGNORED, REQUIRED = "ignored", "required"


@dataclass(frozen=True, eq=False)
class EquationKey:
    """The right equation, its role, the half-reaction at the other electrode, and class conventions.

    The same case gives the same key again, so that what follows from it is worked out once.
    """

    expected: ReadEquation
    role: str
    other: ReadEquation | None = None
    accepts_medium: bool = False
    requires_states: bool = False

    def __post_init__(self) -> None:
        if self.role not in ROLES:
            raise ProblemError(_("“{role}” is not a role of an equation.").format(role=self.role))
        for read in (self.expected, self.other):
            if read and not is_balanced(typed_sides(read)):
                raise ProblemError(_("“{text}” does not balance.").format(text=read.shown))

    @classmethod
    def from_case(cls, case: Case) -> "EquationKey":
        """Read the fields of a case; raises ProblemError where a key does not read or balance.

        >>> key = EquationKey.from_case({"expected": "2Br- -> Br2 + 2e-", "role": "half_reaction"})
        >>> key.expected.shown
        '2 Br⁻ → Br₂ + 2 e⁻'
        """
        return _key(
            fields.text(case, "expected"),
            fields.one_of(case, "role", ROLES),
            fields.text(case, "other") if "other" in case else None,
            fields.one_of(case, "medium", (PARTLY, ACCEPTED), PARTLY) == ACCEPTED,
            fields.one_of(case, "states", (IGNORED, REQUIRED), IGNORED) == REQUIRED,
        )

    def read(self, answer: str) -> ReadEquation:
        """A typed answer as one reads it who expects this key; raises ReadingError."""
        return _read(answer, self)

    @cached_property
    def standard(self) -> Standard:
        return _standard(self.expected, self.role)

    @cached_property
    def in_ions(self) -> Standard | None:
        """A key of whole formulas, put into ions: for an overall equation both forms are right."""
        left, right = typed_sides(self.expected)
        if self.role != OVERALL or not is_whole(species_on(left) | species_on(right)):
            return None
        return _standard(self.expected, self.role, in_ions=True)

    @cached_property
    def other_standard(self) -> Standard | None:
        return _standard(self.other, HALF_REACTION) if self.other else None

    @cached_property
    def familiar(self) -> Familiar:
        """What a reader of answers expects: the key's species, side by side, and their other forms."""
        left, right = _species(self.expected)
        forms = {HYDROGEN_ION, HYDRONIUM} if {HYDROGEN_ION, HYDRONIUM} & (left | right) else set()
        if self.in_ions:
            forms |= self.in_ions.frame.species
        return Familiar(left, right, forms=frozenset(forms))

    @cached_property
    def other_familiar(self) -> Familiar:
        """What a reader expects who has the other electrode in mind."""
        return Familiar(*_species(self.other)) if self.other else Familiar()


def _species(read: ReadEquation) -> tuple[Species, Species]:
    left, right = (frozenset(term.species for term in side) for side in read.sides)
    return left, right


@lru_cache(maxsize=512)
def _key(expected: str, role: str, other: str | None, accepts_medium: bool, states: bool) -> EquationKey:
    read_other = None if other is None else read_key(other)
    return EquationKey(read_key(expected), role, read_other, accepts_medium, states)


@lru_cache(maxsize=512)
def _read(answer: str, key: EquationKey) -> ReadEquation:
    """An answer is read when it is judged, and again wherever a later part rests on it."""
    return read_equation(answer, key.familiar)


@lru_cache(maxsize=1024)
def read_key(text: str) -> ReadEquation:
    """The equation of a key; of several readings, the one that balances.

    Raises ProblemError where none reads, or none balances.
    """
    try:
        readings = possible_equations(text, Familiar())
    except ReadingError as error:
        raise ProblemError(
            _("“{text}” does not read as an equation: {reason}").format(text=text, reason=error)
        ) from error
    for reading in readings:
        if is_balanced(typed_sides(reading)):
            return reading
    raise ProblemError(_("“{text}” does not balance.").format(text=text))


def _standard(read: ReadEquation, role: str, in_ions: bool = False) -> Standard:
    return Standard(read, *frame_of(typed_sides(read), role, in_ions))
