"""The conjugate partner of an acid or base that stands in the cell."""

from random import Random

from problems.cell.evidence import Evidence
from problems.cell.setup import Setup
from problems.chemistry.formula import HYDROGEN_ION, WATER, Formula
from problems.chemistry.notation import as_unicode
from problems.generators import build, say
from problems.question import Level, Made, Skill
from problems.words import _

PAIRS: tuple[tuple[str, str], ...] = (
    ("H2O", "OH^-"),
    ("H3O^+", "H2O"),
    ("HSO4^-", "SO4^2-"),
    ("HCO3^-", "CO3^2-"),
    ("H2CO3", "HCO3^-"),
    ("NH4^+", "NH3"),
    ("HNO3", "NO3^-"),
    ("HCl", "Cl^-"),
    ("HBr", "Br^-"),
    ("HI", "I^-"),
)
"""Acid and base, one proton apart. Source: Chemistry 2e (OpenStax), section 14.1."""
WATERS = frozenset({"H2O", "OH^-", "H3O^+"})


def applies(setup: Setup, cell: Evidence) -> bool:
    return cell.use != "refused"


def make(setup: Setup, cell: Evidence, level: Level, rng: Random) -> Made:
    """The conjugate acid or base of water, its ions, or an ion of the salt."""
    present = WATERS | {ion.plain for ion in setup.row.ions}
    asks = [(given, True, other) for other, given in PAIRS if given in present]
    asks += [(given, False, other) for given, other in PAIRS if given in present]
    answer = rng.choice(sorted({ask[2] for ask in asks}))
    text, wants_acid, _answer = rng.choice([ask for ask in asks if ask[2] == answer])
    given, key = Formula.parse(text), Formula.parse(answer)
    prompt = (
        _("What is the conjugate acid of {species}? Give its formula.")
        if wants_acid
        else _("What is the conjugate base of {species}? Give its formula.")
    )
    part = build.formula(
        prompt.format(species=say.uni(given)),
        key,
        (
            _("Conjugate partners differ by one proton and by nothing else."),
            _("The acid of the pair is the one that has it."),
            _(
                "When the proton changes its place its charge goes with it: change the formula and the "
                "charge by one."
            ),
        ),
        _solution(given, key, wants_acid),
        _slips(given, wants_acid),
    )
    return Made.single(part, say.cell(setup))


def _shifted(species: Formula, protons: int, charge: int) -> Formula | None:
    """`species` with more or fewer hydrogen atoms and `charge` added; None where that cannot be."""
    atoms = dict(species.atoms)
    atoms["H"] = atoms.get("H", 0) + protons
    if atoms["H"] < 0 or not any(atoms.values()):
        return None
    kept = tuple(sorted((symbol, count) for symbol, count in atoms.items() if count))
    return Formula(kept, species.charge + charge)


def _slips(given: Formula, wants_acid: bool) -> dict[str, Formula]:
    step = 1 if wants_acid else -1
    found = {
        "partner_on_the_other_side": _shifted(given, -step, -step),
        "charge_not_changed": _shifted(given, step, 0),
        "two_protons": _shifted(given, 2 * step, 2 * step),
        "charge_turned": _shifted(given, step, -step),
        "proton_for_partner": None if given == WATER and wants_acid else HYDROGEN_ION,
    }
    return {code: species for code, species in found.items() if species is not None}


def _solution(given: Formula, key: Formula, wants_acid: bool) -> tuple[str, ...]:
    rule = (
        _("The conjugate acid has one proton more: {species} with {proton} is {partner}.")
        if wants_acid
        else _("The conjugate base has one proton less: {species} without {proton} is {partner}.")
    )
    return (
        # A proton that moves is H⁺ in every class, however it writes the ion in water.
        rule.format(species=say.uni(given), partner=say.uni(key), proton=as_unicode(HYDROGEN_ION)),
        _("The charge changes by one with it: {species} and {partner} are a pair.").format(
            species=say.uni(given), partner=say.uni(key)
        ),
    )


SKILLS: tuple[Skill, ...] = (
    Skill(
        "acid_base.conjugate",
        "acid_base",
        "Conjugate partner",
        ("second_year",),
        "formula",
        applies,
        make,
        ("acid_base.ion_behind_colour",),
    ),
)
