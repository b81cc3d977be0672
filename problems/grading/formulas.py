"""A typed formula and a key become a verdict."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property, lru_cache

from problems.chemistry.formula import HYDROGEN_ION, HYDRONIUM, Formula
from problems.chemistry.notation import as_unicode
from problems.chemistry.reading import Familiar, ReadingError, ReadSpecies, read_species
from problems.errors import ProblemError
from problems.grading import codes, fields
from problems.grading.equations.species_checks import is_lone_atom, is_other_charge, is_other_formula
from problems.grading.fields import Case
from problems.grading.verdict import Verdict
from problems.words import _

KIND = "formula"
MOST_SENTENCES = 2


@dataclass(frozen=True)
class FormulaKey:
    """The species asked for, and species that known mistakes lead to, by their code."""

    expected: Formula
    slips: Mapping[str, Formula] = field(default_factory=dict)

    @classmethod
    def from_case(cls, case: Case) -> "FormulaKey":
        """Read the fields of a case; raises ProblemError where a key does not read.

        >>> FormulaKey.from_case({"expected": "SO42-"}).expected
        Formula('SO4^2-')
        """
        return _key(fields.text(case, "expected"), tuple(fields.text_slips(case).items()))

    @cached_property
    def familiar(self) -> Familiar:
        """What a reader expects: the key first, then what known mistakes give."""
        return Familiar(frozenset((self.expected,)), known=Familiar().known | frozenset(self.slips.values()))


def grade_formula(answer: str, key: FormulaKey) -> Verdict:
    """How the typed formula is judged; nothing that is typed raises.

    >>> grade_formula("Cl", FormulaKey.from_case({"expected": "Cl2"})).codes
    ('not_diatomic',)
    """
    try:
        read = read_species(answer, key.familiar)
    except ReadingError as error:
        return Verdict("unreadable", (error.code,), None, error.sentence, error.position, error.length)
    found = _found(read, key)
    worst = codes.worst(KIND, found)
    place = (None, None) if worst == "correct" else (read.position, read.length)
    message = " ".join(_sentence(code, read) for code in found[:MOST_SENTENCES]) or _("Right.")
    return Verdict(worst, tuple(found), read.shown, message, *place)


def _sentence(code: str, read: ReadSpecies) -> str:
    """What a code says of the species that was typed."""
    species = as_unicode(read.species)
    sentences = {
        "not_diatomic": _("{species} is a single atom: this element consists of molecules of two."),
        "wrong_ion_charge": _("{species} has the right atoms, but look at its charge."),
        "changed_formula": _("{species} has the right elements, but look at how many of each."),
        "unexpected_species": _("{species} is not the species asked for."),
        "extra_coefficient": _("A formula needs no number in front: leave out the {count}."),
    }
    if code not in sentences:
        return codes.sentence(KIND, code)
    return sentences[code].format(species=species, count=read.coefficient)


def _found(read: ReadSpecies, key: FormulaKey) -> list[str]:
    found = [*_codes(read.species, key), *(["extra_coefficient"] if read.coefficient != 1 else [])]
    return list(codes.ordered(KIND, found))


def _codes(typed: Formula, key: FormulaKey) -> list[str]:
    """What is found on the species itself; known mistakes come before the general codes."""
    if typed == key.expected:
        return []
    if {typed, key.expected} == {HYDROGEN_ION, HYDRONIUM}:
        return ["hydronium_form"]
    slip = next((code for code, species in key.slips.items() if species == typed), None)
    return [slip or _general(typed, key.expected)]


def _general(typed: Formula, expected: Formula) -> str:
    if typed.is_electron or expected.is_electron:
        return "unexpected_species"
    if is_lone_atom(typed, expected):
        return "not_diatomic"
    if is_other_charge(_with_proton(typed), _with_proton(expected)):
        return "wrong_ion_charge"
    return "changed_formula" if is_other_formula(typed, expected) else "unexpected_species"


def _with_proton(species: Formula) -> Formula:
    """H₃O with any charge counts as H with that charge."""
    return Formula(HYDROGEN_ION.atoms, species.charge) if species.atoms == HYDRONIUM.atoms else species


@lru_cache(maxsize=512)
def _key(expected: str, slips: tuple[tuple[str, str], ...]) -> FormulaKey:
    """Kept, so that what its reader expects is put together once."""
    wrong = {code: _read_key(text) for code, text in slips}
    return FormulaKey(_read_key(expected), wrong)


def _read_key(text: str) -> Formula:
    try:
        return read_species(text).species
    except ReadingError as error:
        sentence = _("“{text}” does not read as a formula: {reason}").format(text=text, reason=error)
        raise ProblemError(sentence) from error
