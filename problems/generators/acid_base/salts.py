"""Is the solution of a salt acidic, neutral or basic, and by which reaction with water."""

from random import Random
from typing import Literal

from problems.cell.evidence import Evidence
from problems.cell.setup import Setup
from problems.chemistry.equation import Equation
from problems.chemistry.formula import HYDROGEN_ION, HYDRONIUM, Formula
from problems.chemistry.medium import with_hydronium
from problems.generators import build, say
from problems.question import Level, Made, Option, Skill
from problems.words import _

Nature = Literal["acidic", "neutral", "basic"]
COUSINS: dict[str, Nature] = {
    "KCl": "neutral",
    "NaBr": "neutral",
    "LiNO3": "neutral",
    "NaI": "neutral",
    "K2CO3": "basic",
    "Na3PO4": "basic",
    "CH3COONa": "basic",
    "CH3COOK": "basic",
    "AlCl3": "acidic",
    "FeCl3": "acidic",
    "Al(NO3)3": "acidic",
    "ZnCl2": "acidic",
}
"""Other salts to ask about. Source: Chemistry 2e (OpenStax), section 14.4, acid-base behaviour of ions."""


def applies(setup: Setup, cell: Evidence) -> bool:
    return cell.use != "refused" and "nature" in cell.fair and setup.row.strong is None


def make_nature(setup: Setup, cell: Evidence, level: Level, rng: Random) -> Made:
    """The nature of the solution in the cell, or of another salt that is compared with it."""
    own = rng.random() < 0.6
    salt, nature = (setup.row.formula, setup.row.nature) if own else _cousin(setup, rng)
    prompt = (
        _(
            "Before the current flows, and with no acid or base added: is the solution of {salt} acidic, "
            "neutral or basic, and why?"
        )
        if own
        else _(
            "For comparison, a beaker holds 0.10 mol/L {salt}: is that solution acidic, neutral or basic, "
            "and why?"
        )
    )
    part = build.choice(
        prompt.format(salt=say.uni(salt)),
        _options(nature),
        (
            _("Ask of each ion of the salt whether it reacts with water at all."),
            _("Ions that belong to strong acids and strong bases leave water as it is."),
            _(
                "Small, highly charged metal ions and partners of weak bases give protons; partners of weak "
                "acids take them."
            ),
        ),
        _solution(salt, nature),
        rng,
        _slips(nature),
    )
    return Made.single(part, say.cell(setup))


def _slips(nature: Nature) -> dict[str, list[str]]:
    """None for a neutral salt: its solution is not of the nature that such an answer mixes up."""
    if nature == "neutral":
        return {}
    acidic = nature == "acidic"
    return {
        "acid_and_base_exchanged": ["basic_anion" if acidic else "acidic_cation"],
        "every_salt_neutral": ["neutral_ions"],
        "wrong_ion_blamed": ["acidic_anion" if acidic else "basic_cation"],
    }


def _cousin(setup: Setup, rng: Random) -> tuple[Formula, Nature]:
    """A salt of another nature than the setup's, so that the comparison says something."""
    others = [(key, nature) for key, nature in COUSINS.items() if nature != setup.row.nature]
    key, nature = rng.choice(others)
    return Formula.parse(key), nature


def _options(nature: Nature) -> list[Option]:
    right = {"acidic": "acidic_cation", "neutral": "neutral_ions", "basic": "basic_anion"}[nature]
    texts = {
        "acidic_cation": _("Acidic: the positive ion gives protons to water."),
        "acidic_anion": _("Acidic: the negative ion gives protons to water."),
        "neutral_ions": _("Neutral: neither ion reacts with water."),
        "basic_anion": _("Basic: the negative ion takes protons from water."),
        "basic_cation": _("Basic: the positive ion takes protons from water."),
    }
    return [Option(key, text, "" if key == right else _why_wrong(key, right)) for key, text in texts.items()]


def _why_wrong(key: str, right: str) -> str:
    """By nature and ion, the two words of a key."""
    if right == "neutral_ions":
        return _("An ion of a strong acid or base does not react with water, so it cannot do that.")
    if key == "neutral_ions":
        return _("One of the ions does react with water, so the solution is not neutral.")
    (nature, ion), (right_nature, right_ion) = key.split("_"), right.split("_")
    if nature == right_nature:
        return _("The nature fits, but it is the other ion that reacts with water.")
    if ion == right_ion:
        return _("That ion does react with water, but the other way round.")
    return _("It is the other ion that reacts with water, and it makes the solution the opposite of this.")


def _solution(salt: Formula, nature: Nature) -> tuple[str, ...]:
    last = {
        "acidic": _("Its positive ion gives protons to water: the solution is acidic."),
        "neutral": _(
            "Both ions are the partners of a strong acid and a strong base: the solution is neutral."
        ),
        "basic": _("Its negative ion takes protons from water and leaves OH⁻: the solution is basic."),
    }[nature]
    return (_("{salt} falls into its ions in water.").format(salt=say.uni(salt)), last)


def hydrolysis_applies(setup: Setup, cell: Evidence) -> bool:
    return applies(setup, cell) and bool(setup.row.hydrolysis)


def make_hydrolysis(setup: Setup, cell: Evidence, level: Level, rng: Random) -> Made:
    """The reaction of an ion with water, first step: of the salt in the cell, or of another one."""
    salt, key = setup.row.formula, _key(setup)
    own = rng.random() < 0.5
    if not own:
        name, text = rng.choice([row for row in OTHER_STEPS.items() if Equation.parse(row[1]) != key])
        salt, key = Formula.parse(name), Equation.parse(text)
    ion = next(species for species, _count in key.left if species.charge)
    acid = any(species in (HYDROGEN_ION, HYDRONIUM) for species, _count in key.right)
    part = build.equation(
        _hydrolysis_prompt(own, acid).format(salt=say.uni(salt), note=_note(ion)).strip(),
        key,
        "net_ionic",
        (
            _("First decide which of the two ions can react with water at all."),
            _("In one step a single proton changes its place between that ion and a water molecule."),
            _("Write what the ion has become, and what water has become; check that the charges agree."),
        ),
        (
            _(
                "{ion} reacts with water; its partner is the ion of a strong acid or base and does not."
            ).format(ion=say.uni(ion)),
            _("Water takes one proton from it, or from the water bound to it:")
            if acid
            else _("It takes one proton from a water molecule:"),
            say.uni(key),
        ),
    )
    return Made.single(part, say.cell(setup))


OTHER_STEPS = {
    "CH3COONa": "CH3COO^- + H2O -> CH3COOH + OH^-",
    "Na3PO4": "PO4^3- + H2O -> HPO4^2- + OH^-",
    "K2CO3": "CO3^2- + H2O -> HCO3^- + OH^-",
    "FeCl3": "Fe^3+ + 2 H2O -> Fe(OH)^2+ + H3O^+",
    "AlCl3": "Al^3+ + 2 H2O -> Al(OH)^2+ + H3O^+",
    "ZnCl2": "Zn^2+ + 2 H2O -> Zn(OH)^+ + H3O^+",
    "NH4Br": "NH4^+ + H2O -> NH3 + H3O^+",
}
"""First steps of other salts. Source: Chemistry 2e (OpenStax), section 14.4."""


def _hydrolysis_prompt(own: bool, acid: bool) -> str:
    if own:
        return (
            _(
                "The {salt} solution is acidic before the current flows. Write the net ionic equation of "
                "the reaction with water that is behind this, first step only. {note}"
            )
            if acid
            else _(
                "The {salt} solution is basic before the current flows. Write the net ionic equation of the "
                "reaction with water that is behind this, first step only. {note}"
            )
        )
    return (
        _(
            "For comparison, a beaker holds a solution of {salt}, which is acidic. Write the net ionic "
            "equation of the reaction with water that is behind this, first step only. {note}"
        )
        if acid
        else _(
            "For comparison, a beaker holds a solution of {salt}, which is basic. Write the net ionic "
            "equation of the reaction with water that is behind this, first step only. {note}"
        )
    )


def _key(setup: Setup) -> Equation:
    """The first equation of the row that keeps the proton with water and carbonic acid undivided."""
    for each in setup.row.hydrolysis:
        if each.left[-1][0].plain == "H2O" or len(each.left) > 1:
            return with_hydronium(each) if _gives(each) else each
    return setup.row.hydrolysis[0]


def _gives(equation: Equation) -> bool:
    return any(species == HYDROGEN_ION for species, _count in equation.right)


def _note(ion: Formula) -> str:
    if ion.plain == "HCO3^-":
        return _("Write carbonic acid undivided.")
    if ion.charge > 1:
        return _("Write the metal ion without the water bound to it.")
    return ""


SKILLS: tuple[Skill, ...] = (
    Skill(
        "acid_base.salt_solution",
        "acid_base",
        "Acidic, neutral or basic salt",
        ("first_year",),
        "choice",
        applies,
        make_nature,
        version=2,
    ),
    Skill(
        "acid_base.hydrolysis",
        "acid_base",
        "Reaction of a salt with water",
        ("second_year",),
        "equation",
        hydrolysis_applies,
        make_hydrolysis,
        ("acid_base.salt_solution", "acid_base.conjugate"),
        spread="electrolyte",
    ),
)
