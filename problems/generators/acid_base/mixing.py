"""What is left when the contents of both arms are poured together after the run."""

from random import Random

from problems.cell.evidence import Evidence
from problems.cell.setup import Setup
from problems.chemistry.formula import HYDROGEN_ION, HYDROXIDE
from problems.generators import build, say, seen
from problems.generators.reactions import ALKALI
from problems.question import Level, Made, Option, Skill
from problems.words import _

HALOGENS = frozenset({"Cl2", "Br2", "I2"})


def applies(setup: Setup, cell: Evidence) -> bool:
    """Not where a buffer or a metal ion binds what the arms make."""
    if len(seen.answerable(cell)) < 2 or setup.row.strong is not None:
        return False
    cations = {ion.plain for ion in setup.row.ions if ion.charge > 0}
    simple = cations <= ALKALI and setup.row.nature == "neutral"
    return simple or cell.electrodes[0].ion is None


def make(setup: Setup, cell: Evidence, level: Level, rng: Random) -> Made:
    """The balance of acid and base over both arms."""
    right = _right(cell)
    halogen = any(product.plain in HALOGENS for arm in cell.electrodes for product in arm.products)
    opening = (
        _("After the run all halogen is shaken out with hexane and both arms are poured together.")
        if halogen
        else _("After the run both arms are poured together and stirred.")
    )
    part = build.choice(
        _("{opening} Compared with the solution before the run, what has become of acid and base?").format(
            opening=opening
        ),
        _options(right),
        (
            _(
                "Write both half-reactions for the same number of electrons and look for the ions of acids "
                "and bases."
            ),
            _("Compare how many of each kind the two arms have made."),
            _("What one arm has made too few of to bind the other stays in the mixture."),
        ),
        _solution(cell, right),
        rng,
        {
            "arms_always_cancel": ["all_water"],
            "acid_and_base_exchanged": [
                {"acid_left": "base_left", "base_left": "acid_left"}.get(right, "acid_left")
            ],
            "nothing_made": ["none_made"],
        },
    )
    return Made.single(part, say.cell(setup))


def _right(cell: Evidence) -> str:
    cathode, anode = (arm.ion for arm in cell.electrodes)
    if cathode == HYDROXIDE and anode == HYDROGEN_ION:
        return "all_water"
    if anode == HYDROGEN_ION:
        return "acid_left"
    return "base_left" if cathode == HYDROXIDE else "none_made"


def _options(right: str) -> list[Option]:
    cathode_makes = right in ("all_water", "base_left")
    texts = {
        "all_water": _(
            "Equal amounts of H⁺ and OH⁻ were made: they give water, and nothing of either is left over."
        ),
        "acid_left": _("H⁺ was made and no OH⁻ to bind it: the mixture has become more acidic."),
        "base_left": _("OH⁻ was made and no H⁺ to bind it: the mixture has become more basic."),
        "none_made": _("Neither H⁺ nor OH⁻ was made: acid and base are as before."),
    }
    why = (
        _("At the cathode water is discharged here, which leaves OH⁻ there.")
        if cathode_makes
        else _("At the cathode metal ions are discharged here, not water, so no OH⁻ is made there.")
    )
    other = (
        _("At the anode water is discharged here, which leaves H⁺ there.")
        if right in ("all_water", "acid_left")
        else _("At the anode no water is discharged here, so no H⁺ is made there.")
    )
    says_base = {"all_water": True, "acid_left": False, "base_left": True, "none_made": False}
    return [
        Option(key, text, "" if key == right else (why if says_base[key] != cathode_makes else other))
        for key, text in texts.items()
    ]


def _solution(cell: Evidence, right: str) -> tuple[str, ...]:
    cathode, anode = cell.electrodes
    last = {
        "all_water": _("One H⁺ and one OH⁻ come with each electron, so all of both becomes water."),
        "acid_left": _("Only the anode makes one of the two ions, H⁺: acid is left."),
        "base_left": _("Only the cathode makes one of the two ions, OH⁻: base is left."),
        "none_made": _("Neither H⁺ nor OH⁻ stands in these half-reactions: nothing of either is made."),
    }[right]
    return (
        _("Cathode: {half}").format(half=say.uni(seen.half(cathode))),
        _("Anode: {half}").format(half=say.uni(seen.half(anode))),
        last,
    )


SKILLS: tuple[Skill, ...] = (
    Skill(
        "acid_base.mixed_arms",
        "acid_base",
        "Both arms mixed",
        ("first_year",),
        "choice",
        applies,
        make,
        ("redox.half_reaction",),
        spread="reaction",
    ),
)
