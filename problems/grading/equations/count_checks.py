"""Checks of an answer whose species are right: electrons, atoms, charges, proportions, states, notes."""

from collections.abc import Iterator
from fractions import Fraction

from problems.chemistry.equation import Exact
from problems.chemistry.formula import ELECTRON, HYDROGEN_ION, HYDRONIUM, WATER, Formula
from problems.chemistry.reading import ReadSpecies
from problems.grading.equations.comparison import Comparison, has_hydronium
from problems.grading.equations.electrolytes import ions_of
from problems.grading.equations.findings import Finding
from problems.grading.equations.sides import (
    BOTH,
    atoms,
    charge,
    copied,
    factor,
    is_smallest,
    on_both,
    strike,
)
from problems.grading.equations.steps import HALF_REACTION
from problems.words import _


def electrons_missing(answer: Comparison) -> Iterator[Finding]:
    if _key_electrons(answer) is None or any(_electrons(answer)):
        return
    sentence = _("The electrons are missing: the charges on both sides show how many.")
    if answer.work.has_electrons:
        sentence = _("As many electrons stand on one side as on the other, so that none are left.")
    yield Finding("electrons_missing", sentence)


def electrons_wrong_side(answer: Comparison) -> Iterator[Finding]:
    side = _key_electrons(answer)
    if side is not None and _electrons(answer)[1 - side]:
        sentence = _(
            "The electrons stand on the wrong side: taken up they stand on the left, given off on the right."
        )
        yield Finding("electrons_wrong_side", sentence, answer.place(ELECTRON, 1 - side))


def electrons_left_over(answer: Comparison) -> Iterator[Finding]:
    if answer.role != HALF_REACTION and answer.work.has_electrons:
        sentence = _("Electrons are left in the equation: those given off and those taken up must cancel.")
        yield Finding("electrons_left_over", sentence, answer.place(ELECTRON))


def spectator_ions(answer: Comparison) -> Iterator[Finding]:
    found = answer.work.spectators
    if not found:
        return
    names = ", ".join(dict.fromkeys(answer.typed_name(species) for species in found))
    sentence = _("Write {species} as ions, and leave out the ions that take no part.")
    if all(species.charge for species in found):
        sentence = _("Leave out the ions that take no part: {species}.")
    yield Finding("spectator_ions", sentence.format(species=names), answer.place(found[0]))


def not_cancelled(answer: Comparison) -> Iterator[Finding]:
    found = answer.work.not_cancelled
    if found:
        names = ", ".join(dict.fromkeys(answer.typed_name(species) for species in found))
        sentence = _("{species} stands on both sides: cancel what is common to both.")
        yield Finding("not_cancelled", sentence.format(species=names), answer.place(found[0]))
    elif answer.work.side_by_side:
        yield Finding("not_cancelled", _("H⁺ and OH⁻ stand side by side: together they are water."))


def atoms_unbalanced(answer: Comparison) -> Iterator[Finding]:
    left, right = (atoms(amounts) for amounts in answer.work.typed)
    off = [symbol for symbol in {**left, **right} if left.get(symbol, 0) != right.get(symbol, 0)]
    if off:
        counts = "; ".join(
            _("{element}: {left} on the left, {right} on the right").format(
                element=symbol, left=left.get(symbol, 0), right=right.get(symbol, 0)
            )
            for symbol in off
        )
        yield Finding("atoms_unbalanced", _("The atoms do not balance. {counts}.").format(counts=counts))


def charge_unbalanced(answer: Comparison) -> Iterator[Finding]:
    left, right = (charge(amounts) for amounts in answer.work.typed)
    if left != right:
        sentence = _("The charges do not balance: {left} on the left, {right} on the right.")
        yield Finding("charge_unbalanced", sentence.format(left=_signed(left), right=_signed(right)))


def proportions(answer: Comparison) -> Iterator[Finding]:
    if answer.standard.net and factor(answer.net, answer.standard.net) is None:
        sentence = _(
            "Everything balances, but two reactions are mixed in other proportions than happen here."
        )
        yield Finding("proportions", sentence)


def not_smallest_whole_numbers(answer: Comparison) -> Iterator[Finding]:
    if is_smallest(answer.work.sides) or _is_smallest_as_typed(answer):
        return
    yield Finding("not_smallest_whole_numbers", _("Right, but not in the smallest whole numbers."))


def _is_smallest_as_typed(answer: Comparison) -> bool:
    """Whole formulas can need larger numbers than the ions that react: H2SO4 + 2 NaOH."""
    if not (any(answer.work.whole) or answer.standard.frame.whole_key):
        return False
    sides = copied(answer.work.typed)
    for species in on_both(sides):
        if not (answer.standard.frame.whole_key and species.charge):
            strike(sides, species)
    return is_smallest(sides)


def state_symbol(answer: Comparison) -> Iterator[Finding]:
    for side in BOTH:
        for term in answer.read.sides[side]:
            allowed = _states(answer, side, term.species)
            if allowed and not set(term.states) & allowed:
                yield _state_finding(term)
                return


def _state_finding(term: ReadSpecies) -> Finding:
    sentence = _("The state symbol of {species} is not right here: (s), (l), (g) or (aq)?")
    if not term.states:
        sentence = _("A state symbol is missing at {species}: (s), (l), (g) or (aq).")
    return Finding("state_symbol", sentence.format(species=term.shown), term)


def _states(answer: Comparison, side: int, species: Formula) -> set[str]:
    """The right states of a species; none where the key does not say."""
    if species.is_electron:
        return set()
    for twin in (species, {HYDRONIUM: HYDROGEN_ION, HYDROGEN_ION: HYDRONIUM}.get(species, species)):
        for sides in (answer.standard.read.sides[side], answer.standard.read.sides[1 - side]):
            for term in sides:
                if term.species == twin:
                    return set(term.states)
    if species == WATER:
        return {"l"}
    return {"aq"} if species.charge or ions_of(species, answer.standard.frame.typed) else set()


def hydronium_form(answer: Comparison) -> Iterator[Finding]:
    typed = has_hydronium(answer.read)
    if typed != has_hydronium(answer.standard.read):
        shown = "H₃O⁺" if typed else "H⁺"
        sentence = _("{typed} is as right here as the other way to write the hydrogen ion.")
        yield Finding("hydronium_form", sentence.format(typed=shown))


def _key_electrons(answer: Comparison) -> int | None:
    """The side where the key has electrons."""
    return next((side for side in BOTH if ELECTRON in answer.standard.work.sides[side]), None)


def _electrons(answer: Comparison) -> tuple[Fraction, Fraction]:
    left, right = (amounts.get(ELECTRON, Fraction()) for amounts in answer.work.sides)
    return left, right


def _signed(total: Exact) -> str:
    return f"+{total}" if total > 0 else str(total).replace("-", "−")
