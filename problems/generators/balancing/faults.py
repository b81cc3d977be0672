"""A balanced-looking equation with one fault: find it, then mend it."""

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from random import Random

from problems.cell.evidence import Evidence
from problems.cell.setup import Setup
from problems.chemistry.equation import Equation, Exact, Side, atoms_on, charge_on
from problems.chemistry.formula import ELECTRON, Formula
from problems.generators import build, say, seen
from problems.question import Level, Made, Option, Part, Skill
from problems.words import _

DIATOMIC = frozenset({"H2", "O2", "Cl2", "Br2", "I2"})


@dataclass(frozen=True, slots=True)
class Fault:
    """What is wrong, and the equation that has it."""

    code: str
    shown: Equation


def applies(setup: Setup, cell: Evidence) -> bool:
    return bool(seen.answerable(cell))


def make(setup: Setup, cell: Evidence, level: Level, rng: Random) -> Made:
    """A half-reaction of the cell, spoiled in one way."""
    electrode = rng.choice(seen.answerable(cell))
    right = seen.half(electrode)
    fault = rng.choice([found for spoil in SPOILED if (found := spoil(right)) is not None])
    lead = " ".join(
        (
            say.cell(setup),
            _("Somebody wrote for the {where}: {shown}.").format(
                where=say.electrode(electrode.role), shown=say.uni(fault.shown)
            ),
        )
    )
    return Made((_find(fault, right, rng), _mend(fault, right, seen.either_medium(electrode))), lead)


def _find(fault: Fault, right: Equation, rng: Random) -> Part:
    options = [
        Option(code, text, "" if code == fault.code else _why_not(code)) for code, text in _texts().items()
    ]
    return build.choice(
        _("What is wrong with that equation?"),
        options,
        (
            _("Check three things one after the other: the formulas, the atoms, the charges."),
            _("Count each element on both sides, then add up the charges, electrons included."),
            _("If both agree, look at the particles themselves and at the side on which electrons stand."),
        ),
        _find_lines(fault),
        rng,
        {
            "charges_not_counted": ["no_fault"],
            "atoms_for_charge": ["atoms_differ" if fault.code == "charges_differ" else "charges_differ"],
        },
        skill="balancing.find_fault",
    )


def _mend(fault: Fault, right: Equation, accepted: bool) -> Part:
    return build.equation(
        _("Write the half-reaction as it should be."),
        right,
        "half_reaction",
        (
            _("Change only what is wrong; most of the line can stay."),
            _(
                "Free gases and halogens are two-atom molecules; a cathode takes electrons, an anode gives "
                "them."
            ),
            _("When the formulas are right, settle the atoms, and only then the electrons."),
        ),
        (_texts()[fault.code], say.uni(right)),
        accepted=accepted,
        skill="balancing.find_fault",
    )


def _texts() -> dict[str, str]:
    return {
        "atoms_differ": _("The atoms of some element do not agree."),
        "charges_differ": _("The atoms agree, but the number of electrons is wrong."),
        "electrons_side": _("The electrons stand on the wrong side of the arrow."),
        "not_as_it_exists": _("A free element is not written as it exists."),
        "no_fault": _("Nothing: it is right as it stands."),
    }


def _why_not(code: str) -> str:
    return {
        "atoms_differ": _(
            "Count again: each element has as many atoms on the left as on the right, or the formula is to "
            "blame."
        ),
        "charges_differ": _("The number of electrons is not the trouble in this line."),
        "electrons_side": _("The electrons stand where they belong in this line."),
        "not_as_it_exists": _("Every element in it is written as it exists."),
        "no_fault": _("Count atoms and charges once more: something does not agree."),
    }[code]


def _find_lines(fault: Fault) -> tuple[str, ...]:
    left, right = atoms_on(fault.shown.left), atoms_on(fault.shown.right)
    counts = "; ".join(
        _("{element} {left} and {right}").format(
            element=each, left=left.get(each, 0), right=right.get(each, 0)
        )
        for each in sorted(left.keys() | right.keys())
    )
    return (
        _("Atoms on the left and on the right: {counts}.").format(counts=counts),
        _("Charges: {left} and {right}.").format(
            left=_signed(charge_on(fault.shown.left)), right=_signed(charge_on(fault.shown.right))
        ),
        _texts()[fault.code],
    )


def _signed(charge: Exact) -> str:
    return f"{int(charge):+d}".replace("-", "−").replace("+0", "0")


def _atoms(right: Equation) -> Fault | None:
    """The first species of many-numbered lines loses its number."""
    for place, (species, count) in enumerate(right.left):
        if count > 1 and not species.is_electron and species.atoms:
            side = (*right.left[:place], (species, Fraction(1)), *right.left[place + 1 :])
            shown = Equation(side, right.right)
            return Fault("atoms_differ", shown) if atoms_on(shown.left) != atoms_on(shown.right) else None
    return None


def _charge(right: Equation) -> Fault | None:
    """Another number of electrons, on the right side."""
    count = abs(right.electrons)
    other = count / 2 if count > 1 else count * 2
    return Fault("charges_differ", Equation(_electrons(right.left, other), _electrons(right.right, other)))


def _electrons(side: Side, count: Fraction) -> Side:
    return tuple((species, count if species.is_electron else each) for species, each in side)


def _side(right: Equation) -> Fault | None:
    """The electrons on the other side."""
    left = tuple(term for term in right.left if not term[0].is_electron)
    rest = tuple(term for term in right.right if not term[0].is_electron)
    moved = ((ELECTRON, abs(right.electrons)),)
    shown = Equation(left, rest + moved) if right.electrons > 0 else Equation(left + moved, rest)
    return Fault("electrons_side", shown)


def _molecule(right: Equation) -> Fault | None:
    """A two-atom molecule as single atoms, with the count put right, so that everything balances."""
    for place, (species, count) in enumerate(right.right):
        if species.plain in DIATOMIC:
            atom = Formula.parse(species.plain[:-1])
            side = (*right.right[:place], (atom, count * 2), *right.right[place + 1 :])
            return Fault("not_as_it_exists", Equation(right.left, side))
    return None


SPOILED: tuple[Callable[[Equation], Fault | None], ...] = (_atoms, _charge, _side, _molecule)

SKILLS: tuple[Skill, ...] = (
    Skill(
        "balancing.find_fault",
        "balancing",
        "Find the fault and mend it",
        ("first_year",),
        "equation",
        applies,
        make,
        ("balancing.charge",),
    ),
)
