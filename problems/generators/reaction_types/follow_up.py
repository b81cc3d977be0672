"""What is done with the contents of the cell afterwards: the type of that reaction and its equation."""

from random import Random

from problems.cell.evidence import Evidence
from problems.cell.setup import Setup
from problems.generators import build, say
from problems.generators.reactions import Reaction, fitting
from problems.question import Level, Made, Option, Skill
from problems.words import _


def applies(setup: Setup, cell: Evidence) -> bool:
    return bool(fitting("follow_up", setup, cell))


def make_type(setup: Setup, cell: Evidence, level: Level, rng: Random) -> Made:
    """The type of a follow-up reaction from what is told."""
    reaction = _drawn(setup, cell, rng)
    right = reaction.type or ""
    part = build.choice(
        _("{told} What type of reaction is that?").format(told=reaction.text),
        [Option(key, text, "" if key == right else _why_not(key, right)) for key, text in _texts().items()],
        (
            _("Write down what there is before and after: ions, solids, gases, free elements."),
            _("A free element that appears or vanishes is a sign that electrons have changed hands."),
            _("Without free elements, look for a solid that comes out, or for a proton that has moved."),
        ),
        (reaction.text, say.uni(reaction.equation), _reasons()[right]),
        rng,
        {
            "gas_or_solid_alone": ["gas" if right == "displacement" else "precipitation"],
            "protons_for_electrons": [
                "neutralisation" if right in ("displacement", "combination") else "displacement"
            ],
        },
    )
    return Made.single(part, say.cell(setup))


def _drawn(setup: Setup, cell: Evidence, rng: Random) -> Reaction:
    """One of the reactions, each type with the same chance."""
    found = fitting("follow_up", setup, cell)
    kind = rng.choice(sorted({each.type or "" for each in found}))
    return rng.choice([each for each in found if each.type == kind])


def _texts() -> dict[str, str]:
    return {
        "neutralisation": _(
            "Acid–base: protons pass from an acid to a base, and water is formed; nothing escapes."
        ),
        "gas": _("Acid–base: protons pass to a weak base or from a weak acid, and a gas escapes."),
        "precipitation": _("Precipitation: ions of two solutions leave the liquid together as a solid."),
        "displacement": _("Redox: an element drives another out of its compound or its ions."),
        "combination": _("Redox: two elements join into one compound."),
    }


def _reasons() -> dict[str, str]:
    return {
        "neutralisation": _(
            "H⁺ and OH⁻ join to water: protons change hands, oxidation numbers do not change."
        ),
        "gas": _("A proton changes hands and a gas forms; no oxidation number changes."),
        "precipitation": _("The ions keep their charges and only come together in a solid."),
        "displacement": _(
            "One element goes into ions and another comes out of them: electrons change hands."
        ),
        "combination": _("Two free elements end in one compound: electrons change hands."),
    }


def _why_not(key: str, right: str) -> str:
    if key in ("displacement", "combination") and right not in ("displacement", "combination"):
        return _("No free element takes part, so no electrons change hands.")
    return {
        "neutralisation": _("More happens here than that acid and base give water."),
        "gas": _("Either no gas escapes, or it is made by electrons and not by protons changing hands."),
        "precipitation": _("No two kinds of dissolved ions join to a solid here."),
        "displacement": _("No element takes the place of another here."),
        "combination": _("More than one product forms, so this is not two elements joining."),
    }[key]


def make_products(setup: Setup, cell: Evidence, level: Level, rng: Random) -> Made:
    """The equation of a follow-up reaction."""
    reaction = _drawn(setup, cell, rng)
    whole = all(not species.charge for species in reaction.equation.species)
    prompt = (
        _("{told} Write the balanced equation.")
        if whole
        else _("{told} Write the balanced net ionic equation.")
    )
    part = build.equation(
        prompt.format(told=reaction.text),
        reaction.equation,
        "overall" if whole else "net_ionic",
        (
            _("First list the ions and substances that meet."),
            _("Leave out ions that are the same before and after."),
            _kind_hints()[reaction.type or ""],
        ),
        (reaction.text, _reasons()[reaction.type or ""], say.uni(reaction.equation)),
    )
    return Made.single(part, say.cell(setup))


def _kind_hints() -> dict[str, str]:
    return {
        "neutralisation": _("The ion of every acid meets the ion of every base; what do the two make?"),
        "gas": _(
            "Move one proton at a time from the acid to the base, and see what then falls apart or escapes."
        ),
        "precipitation": _("Bring the two ions together in the numbers in which their charges cancel."),
        "displacement": _(
            "Write what is oxidised and what is reduced apart, make the electrons equal and add."
        ),
        "combination": _(
            "Both elements are two-atom molecules; balance them against the one compound they form."
        ),
    }


SKILLS: tuple[Skill, ...] = (
    Skill(
        "reaction_types.follow_up_type",
        "reaction_types",
        "Type of a follow-up reaction",
        ("first_year",),
        "choice",
        applies,
        make_type,
    ),
    Skill(
        "reaction_types.follow_up_products",
        "reaction_types",
        "Products of a follow-up reaction",
        ("first_year",),
        "equation",
        applies,
        make_products,
        ("reaction_types.follow_up_type", "balancing.atoms"),
    ),
)
