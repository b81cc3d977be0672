"""What may fairly be asked about an arm, and the reason for everything that may not."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from math import log10
from types import MappingProxyType

from problems.cell import arm, cautions, colours, tables
from problems.cell.run import Period, Run
from problems.cell.shown import ELECTRODE_ASKS
from problems.cell.tables import Role
from problems.chemistry.formula import Formula
from problems.words import _

PH_TOLERANCE = 0.1  # between the pH that a student computes and the one with ions carried through the plug
MAIN_SHARE = 0.5  # of the run that the first stage must last to be what the cell shows
LEAST_ION = 1e-5  # [mol/L] of acid or base made, below which water's own ions count
DISSOLVES = 2.0  # times what the liquid of an arm can take up, below which a gas volume is not asked
CARBONATES = frozenset({"Na2CO3", "NaHCO3"})
BUFFERS = frozenset({"sulfate", "carbonate", "ammonium"})
HYDROXIDES = frozenset({"NaOH", "KOH"})
NO_MASS_PER_CHARGE = frozenset({"CuCl2"})

Fairness = tuple[frozenset[str], Mapping[str, str]]


@dataclass(frozen=True, slots=True)
class Arm:
    """What the checks look at: one arm at the end of its run.

    `gas_mol` and `dissolved` [mol]; `deposit` and `mass_change` [kg].
    """

    run: Run
    role: Role
    gas: Formula | None
    gas_mol: float | None
    collected: bool
    dissolved: float | None
    deposit: float | None
    mass_change: float | None
    ph: float | None
    ph_alone: float | None
    colour: str | None

    @property
    def first(self) -> Period:
        return self.run.periods[self.role][0]

    @property
    def material(self) -> str:
        return self.run.setup.cathode if self.role == "cathode" else self.run.setup.anode

    @property
    def litres(self) -> float:
        """The liquid in the arm [L]."""
        return self.run.setup.arm_volume * 1000

    @property
    def several(self) -> bool:
        return len(self.run.periods[self.role]) > 1


def of_arm(shown: Arm) -> Fairness:
    """What may be asked about an arm, and why not the rest: the first reason found for each."""
    return sort_out(ELECTRODE_ASKS, {ask: check(shown) for ask, check in _CHECKS.items()})


def sort_out(asks: frozenset[str], reasons: Mapping[str, str]) -> Fairness:
    """Split what can be asked by whether there is a reason against it."""
    unfair = {ask: reason for ask, reason in reasons.items() if reason}
    return asks - unfair.keys(), MappingProxyType(unfair)


def _one_answer(shown: Arm) -> str:
    if shown.first.choice.mixed:
        return shown.first.choice.why
    if shown.several and shown.first.until < shown.run.end.time * MAIN_SHARE:
        return _several()
    row = shown.run.setup.row
    chloride = row.ions.get(CHLORIDE, 0) * shown.run.setup.molarity
    if (
        shown.role == "anode"
        and chloride
        and chloride < tables.document("rules")["chloride"]["strong"] * (1 - 1e-6)
    ):
        return _("So dilute a chloride gives mostly oxygen with some chlorine.")
    return cautions.foreign_anode(shown.run) if shown.role == "anode" else ""


def _gas_amount(shown: Arm) -> str:
    if shown.gas is None:
        return _one_answer(shown) or _("No gas forms here.")
    if shown.several:
        return _several()
    return _one_answer(shown) or _impure_oxygen(shown)


def _impure_oxygen(shown: Arm) -> str:
    electrolyte = shown.run.setup.electrolyte
    if shown.role == "anode" and electrolyte in CARBONATES:
        return _("Carbon dioxide comes with the oxygen from a carbonate.")
    if shown.role == "anode" and electrolyte in HYDROXIDES and shown.material == "graphite":
        return _("In alkali part of the oxygen burns the graphite away.")
    return ""


def _gas_volume(shown: Arm) -> str:
    reason = _gas_amount(shown)
    if reason or shown.gas_mol is None or shown.dissolved is None:
        return reason
    if not shown.collected:
        return _("So much of this gas dissolves and reacts that its volume over water says nothing.")
    if shown.gas_mol < DISSOLVES * shown.dissolved:
        return _("So little gas would mostly stay dissolved.")
    return ""


def _deposit(shown: Arm) -> str:
    if shown.deposit is None:
        return _one_answer(shown) or _("No metal is deposited here.")
    if shown.several:
        return _several()
    if shown.run.setup.electrolyte in NO_MASS_PER_CHARGE:
        return _("Some copper(I) forms, so that the mass does not follow from the charge.")
    taken = shown.first.choice.taken
    share = arm.taken_by(shown.first, shown.first.electrons(shown.run.setup.current)) / shown.litres
    available = shown.run.setup.row.ions[taken] * shown.run.setup.molarity if taken else 0.0
    if share > available * tables.document("rules")["limits"]["ion_share"]:
        return _("More than half of the ion in this arm would be used up.")
    return ""


def _mass_change(shown: Arm) -> str:
    if shown.mass_change is None:
        return (
            _("This electrode keeps its mass.")
            if shown.role == "anode"
            else _("Metal on a cathode is asked as a deposit.")
        )
    return _several() if shown.several else _one_answer(shown)


def _ph(shown: Arm) -> str:
    if shown.ph is None or shown.ph_alone is None:
        return _no_ph(shown)
    if shown.several:
        return _several()
    content = shown.run.moments[0].contents[shown.role]
    if BUFFERS & content.keys():
        return _("A buffer in this arm makes its pH depend on the model.")
    if any(Formula.parse(name) in tables.metals() for name in content if name not in BUFFERS):
        return _("Metal ions in this arm bind hydroxide, which makes its pH depend on the model.")
    made = arm.acid_made(shown.first, shown.first.electrons(shown.run.setup.current)) / shown.litres
    if made == 0:
        return _("Neither acid nor base forms here.")
    if abs(made) < LEAST_ION:
        return _("So little acid or base forms that water's own ions count.")
    own = _own_acid(shown, made)
    if not own and abs(shown.ph - shown.ph_alone) > PH_TOLERANCE:
        return _("The current carries so much acid and base between the arms that a simple pH is wrong.")
    return own


def _no_ph(shown: Arm) -> str:
    if shown.run.setup.row.no_ph:
        return _("Acid is added to this solution, so no pH is given.")
    if arm.halogen(shown.run, shown.role, shown.run.end):
        return _("The halogen in this arm leaves no simple pH.")
    return _one_answer(shown) or _several()


def _own_acid(shown: Arm, made: float) -> str:
    """Where an arm's own strong acid or base changes much, neither pH nor colour is asked."""
    setup, limits = shown.run.setup, tables.document("rules")["limits"]
    if setup.row.strong is None:
        return ""
    own = setup.molarity * next(
        count for ion, count in setup.row.ions.items() if ion.plain in ("H^+", "OH^-")
    )
    used = (made < 0) == (setup.row.strong == "acid")
    if abs(made) > own * (limits["acid_used"] if used else limits["acid_change"]):
        return _("The arm's own acid or base changes too much.")
    return ""


def _colour(shown: Arm) -> str:
    setup, run = shown.run.setup, shown.run
    if setup.indicator is None:
        return _("There is no indicator.")
    dye = tables.indicators()[setup.indicator]
    if setup.row.no_ph:
        return _("Tin(II) ions and the added acid change dyes.")
    if arm.halogen(run, shown.role, run.end) or shown.first.choice.mixed:
        return _("What forms in this arm hides or bleaches the indicator.")
    if any(tables.ions()[ion].colour for ion in setup.row.ions) or arm.coloured_ion(run, shown.role, run.end):
        return _("The colour of the metal ion hides the indicator.")
    if dye.azo and shown.role == "cathode":
        return _("A cathode can bleach this dye.")
    if shown.ph is None or shown.ph_alone is None:
        return _no_ph(shown)
    made = arm.acid_made(shown.first, shown.first.electrons(setup.current)) / shown.litres
    return _several() if shown.several else (_own_acid(shown, made) or _unsure_colour(shown, dye, made))


def _unsure_colour(shown: Arm, dye: tables.Indicator, made: float) -> str:
    """A colour is asked where every reasonable pH gives the same one, well inside its interval."""
    values = [value for value in (shown.ph, shown.ph_alone) if value is not None]
    if "sulfate" in shown.run.moments[0].contents[shown.role] and made > LEAST_ION:
        values.append(-log10(made + 10.0**-shown.run.start_ph))
    return colour_reason(dye, values)


def colour_reason(dye: tables.Indicator, values: list[float]) -> str:
    """Why the colour of `dye` is not asked at any of these pH values; empty where it may be."""
    if any(colours.near_limit(dye, value) for value in values):
        return _("The pH lies too near a limit of the indicator.")
    if len({colours.of_indicator(dye, value) for value in values}) > 1:
        return _("Between the simple pH and the real one the indicator changes.")
    if dye.fades_above is not None and max(values) > dye.fades_above:
        return _("In so strong a base the indicator soon fades.")
    if dye.pink_from is not None and dye.steps[0].low <= min(values) < dye.pink_from:
        return _("The pH lies too near a limit of the indicator.")
    return ""


def _several() -> str:
    return _("What is discharged here changes during the run.")


CHLORIDE = Formula.parse("Cl^-")
_CHECKS: dict[str, Callable[[Arm], str]] = {
    "half_reaction": _one_answer,
    "product": _one_answer,
    "ph": _ph,
    "colour": _colour,
    "gas_amount": _gas_amount,
    "gas_volume": _gas_volume,
    "deposit": _deposit,
    "mass_change": _mass_change,
}
