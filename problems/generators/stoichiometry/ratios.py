"""Ratios of amounts: gas to gas, electrons to gas."""

from collections.abc import Callable
from dataclasses import dataclass
from math import gcd
from random import Random

from problems.cell.evidence import Electrode, Evidence
from problems.cell.setup import Setup
from problems.generators import build, say, seen
from problems.question import Level, Made, Skill
from problems.words import _

Pair = tuple[int, int]


def applies(setup: Setup, cell: Evidence) -> bool:
    return "ratio" in cell.fair and len(seen.answerable(cell)) == 2


@dataclass(frozen=True, slots=True)
class Asked:
    """A ratio to ask for, with the wrong ratios that mistakes lead to."""

    prompt: str
    key: Pair
    slips: dict[str, Pair]


def make(setup: Setup, cell: Evidence, level: Level, rng: Random) -> Made:
    """Gas to gas or electrons to gas, in either order."""
    asked = rng.choice(ASKS)(cell)
    part = build.ratio(asked.prompt, asked.key, _hints(), _solution(cell, asked.key), asked.slips)
    return Made.single(part, say.cell(setup))


def _lowest(first: int, second: int) -> Pair:
    divisor = gcd(first, second)
    return first // divisor, second // divisor


def _shares(cell: Evidence) -> tuple[Pair, Pair]:
    """(gas, electrons) in the half-reaction of the cathode, then of the anode."""
    return _share(cell.electrodes[0]), _share(cell.electrodes[1])


def _share(electrode: Electrode) -> Pair:
    half = seen.half(electrode)
    assert half is not None
    assert electrode.gas is not None
    return int(dict(half.right)[electrode.gas]), int(abs(half.electrons))


def _gases(cell: Evidence) -> Asked:
    prompt = _(
        "In what ratio are the amounts of gas made at the cathode and at the anode, cathode first, if none "
        "dissolves?"
    )
    return _gas_ratio(cell, prompt, turned=False)


def _gases_turned(cell: Evidence) -> Asked:
    prompt = _(
        "In what ratio are the amounts of gas made at the anode and at the cathode, anode first, if none "
        "dissolves?"
    )
    return _gas_ratio(cell, prompt, turned=True)


def _gas_ratio(cell: Evidence, prompt: str, turned: bool) -> Asked:
    (gas_c, electrons_c), (gas_a, electrons_a) = _shares(cell)
    key = _lowest(gas_c * electrons_a, gas_a * electrons_c)
    half_numbers = _lowest(gas_c, gas_a)
    masses = (cell.electrodes[0].gas, cell.electrodes[1].gas)
    mass = _lowest(*(round(gas.molar_mass) * share for gas, share in zip(masses, key, strict=True) if gas))
    by_electrons = _lowest(electrons_c, electrons_a)
    slips = {
        "ratio_turned_over": (key[1], key[0]),
        "electrons_not_made_equal": half_numbers,
        "ratio_of_electrons": by_electrons,
        "ratio_of_masses": mass,
    }
    if turned:
        key = (key[1], key[0])
        slips = {code: (second, first) for code, (first, second) in slips.items()}
    return Asked(prompt, key, slips)


def _electrons_cathode(cell: Evidence) -> Asked:
    return _electron_ratio(cell, 0)


def _electrons_anode(cell: Evidence) -> Asked:
    return _electron_ratio(cell, 1)


def _cathode_electrons(cell: Evidence) -> Asked:
    return _turned(_electron_ratio(cell, 0), cell, 0)


def _anode_electrons(cell: Evidence) -> Asked:
    return _turned(_electron_ratio(cell, 1), cell, 1)


def _turned(asked: Asked, cell: Evidence, place: int) -> Asked:
    """The same ratio, gas first."""
    electrode = cell.electrodes[place]
    prompt = _(
        "In what ratio are the amount of {gas} made at the {where} and the amount of electrons that pass, "
        "gas first?"
    ).format(gas=say.product_name(seen.gas(electrode)), where=say.electrode(electrode.role))
    slips = {code: (second, first) for code, (first, second) in asked.slips.items()}
    return Asked(prompt, (asked.key[1], asked.key[0]), slips)


def _electron_ratio(cell: Evidence, place: int) -> Asked:
    gas, electrons = _shares(cell)[place]
    other_gas, other_electrons = _shares(cell)[1 - place]
    electrode = cell.electrodes[place]
    prompt = _(
        "In what ratio are the amount of electrons that pass and the amount of {gas} made at the {where}, "
        "electrons first?"
    ).format(gas=say.product_name(seen.gas(electrode)), where=say.electrode(electrode.role))
    return Asked(
        prompt,
        _lowest(electrons, gas),
        {
            "ratio_turned_over": _lowest(gas, electrons),
            "ratio_at_the_other_electrode": _lowest(other_electrons, other_gas),
            "one_electron_each": (1, 1),
            "electrons_added_up": _lowest(electrons + other_electrons, gas),
        },
    )


def _hints() -> tuple[str, str, str]:
    return (
        _("Write down both half-reactions first; each says how many electrons go with its gas."),
        _("The same electrons go through both electrodes, so make their number equal before you compare."),
        _("Then read the numbers in front of what is asked, in the order asked, and shorten them."),
    )


def _solution(cell: Evidence, key: Pair) -> tuple[str, ...]:
    cathode, anode = cell.electrodes
    return (
        _("Cathode: {half}").format(half=say.uni(seen.half(cathode))),
        _("Anode: {half}").format(half=say.uni(seen.half(anode))),
        _("The same charge passes both, so the electrons are made equal before comparing."),
        _("In the order asked the ratio is {first} : {second}.").format(first=key[0], second=key[1]),
    )


ASKS: tuple[Callable[[Evidence], Asked], ...] = (
    _gases,
    _gases_turned,
    _electrons_cathode,
    _electrons_anode,
    _cathode_electrons,
    _anode_electrons,
)

SKILLS: tuple[Skill, ...] = (
    Skill(
        "stoichiometry.gas_ratio",
        "stoichiometry",
        "Gas ratio",
        ("first_year",),
        "ratio",
        applies,
        make,
        ("redox.half_reaction", "balancing.equal_electrons"),
    ),
)
