"""What sort of reaction the two half-reactions add up to."""

from random import Random

from problems.cell.evidence import Evidence
from problems.cell.setup import Setup
from problems.chemistry.formula import WATER
from problems.generators import build, say, seen
from problems.question import Level, Made, Option, Skill
from problems.words import _

KINDS = ("water_decomposed", "salt_decomposed", "metal_and_oxygen", "halogen_and_hydrogen")


def applies(setup: Setup, cell: Evidence) -> bool:
    return "overall" in cell.fair and len(seen.answerable(cell)) == 2


def kind_of(cell: Evidence) -> str:
    """The type of the overall reaction, by what goes into it."""
    reactants = {species for species, _count in seen.overall(cell).left}
    if reactants == {WATER}:
        return "water_decomposed"
    if WATER not in reactants:
        return "salt_decomposed"
    return "metal_and_oxygen" if any(species.charge > 0 for species in reactants) else "halogen_and_hydrogen"


def make(setup: Setup, cell: Evidence, level: Level, rng: Random) -> Made:
    """The type, from the overall equation or from the two half-reactions."""
    right = kind_of(cell)
    shown = rng.random() < 0.5
    prompt = (
        _("The overall reaction is {overall}. Which description fits it?").format(
            overall=say.uni(seen.overall(cell))
        )
        if shown
        else _(
            "At the cathode {cathode}, at the anode {anode}. Which description fits the sum of both?"
        ).format(cathode=_half(cell, 0), anode=_half(cell, 1))
    )
    part = build.choice(
        prompt,
        _options(right),
        (
            _("Look at what goes into the sum of both half-reactions, and at what does not."),
            _("Electrons pass through the wire, so something is oxidised and something is reduced."),
            _("Ask of each product whether its atoms come from water or from the dissolved compound."),
        ),
        (
            _("Cathode: {half}").format(half=_half(cell, 0)),
            _("Anode: {half}").format(half=_half(cell, 1)),
            _("Overall: {overall}").format(overall=say.uni(seen.overall(cell))),
            _texts()[right],
        ),
        rng,
        {
            "ions_only_carry": ["salt_decomposed" if right == "water_decomposed" else "water_decomposed"],
            "redox_overlooked": ["no_electrons"],
        },
    )
    return Made.single(part, say.cell(setup))


def _half(cell: Evidence, place: int) -> str:
    return say.uni(seen.half(cell.electrodes[place]))


def _texts() -> dict[str, str]:
    return {
        "water_decomposed": _("Redox: water alone is taken apart into its elements."),
        "salt_decomposed": _("Redox: the dissolved compound alone is taken apart into its elements."),
        "metal_and_oxygen": _("Redox: the compound gives its metal, water gives oxygen, and acid is left."),
        "halogen_and_hydrogen": _(
            "Redox: the compound gives its halogen, water gives hydrogen, and base is left."
        ),
        "no_electrons": _("Acid–base: protons change hands, but no electrons."),
    }


def _options(right: str) -> list[Option]:
    reasons = {
        "water_decomposed": _("Not only water goes in: an ion of the dissolved compound is used up as well."),
        "salt_decomposed": _("Water goes into the sum, so the dissolved compound is not taken apart alone."),
        "metal_and_oxygen": _("These are not the products: look for a metal and for oxygen in the sum."),
        "halogen_and_hydrogen": _(
            "These are not the products: look for a halogen and for hydrogen in the sum."
        ),
        "no_electrons": _(
            "Free elements appear from compounds, so oxidation numbers change: electrons do pass."
        ),
    }
    if right == "salt_decomposed":
        reasons["water_decomposed"] = _("Water does not stand in the sum at all.")
    return [Option(key, text, "" if key == right else reasons[key]) for key, text in _texts().items()]


SKILLS: tuple[Skill, ...] = (
    Skill(
        "reaction_types.overall_type",
        "reaction_types",
        "Type of the overall reaction",
        ("first_year",),
        "choice",
        applies,
        make,
        ("balancing.add_and_cancel",),
        spread="reaction",
    ),
)
