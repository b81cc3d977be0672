"""Which cells are proposed: bench-scale setups drawn from recipes, and one on which a skill applies."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache
from random import Random
from types import MappingProxyType
from typing import Literal

from problems.cell import tables
from problems.cell.evidence import Evidence, evidence
from problems.cell.setup import Setup
from problems.errors import ProblemError
from problems.question import Level, Skill, Spread
from problems.words import _

Family = Literal["neutral", "acid", "base", "halide", "plating", "metal"]
INERT = (("graphite", "graphite"), ("platinum", "platinum"))
PLATINUM = (("platinum", "platinum"),)
SHORT = ((40, 65), (110, 150))
"""Charge [C] and current [mA] where chlorine forms: little of it, and soon over."""
ON_COPPER = (*INERT, ("copper", "graphite"), ("copper", "platinum"))
ON_SILVER = (*INERT, ("silver", "graphite"), ("silver", "platinum"))
IN_ALKALI = (*PLATINUM, ("graphite", "graphite"), ("nickel", "nickel"))
WEIGHTS = {"bench": 6, "hood": 2, "paper": 1}
TRIES = 60
PROBES = 6
CELSIUS = 273.15
ARMS = (40e-6, 50e-6, 60e-6)
"""Liquid in one arm [m³]."""


class NoSetupError(ProblemError):
    """A skill that can be asked on no proposed setup; `skill` names it."""

    def __init__(self, skill: str) -> None:
        self.skill = skill
        super().__init__(_("No setup fits the skill {skill}.").format(skill=skill))


@dataclass(frozen=True, slots=True)
class Recipe:
    """What is proposed with one electrolyte; numbers are drawn inside these limits.

    `molarities` [mol/L] to choose from, `charge` [C] from least to most, `current` [mA] likewise.
    """

    family: Family
    electrolyte: str
    molarities: tuple[float, ...]
    pairs: tuple[tuple[str, str], ...] = INERT
    charge: tuple[int, int] = (80, 190)
    current: tuple[int, int] = (60, 150)
    use: Literal["bench", "hood", "paper"] = "bench"


RECIPES: tuple[Recipe, ...] = (
    Recipe("neutral", "KNO3", (0.2, 0.25, 0.3, 0.4, 0.5)),
    Recipe("neutral", "NaNO3", (0.2, 0.25, 0.3, 0.4, 0.5)),
    Recipe("neutral", "K2SO4", (0.1, 0.15, 0.2, 0.25, 0.3)),
    Recipe("neutral", "Na2SO4", (0.1, 0.15, 0.2, 0.25, 0.5)),
    Recipe("neutral", "MgSO4", (0.1, 0.2, 0.25, 0.3, 0.5)),
    Recipe("acid", "H2SO4", (0.1, 0.15, 0.2, 0.25, 0.4)),
    Recipe("acid", "HCl", (1.2, 1.5, 1.8, 2.0), INERT, *SHORT, use="hood"),
    Recipe("acid", "(NH4)2SO4", (0.2, 0.25, 0.4, 0.5), PLATINUM),
    Recipe("acid", "Al2(SO4)3", (0.05, 0.08, 0.1), PLATINUM),
    Recipe("base", "NaOH", (0.2, 0.25, 0.3, 0.4, 0.5), IN_ALKALI),
    Recipe("base", "KOH", (0.2, 0.25, 0.3, 0.4, 0.5), IN_ALKALI),
    Recipe("base", "Na2CO3", (0.2, 0.25, 0.3, 0.4), PLATINUM),
    Recipe("base", "NaHCO3", (0.2, 0.25, 0.4, 0.5), PLATINUM),
    Recipe("halide", "NaCl", (1.5, 2.0, 2.5, 3.0), INERT, *SHORT, use="hood"),
    Recipe("halide", "KBr", (0.2, 0.25, 0.4, 0.5), charge=(50, 95), use="hood"),
    Recipe("halide", "KI", (0.15, 0.2), charge=(50, 120)),
    Recipe("plating", "CuSO4", (0.2, 0.25, 0.3, 0.4, 0.5), ON_COPPER),
    Recipe("plating", "Cu(NO3)2", (0.2, 0.25, 0.3, 0.4, 0.5), ON_COPPER),
    Recipe("plating", "AgNO3", (0.1, 0.15, 0.2), ON_SILVER, (80, 180), use="hood"),
    Recipe("plating", "CuCl2", (0.6, 0.8, 1.0), INERT, *SHORT, use="hood"),
    Recipe("metal", "CuSO4", (0.2, 0.25, 0.3, 0.4, 0.5), (("copper", "copper"), ("graphite", "copper"))),
    Recipe("metal", "Cu(NO3)2", (0.2, 0.25, 0.3, 0.4, 0.5), (("copper", "copper"), ("graphite", "copper"))),
    Recipe("metal", "ZnSO4", (0.2, 0.25, 0.3, 0.4, 0.5), (("zinc", "zinc"),)),
    Recipe("metal", "AgNO3", (0.1, 0.15, 0.2), (("silver", "silver"),), (80, 180), use="hood"),
    Recipe("metal", "NiSO4", (0.2, 0.25, 0.5), (("nickel", "nickel"),), use="paper"),
)

SHOWCASE = Setup("KNO3", 250.0, "graphite", "graphite", "phenol red", 0.1, 1200.0)
"""The cell of the first screen and of the README."""

OFFERED = MappingProxyType(
    {
        "potassium nitrate, phenol red, graphite": SHOWCASE,
        "sodium sulfate, bromothymol blue, platinum": Setup(
            "Na2SO4", 200.0, "platinum", "platinum", "bromothymol blue", 0.12, 1080.0
        ),
        "magnesium sulfate, phenol red, graphite": Setup(
            "MgSO4", 250.0, "graphite", "graphite", "phenol red", 0.1, 1200.0
        ),
        "dilute sulfuric acid, platinum": Setup("H2SO4", 200.0, "platinum", "platinum", None, 0.15, 900.0),
        "sodium hydroxide, nickel": Setup("NaOH", 250.0, "nickel", "nickel", None, 0.12, 1200.0),
        "potassium iodide, phenolphthalein, graphite": Setup(
            "KI", 200.0, "graphite", "graphite", "phenolphthalein", 0.08, 900.0
        ),
        "sodium chloride brine, bromothymol blue, graphite": Setup(
            "NaCl", 2000.0, "graphite", "graphite", "bromothymol blue", 0.1, 720.0
        ),
        "copper(II) sulfate, platinum": Setup("CuSO4", 250.0, "platinum", "platinum", None, 0.12, 1200.0),
        "copper(II) sulfate, copper": Setup("CuSO4", 250.0, "copper", "copper", None, 0.12, 1200.0),
        "zinc sulfate, zinc": Setup("ZnSO4", 250.0, "zinc", "zinc", None, 0.1, 1500.0),
    }
)
"""Ready setups to choose from by name."""


def propose_setup(rng: Random, recipes: Sequence[Recipe] = RECIPES) -> Setup:
    """A setup drawn at random: a family first, then one of its recipes, mostly for the open bench.

    Paper-only recipes are never proposed by themselves.

    >>> propose_setup(Random(1)) == propose_setup(Random(1))
    True
    """
    return draw(_pick([recipe for recipe in recipes if recipe.use != "paper"], rng), rng)


def draw(recipe: Recipe, rng: Random) -> Setup:
    """A setup of `recipe`, with numbers that a bench can drive and three honest figures."""
    cathode, anode = rng.choice(recipe.pairs)
    current = rng.randrange(recipe.current[0], recipe.current[1] + 1, 2) / 1000
    charge = rng.uniform(*recipe.charge)
    return Setup(
        recipe.electrolyte,
        round(rng.choice(recipe.molarities) * 1000, 6),
        cathode,
        anode,
        _indicator(recipe, rng),
        current,
        round(charge / current / 30) * 30.0,
        temperature=round(CELSIUS + rng.randrange(180, 251, 5) / 10, 2),
        pressure=float(rng.randrange(97_500, 103_001, 100)),
        arm_volume=rng.choice(ARMS),
    )


def setup_for(skill: Skill, level: Level, rng: Random) -> Setup:
    """A setup on which `skill` can be asked, drawn from `rng`.

    Raises NoSetupError where none is found.
    """
    return setup_and_evidence(skill, rng)[0]


def setup_and_evidence(skill: Skill, rng: Random) -> tuple[Setup, Evidence]:
    """As `setup_for`, with the evidence that was computed on the way."""
    recipes = fitting(skill)
    for _attempt in range(TRIES if recipes else 0):
        setup = draw(_pick(recipes, rng, skill.spread), rng)
        cell = evidence(setup)
        if skill.applies(setup, cell):
            return setup, cell
    raise NoSetupError(skill.name)


@cache
def fitting(skill: Skill) -> tuple[Recipe, ...]:
    """The recipes on which `skill` was found to apply, on a few setups of each."""
    return tuple(recipe for recipe in RECIPES if any(skill.applies(*probe) for probe in _probes(recipe)))


@cache
def _probes(recipe: Recipe) -> tuple[tuple[Setup, Evidence], ...]:
    rng = Random(f"{recipe.electrolyte}/{recipe.family}")
    setups = [draw(recipe, rng) for _probe in range(PROBES)]
    return tuple((setup, evidence(setup)) for setup in setups)


def _pick(recipes: Sequence[Recipe], rng: Random, spread: Spread = "family") -> Recipe:
    """A group of recipes first, then one of it, the open bench before the rest.

    Spread over reactions, every other draw is by family nevertheless.
    """
    group_of = GROUPS["family" if spread == "reaction" and rng.random() < 0.5 else spread]
    group = rng.choice(sorted({group_of(recipe) for recipe in recipes}))
    own = [recipe for recipe in recipes if group_of(recipe) == group]
    return rng.choices(own, [WEIGHTS[recipe.use] for recipe in own])[0]


GROUPS: dict[Spread, Callable[[Recipe], str]] = {
    "family": lambda recipe: recipe.family,
    "reaction": lambda recipe: str(_probes(recipe)[0][1].overall),
    "electrolyte": lambda recipe: recipe.electrolyte,
}


def _indicator(recipe: Recipe, rng: Random) -> str | None:
    """An indicator that tells something in this solution, as a rule; sometimes any, sometimes none."""
    draw_of_kind = rng.random()
    telling = telling_indicators(recipe)
    if draw_of_kind < 0.1:
        return None
    return rng.choice(telling if telling and draw_of_kind < 0.85 else tuple(tables.indicators()))


@cache
def telling_indicators(recipe: Recipe) -> tuple[str, ...]:
    """The indicators whose colour may be asked in some arm of a middling setup of `recipe`."""
    found = []
    for name in tables.indicators():
        cell = evidence(_middle(recipe, name))
        if any("colour" in electrode.fair for electrode in cell.electrodes):
            found.append(name)
    return tuple(found)


def _middle(recipe: Recipe, indicator: str) -> Setup:
    cathode, anode = recipe.pairs[0]
    molarity = recipe.molarities[len(recipe.molarities) // 2]
    time = sum(recipe.charge) / 2 / 0.1
    return Setup(recipe.electrolyte, molarity * 1000, cathode, anode, indicator, 0.1, time)


def setup_on(skill: Skill, electrolyte: str, rng: Random) -> Setup:
    """A drawn setup with this electrolyte, one on which `skill` can be asked if there is any.

    Raises SetupError for an electrolyte that is not in the table.
    """
    known = [recipe for recipe in RECIPES if recipe.electrolyte == electrolyte]
    recipes = known or [Recipe("neutral", electrolyte, (0.2,))]
    setup = draw(rng.choice(recipes), rng)
    for _attempt in range(TRIES):
        if skill.applies(setup, evidence(setup)):
            break
        setup = draw(rng.choice(recipes), rng)
    return setup
