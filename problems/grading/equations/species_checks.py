"""Checks that compare which species stand on which side. Each gives what it finds, or nothing."""

from collections.abc import Callable, Iterator

from problems.chemistry.formula import HYDROGEN_ION, HYDROXIDE, WATER, Formula
from problems.grading.equations.comparison import Comparison, Pair
from problems.grading.equations.findings import Finding
from problems.grading.equations.sides import BOTH, LEFT, RIGHT, Net, add
from problems.words import _

DIATOMIC = frozenset(("H", "O", "N", "Cl", "Br", "I", "F"))


def other_electrode(answer: Comparison) -> Iterator[Finding]:
    """The species of the other electrode's half-reaction, which is the standard: any way, any medium."""
    if any(answer.matches(form) or answer.matches(form[::-1]) for form in answer.standard.forms):
        yield Finding("other_electrode", _("This is what happens at the other electrode."))


def reversed_reaction(answer: Comparison) -> Iterator[Finding]:
    """The species of the key, each on the other side."""
    if answer.matches(answer.standard.frame.sides[::-1]):
        yield Finding(
            "reversed",
            _("The reaction is written backwards: what is used up and what is made are exchanged."),
        )


def medium(answer: Comparison, is_accepted: bool) -> Iterator[Finding]:
    """The key's reaction, with water's H⁺ + OH⁻ added."""
    if not answer.has_right_species and is_in_other_medium(answer.net, answer.standard.net):
        ion = "OH⁻" if HYDROXIDE in answer.net else "H⁺"
        sentence = _("This is balanced, but written with {ion}: look at which ion this solution has.")
        if is_accepted:
            sentence = _("Right by the convention of this class, which lets {ion} stand here.")
        yield Finding("medium", sentence.format(ion=ion))


def is_in_other_medium(change: Net, key: Net) -> bool:
    """True where the change is a positive multiple of the key's, and of water's H⁺ + OH⁻ any number."""
    water_parts = {HYDROGEN_ION, HYDROXIDE, WATER}
    anchor = next((species for species in key if species not in water_parts), None)
    if anchor is None or change.get(anchor, 0) * key[anchor] <= 0:
        return False
    rest = dict(change)
    for species, count in key.items():
        add(rest, species, -count * change[anchor] / key[anchor])
    ions = rest.get(HYDROGEN_ION)
    return bool(ions) and rest == {HYDROGEN_ION: ions, HYDROXIDE: ions, WATER: -(ions or 0)}


def species_findings(answer: Comparison) -> list[Finding]:
    """What is wrong with the species; each one too much explains one missing one at most."""
    extra = [set(side) for side in answer.extra]
    missing = [set(side) for side in answer.missing]
    found: list[Finding] = []
    for matches, describe in EXPLANATIONS:
        for side, typed, wanted in answer.pairs():
            if typed in extra[side] and wanted in missing[side] and matches(typed, wanted):
                extra[side].remove(typed)
                missing[side].remove(wanted)
                found.append(describe(answer, (side, typed, wanted)))
    found += _missing(answer, missing)
    found += _unexpected(answer, extra)
    return found


def is_lone_atom(typed: Formula, wanted: Formula) -> bool:
    ((symbol, count), *others) = typed.atoms
    return (
        symbol in DIATOMIC
        and count == 1
        and not others
        and not typed.charge
        and wanted.atoms == ((symbol, 2),)
        and not wanted.charge
    )


def is_other_charge(typed: Formula, wanted: Formula) -> bool:
    return typed.atoms == wanted.atoms


def is_other_formula(typed: Formula, wanted: Formula) -> bool:
    return typed.elements == wanted.elements and typed.charge == wanted.charge


def _not_diatomic(answer: Comparison, pair: Pair) -> Finding:
    side, typed, _wanted = pair
    sentence = _(
        "{atom} alone is a single atom: this element is a gas, liquid or solid of molecules with two atoms."
    )
    return Finding("not_diatomic", sentence.format(atom=answer.typed_name(typed)), answer.place(typed, side))


def _wrong_charge(answer: Comparison, pair: Pair) -> Finding:
    side, typed, _wanted = pair
    sentence = _("Look at the charge of {species}: it is not the particle that reacts or is made here.")
    return Finding(
        "wrong_ion_charge", sentence.format(species=answer.typed_name(typed)), answer.place(typed, side)
    )


def _changed_formula(answer: Comparison, pair: Pair) -> Finding:
    side, typed, _wanted = pair
    sentence = _(
        "{species} has the right elements in the wrong numbers: balance with coefficients, not subscripts."
    )
    return Finding(
        "changed_formula", sentence.format(species=answer.typed_name(typed)), answer.place(typed, side)
    )


EXPLANATIONS: tuple[tuple[Callable[[Formula, Formula], bool], Callable[[Comparison, Pair], Finding]], ...] = (
    (is_lone_atom, _not_diatomic),
    (is_other_charge, _wrong_charge),
    (is_other_formula, _changed_formula),
)


def _missing(answer: Comparison, missing: list[set[Formula]]) -> Iterator[Finding]:
    if not any(missing):
        return
    if not any(answer.work.sides):
        sentence = _("Nothing is left when what stands on both sides is cancelled.")
    elif all(missing):
        sentence = _("A reactant and a product are missing.")
    else:
        sentence = _("A reactant is missing.") if missing[LEFT] else _("A product is missing.")
    yield Finding("missing_species", sentence)


def _unexpected(answer: Comparison, extra: list[set[Formula]]) -> Iterator[Finding]:
    for side in BOTH:
        for typed in sorted(extra[side], key=str):
            where = _("{species} on the left has no part in this reaction.")
            if side == RIGHT:
                where = _("{species} on the right has no part in this reaction.")
            sentence = where.format(species=answer.typed_name(typed))
            yield Finding("unexpected_species", sentence, answer.place(typed, side))
