"""A typed equation and a key become a verdict. The order of the checks is here and nowhere else."""

from collections.abc import Callable, Iterator
from itertools import chain

from problems.chemistry.reading import ReadEquation, ReadingError, read_equation
from problems.grading import codes
from problems.grading.equations import count_checks as count
from problems.grading.equations import species_checks as species
from problems.grading.equations.comparison import Comparison
from problems.grading.equations.findings import Finding
from problems.grading.equations.key import EquationKey
from problems.grading.equations.sides import Sides
from problems.grading.equations.steps import typed_sides
from problems.grading.verdict import Verdict
from problems.words import _

Check = Callable[[Comparison], Iterator[Finding]]

MOST_SENTENCES = 2
ELECTRONS: tuple[Check, ...] = (
    count.electrons_missing,
    count.electrons_wrong_side,
    count.electrons_left_over,
)
TIDYING: tuple[Check, ...] = (count.spectator_ions, count.not_cancelled)


def grade_equation(answer: str, key: EquationKey) -> Verdict:
    """How the typed equation is judged; nothing that is typed raises.

    >>> key = EquationKey.from_case({"expected": "2Br- -> Br2 + 2e-", "role": "half_reaction"})
    >>> grade_equation("2Br-->Br2", key).codes
    ('electrons_missing',)
    """
    try:
        read = key.read(answer)
    except ReadingError as error:
        return Verdict("unreadable", (error.code,), None, error.sentence, error.position, error.length)
    return _verdict(read, key, findings(answer, read, key))


def findings(text: str, read: ReadEquation, key: EquationKey) -> list[Finding]:
    """All that is found in a text and its reading, the most important first.

    The other electrode's reaction and the reversed one stand alone; the other medium is looked for
    before the species; a wrong species silences all that comes after it but electrons left over.
    """
    typed = typed_sides(read)
    answer = _comparison(read, typed, key)
    in_medium = list(species.medium(answer, key.accepts_medium))
    if not answer.has_right_species and not in_medium:
        alone = next(chain(_other_electrode(text, key), species.reversed_reaction(answer)), None)
        return [alone] if alone else _wrong_species(answer)
    return [*_partly(answer, key, in_medium), *count.hydronium_form(answer)]


def _comparison(read: ReadEquation, typed: Sides, key: EquationKey) -> Comparison:
    """The answer beside the key, in ions where a key of whole formulas is answered so."""
    has_ions = any(one.charge and not one.is_electron for amounts in typed for one in amounts)
    return Comparison.of(read, typed, (has_ions and key.in_ions) or key.standard)


def _other_electrode(text: str, key: EquationKey) -> Iterator[Finding]:
    """Whether the text, to a reader who expects the other electrode's reaction, is that one."""
    if not key.other_standard:
        return
    try:
        read = read_equation(text, key.other_familiar)
    except ReadingError:
        return
    yield from species.other_electrode(Comparison.of(read, typed_sides(read), key.other_standard))


def _wrong_species(answer: Comparison) -> list[Finding]:
    return [*species.species_findings(answer), *count.electrons_left_over(answer)]


def _partly(answer: Comparison, key: EquationKey, in_medium: list[Finding]) -> list[Finding]:
    """Findings on an answer whose species are right, or right for the other medium."""
    electrons = list(_run(answer, (count.electrons_left_over,) if in_medium else ELECTRONS))
    tidying = list(_run(answer, TIDYING))
    counts = [] if in_medium else list(_counts(answer, bool(electrons)))
    found = [*in_medium, *electrons, *tidying, *counts]
    if not electrons and not counts:
        found += count.not_smallest_whole_numbers(answer)
    if key.requires_states and (not found or (key.accepts_medium and found == in_medium)):
        found += count.state_symbol(answer)
    return found


def _counts(answer: Comparison, electrons_off: bool) -> Iterator[Finding]:
    """The first of: atoms, charge, proportions."""
    unbalanced = list(count.atoms_unbalanced(answer))
    if not unbalanced and not electrons_off:
        unbalanced = list(count.charge_unbalanced(answer)) or list(count.proportions(answer))
    yield from unbalanced


def _run(answer: Comparison, checks: tuple[Check, ...]) -> Iterator[Finding]:
    return chain.from_iterable(check(answer) for check in checks)


def _verdict(read: ReadEquation, key: EquationKey, found: list[Finding]) -> Verdict:
    names = codes.ordered("equation", (finding.code for finding in found))
    judged = [name for name in names if not (name == "medium" and key.accepts_medium)]
    sentences = [next(finding.sentence for finding in found if finding.code == name) for name in names]
    place = next((finding.place for finding in found if names and finding.code == names[0]), None)
    return Verdict(
        codes.worst("equation", judged),
        names,
        read.shown,
        " ".join(sentences[:MOST_SENTENCES]) or _("Right."),
        place.position if place else None,
        place.length if place else None,
    )
