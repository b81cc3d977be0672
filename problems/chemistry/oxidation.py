"""Oxidation numbers by rule, with the rule named.

The rules stand in `ladder.py`, the groups that keep together in `parts.py`, both over one table of the
data. Source: Chemistry 2e (OpenStax), section 4.2; where like atoms of one formula differ, the bond
between them is split equally (Karen, McArdle and Takats, Pure Appl. Chem. 88 (2016) 831).
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache
from types import MappingProxyType

from problems.chemistry.formula import Formula
from problems.chemistry.ladder import OpenOxidationNumber, climb, known
from problems.chemistry.notation import as_unicode
from problems.chemistry.parts import Part, hydrate_parts, known_parts
from problems.words import MINUS, _

__all__ = ["OpenOxidationNumber", "OxidationNumber", "oxidation_number", "oxidation_numbers", "signed"]


@dataclass(frozen=True, slots=True)
class OxidationNumber:
    """The oxidation number of an element in a formula, and the rule that gives it.

    `average` is that of all its atoms; `atoms` gives them one by one, the highest first, where they are
    known to differ, and is empty elsewhere; `also` holds what other texts give in place of `atoms`.
    `unit` is the formula, or the ion in it, that the rule was applied to.
    """

    element: str
    average: Fraction
    rule: str
    unit: Formula
    atoms: tuple[Fraction, ...] = ()
    also: tuple[tuple[Fraction, ...], ...] = ()

    @property
    def sentence(self) -> str:
        """The rule in a sentence for a person, with the single atoms where they differ."""
        sentences = [_sentences()[self.rule]]
        if self.atoms:
            sentences.append(_("Atom by atom: {atoms}."))
        if self.also:
            sentences.append(_("Other texts give {others}."))
        return " ".join(sentences).format(
            element=self.element,
            unit=as_unicode(self.unit),
            charge=signed(Fraction(self.unit.charge)),
            number=signed(self.average),
            atoms=", ".join(map(signed, self.atoms)),
            others=_(" or ").join(", ".join(map(signed, each)) for each in self.also),
        )


def oxidation_number(formula: Formula, element: str) -> OxidationNumber:
    """The oxidation number of one element [elementary charges]; raises as `oxidation_numbers` does.

    >>> signed(oxidation_number(Formula.parse("SO4^2-"), "S").average)
    '+6'
    """
    numbers = oxidation_numbers(formula)
    if element not in numbers:
        raise OpenOxidationNumber(formula, _("it holds no {element}").format(element=element))
    return numbers[element]


def oxidation_numbers(formula: Formula) -> Mapping[str, OxidationNumber]:
    """The oxidation numbers by element [elementary charges], in the order in which the rules give them.

    Raises OpenOxidationNumber where the rules leave them open: alloys, two metals of variable number,
    pairs on which texts differ, numbers that do not add up, the electron. The spelling counts:
    `C2H5OH` tells its carbon atoms apart, `C2H6O` does not.

    >>> {element: signed(each.average) for element, each in oxidation_numbers(Formula.parse("KNO3")).items()}
    {'K': '+1', 'O': '−2', 'N': '+5'}
    >>> list(map(signed, oxidation_number(Formula.parse("NH4NO3"), "N").atoms))
    ['+5', '−3']
    """
    return _by_spelling(formula.plain)


def signed(number: Fraction) -> str:
    """A number as it is written above an element: +6, −1/2, 0.

    >>> signed(Fraction(-1, 2))
    '−1/2'
    """
    return ("+" if number > 0 else "") + str(number).replace("-", MINUS)


# A number found in one part of a formula, and how many atoms of the whole it stands for.
Found = tuple[OxidationNumber, int]


@lru_cache(maxsize=1024)
def _by_spelling(plain: str) -> Mapping[str, OxidationNumber]:
    formula = Formula.parse(plain)
    if formula.is_electron:
        raise OpenOxidationNumber(formula, _("an electron has none"))
    found: list[Found] = []
    for piece in hydrate_parts(formula):
        found += [(number, atoms * piece.count) for number, atoms in _of_piece(piece.formula)]
    return MappingProxyType(_merged(found))


def _of_piece(piece: Formula) -> list[Found]:
    """From the whole where that says all, else from the known parts."""
    parts = known_parts(piece)
    if len(parts) == 1:
        return _of_part(Part(piece), piece)
    try:
        whole = _of_part(Part(piece), piece)
    except OpenOxidationNumber:
        whole = []
    try:
        by_parts = [found for part in parts for found in _of_part(part, piece)]
    except OpenOxidationNumber:
        return whole or _of_part(Part(piece), piece)
    differing = any(number.atoms for number in _merged(by_parts).values())
    return by_parts if differing or not whole else whole


def _of_part(part: Part, piece: Formula) -> list[Found]:
    special = known(part.formula)
    found = []
    for element, step in climb(part.formula, alone=not part.is_rest).items():
        listed = special if special and special.element == element and len(set(special.atoms)) > 1 else None
        number = OxidationNumber(
            element,
            step.number,
            step.rule,
            piece if part.is_rest else part.formula,
            atoms=listed.atoms if listed else (),
            also=listed.also if listed else (),
        )
        found.append((number, part.formula.count(element) * part.count))
    return found


def _merged(found: Sequence[Found]) -> dict[str, OxidationNumber]:
    """One number per element."""
    by_element: dict[str, list[Found]] = {}
    for number, count in found:
        by_element.setdefault(number.element, []).append((number, count))
    return {element: _of_element(numbers) for element, numbers in by_element.items()}


def _of_element(numbers: Sequence[Found]) -> OxidationNumber:
    first, _count = numbers[0]
    total = sum(count for _number, count in numbers)
    if all((number.average, number.atoms) == (first.average, first.atoms) for number, _count in numbers):
        also = tuple(_repeated(other, total) for other in first.also)
        return replace(first, atoms=_repeated(first.atoms, total), also=also)
    average = sum((number.average * count for number, count in numbers), Fraction()) / total
    atoms = [
        atom for number, count in numbers for atom in _repeated(number.atoms or (number.average,), count)
    ]
    return OxidationNumber(first.element, average, "mixed", first.unit, tuple(sorted(atoms, reverse=True)))


def _repeated(atoms: tuple[Fraction, ...], total: int) -> tuple[Fraction, ...]:
    """The atoms of one group for all its likes in the formula, `total` atoms in all."""
    return tuple(sorted(atoms * (total // len(atoms)), reverse=True)) if atoms else ()


def _sentences() -> dict[str, str]:
    return {
        "element": _("In an element every atom counts 0."),
        "monatomic_ion": _("An ion of one atom counts its charge, {number}."),
        "shared_charge": _("The atoms of {unit} share its charge: {number} each."),
        "fluorine": _("Fluorine counts −1 in all its compounds."),
        "group_1": _("A metal of group 1 counts +1 in all its compounds."),
        "group_2": _("A metal of group 2 counts +2 in all its compounds."),
        "fixed_metal": _("{element} counts {number} in nearly all its compounds."),
        "hydrogen": _("Hydrogen counts +1 when it is bound to non-metals."),
        "hydride": _("Hydrogen counts −1 when it is bound to metals or boron only."),
        "oxygen": _("Oxygen counts −2 in nearly all its compounds."),
        "peroxide": _("Oxygen counts −1 in a peroxide."),
        "superoxide": _("Oxygen counts −1/2 in a superoxide."),
        "ozonide": _("Oxygen counts −1/3 in an ozonide."),
        "oxygen_with_fluorine": _("Fluorine takes −1, so oxygen counts {number} here."),
        "halogen": _("Chlorine, bromine and iodine count −1 unless bound to oxygen or a halogen above them."),
        "negative": _("{element} is the more electronegative partner and counts as its ion: {number}."),
        "sum": _("The oxidation numbers in {unit} add up to its charge, {charge}; so {element} is {number}."),
        "known": _("The structure of {unit} tells: {element} counts {number} on average."),
        "mixed": _("{element} stands in different parts of the formula, which do not count alike."),
    }
