"""The oxidation number of an element in a species of the cell."""

from collections.abc import Iterator
from fractions import Fraction
from random import Random

from problems.cell.evidence import Evidence
from problems.cell.setup import Setup
from problems.chemistry.formula import Formula
from problems.chemistry.oxidation import OxidationNumber, oxidation_numbers
from problems.generators import build, say
from problems.question import Level, Made, Skill
from problems.words import _

Asked = tuple[Formula, str]
EASY = frozenset({"H", "O"})


def applies(setup: Setup, cell: Evidence) -> bool:
    return bool(asked(setup, cell, "first_year")) and bool(asked(setup, cell, "second_year"))


def asked(setup: Setup, cell: Evidence, level: Level) -> list[Asked]:
    """The pairs of species and element that may be asked at this level."""
    pairs = dict.fromkeys(_pairs(setup, cell))
    wanted = [pair for pair in pairs if _harder(*pair) == (level == "second_year")]
    return wanted or list(pairs)


def _pairs(setup: Setup, cell: Evidence) -> Iterator[Asked]:
    species = [setup.row.formula, *setup.row.ions, *(p for e in cell.electrodes for p in e.products)]
    species += [Formula.parse(text) for text in ("H2O", "H2O2", "OH^-")]
    for formula in species:
        for element, found in oxidation_numbers(formula).items():
            if found.average.denominator == 1 and not found.atoms and not found.also:
                yield formula, element


def _harder(formula: Formula, element: str) -> bool:
    """Three elements, a polyatomic ion's middle atom, or a peroxide: reckoned from the others."""
    return (element not in EASY and len(formula.elements) > 1) or formula.plain == "H2O2"


def make(setup: Setup, cell: Evidence, level: Level, rng: Random) -> Made:
    """The number of one element; second year asks the middle atoms of larger ions and salts."""
    pairs = asked(setup, cell, level)
    elements = sorted({element for _formula, element in pairs})
    element = rng.choice(elements)
    formula = rng.choice([each for each, symbol in pairs if symbol == element])
    found = oxidation_numbers(formula)[element]
    key = _text(found.average)
    part = build.oxidation_number(
        _("What is the oxidation number of {element} in {species}?").format(
            element=element, species=say.uni(formula)
        ),
        key,
        _hints(),
        (*_steps(formula, element), _line(found)),
        _slips(formula, element, found.average),
    )
    return Made.single(part, say.cell(setup))


def _text(number: Fraction) -> str:
    return f"{'+' if number > 0 else ''}{number}"


def _slips(formula: Formula, element: str, right: Fraction) -> dict[str, str]:
    count = formula.count(element)
    slips = {
        "sign_turned": -right,
        "charge_of_the_whole": Fraction(formula.charge),
        "not_shared_among_atoms": right * count,
        "charge_left_out": right - Fraction(formula.charge, count),
        "subscript_for_number": Fraction(count),
        "always_zero": Fraction(0),
    }
    return {code: _text(value) for code, value in slips.items() if abs(value) <= 9 and value.denominator == 1}


def _hints() -> tuple[str, str, str]:
    return (
        _("Oxidation numbers of all atoms add up to the charge that is written on the species."),
        _("A free element counts nothing; an ion of one atom counts its charge."),
        _(
            "Where oxygen and hydrogen stand beside the element, take their usual numbers first and let the "
            "sum decide the rest; mind the number of atoms."
        ),
    )


def _steps(formula: Formula, element: str) -> tuple[str, ...]:
    others = {e: n for e, n in oxidation_numbers(formula).items() if e != element}
    lines = [_line(found) for found in others.values()]
    if others and formula.count(element):
        lines.append(
            _("The sum over all atoms is the charge of {species}: {charge}.").format(
                species=say.uni(formula), charge=_signed(formula.charge)
            )
        )
    return tuple(lines)


def _line(found: OxidationNumber) -> str:
    return _("{element}: {number}. {rule}").format(
        element=found.element, number=_signed(found.average), rule=found.sentence
    )


def _signed(number: Fraction | int) -> str:
    return f"{'+' if number > 0 else ''}{number}".replace("-", "−")


SKILLS: tuple[Skill, ...] = (
    Skill(
        "redox.oxidation_number",
        "redox",
        "Oxidation numbers",
        ("first_year", "second_year"),
        "oxidation_number",
        applies,
        make,
    ),
)
