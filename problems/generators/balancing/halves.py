"""Charge in a half-reaction, by electrons; and how often each half must be taken."""

from math import gcd
from random import Random

from problems.cell.evidence import Electrode, Evidence
from problems.cell.setup import Setup
from problems.chemistry.equation import Equation, charge_on
from problems.generators import build, say, seen
from problems.question import Level, Made, Part, Skill
from problems.words import _

Pair = tuple[int, int]


def charge_applies(setup: Setup, cell: Evidence) -> bool:
    return bool(seen.answerable(cell))


def make_charge(setup: Setup, cell: Evidence, level: Level, rng: Random) -> Made:
    """The electrons of a half-reaction whose atoms are balanced already."""
    return Made.single(charge_part(rng.choice(seen.answerable(cell))), say.cell(setup))


def charge_part(electrode: Electrode) -> Part:
    """The part that asks for the electrons of one half-reaction; chains use it too."""
    half = seen.half(electrode)
    bare = without_electrons(half)
    left, right = charge_on(bare.left), charge_on(bare.right)
    return build.equation(
        _(
            "At the {where} the atoms are balanced already: {bare}. Complete the half-reaction with "
            "electrons."
        ).format(where=say.electrode(electrode.role), bare=say.uni(bare)),
        half,
        "half_reaction",
        (
            _("Add up the charges on each side before anything else."),
            _("An electron carries one negative charge; it makes a side more negative."),
            _("Put as many electrons on the more positive side as bring both sums together."),
        ),
        (
            _("Charge on the left {left}, on the right {right}.").format(
                left=_signed(left), right=_signed(right)
            ),
            _side_line(half),
            say.uni(half),
        ),
        accepted=seen.either_medium(electrode),
        skill="balancing.charge",
    )


def _side_line(half: Equation) -> str:
    count = int(abs(half.electrons))
    if count == 1:
        return (
            _("One electron on the left makes both sides equal.")
            if half.electrons > 0
            else _("One electron on the right makes both sides equal.")
        )
    sentence = (
        _("{count} electrons on the left make both sides equal.")
        if half.electrons > 0
        else _("{count} electrons on the right make both sides equal.")
    )
    return sentence.format(count=count)


def without_electrons(half: Equation) -> Equation:
    """The half-reaction with its electrons left out."""
    left, right = (
        tuple((species, count) for species, count in side if not species.is_electron)
        for side in (half.left, half.right)
    )
    return Equation(left, right)


def _signed(charge: object) -> str:
    return f"{int(str(charge)):+d}".replace("-", "−").replace("+0", "0")


def equal_applies(setup: Setup, cell: Evidence) -> bool:
    return len(seen.answerable(cell)) == 2


def make_equal(setup: Setup, cell: Evidence, level: Level, rng: Random) -> Made:
    """How often each half-reaction is taken, one electrode first or the other."""
    turned = rng.random() < 0.5
    return Made.single(equal_part(cell, turned), say.cell(setup))


def equal_part(cell: Evidence, turned: bool) -> Part:
    """The part that asks for the factors, anode first where `turned`; chains use it too."""
    cathode, anode = map(seen.half, cell.electrodes)
    taken, given = int(cathode.electrons), int(-anode.electrons)
    divisor = gcd(taken, given)
    key = (given // divisor, taken // divisor)
    slips = {
        "ratio_turned_over": (key[1], key[0]),
        "one_of_each": (1, 1),
        "electrons_added_up": (taken + given, given),
    }
    if turned:
        key = (key[1], key[0])
        slips = {code: (second, first) for code, (first, second) in slips.items()}
    return build.ratio(
        _equal_prompt(turned).format(cathode=say.uni(cathode), anode=say.uni(anode)),
        key,
        (
            _("No electron may be left over: as many are given at one electrode as are taken at the other."),
            _("Compare the numbers of electrons in both lines and look for their least common multiple."),
            _("The half with fewer electrons has to be taken more often."),
        ),
        (
            _("The cathode line takes {taken}, the anode line gives {given} electrons.").format(
                taken=taken, given=given
            ),
            _("In the order asked the lines are taken {first} : {second}.").format(
                first=key[0], second=key[1]
            ),
        ),
        slips,
        skill="balancing.equal_electrons",
    )


def _equal_prompt(turned: bool) -> str:
    if turned:
        return _(
            "At the cathode {cathode}, at the anode {anode}. In what ratio are the two taken, so that all "
            "electrons given are taken up? Anode first."
        )
    return _(
        "At the cathode {cathode}, at the anode {anode}. In what ratio are the two taken, so that all "
        "electrons given are taken up? Cathode first."
    )


SKILLS: tuple[Skill, ...] = (
    Skill(
        "balancing.charge",
        "balancing",
        "Charge with electrons",
        ("first_year",),
        "equation",
        charge_applies,
        make_charge,
        ("balancing.atoms",),
        spread="reaction",
    ),
    Skill(
        "balancing.equal_electrons",
        "balancing",
        "Equal electrons in both halves",
        ("first_year",),
        "ratio",
        equal_applies,
        make_equal,
        ("balancing.charge",),
    ),
)
