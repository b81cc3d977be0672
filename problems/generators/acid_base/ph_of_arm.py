"""The pH of an arm after so much charge, and the volume of acid or base that neutralises it."""

from dataclasses import dataclass
from math import log10
from random import Random

from problems.cell.evidence import Electrode, Evidence
from problems.cell.setup import Setup
from problems.cell.water import pkw
from problems.chemistry.formula import HYDROGEN_ION
from problems.generators import amounts, build, say, seen
from problems.generators.reactions import ALKALI
from problems.question import Level, Made, Skill
from problems.words import _, decimals, number

SCHOOL_PKW = 14.0
STRONGEST = 0.9
"""Above that a pH leaves the scale from 0 to 14 [mol/L]."""
DILUTIONS = ((5.0, 50.0), (10.0, 50.0), (10.0, 100.0), (5.0, 100.0), (20.0, 100.0), (25.0, 250.0))


@dataclass(frozen=True, slots=True)
class Arm:
    """The numbers of one arm: what the current changes and what was there before [mol/L]."""

    electrode: Electrode
    made: float
    own: float
    is_acid: bool

    @property
    def level(self) -> float:
        """The ion that rules at the end [mol/L]."""
        return self.own + self.made


def applies(setup: Setup, cell: Evidence) -> bool:
    return bool(_arms(setup, cell))


def _arms(setup: Setup, cell: Evidence) -> list[Arm]:
    arms = [_arm(setup, each) for each in cell.electrodes if "ph" in each.fair]
    return [arm for arm in arms if arm.level < STRONGEST]


def _arm(setup: Setup, electrode: Electrode) -> Arm:
    """In a strong acid or base the cathode takes acid and gives base, the anode the other way round."""
    change = setup.current * setup.time / say.FARADAY / (setup.arm_volume * 1000)
    if setup.row.strong is None:
        return Arm(electrode, change, 0.0, electrode.ion == HYDROGEN_ION)
    is_acid = setup.row.strong == "acid"
    grows = (electrode.role == "anode") == is_acid
    return Arm(electrode, change if grows else -change, setup.molarity, is_acid)


def make(setup: Setup, cell: Evidence, level: Level, rng: Random) -> Made:
    """The pH of an arm; in the second year of a diluted sample, with pKw at the temperature of the cell."""
    arm = rng.choice(_arms(setup, cell))
    if level == "second_year":
        return _diluted(setup, arm, rng)
    ph = _ph(arm.level, arm.is_acid, SCHOOL_PKW)
    prompt = _(
        "Each arm holds {volume} mL and nothing passes between the arms; F = {faraday}, pKw = 14.00. "
        "{start} What is the pH in the arm of the {where} at the end, to one decimal?"
    ).format(
        volume=number(setup.arm_volume * 1e6),
        faraday=say.faraday(),
        start=_start(setup),
        where=say.electrode(arm.electrode.role),
    )
    part = build.ph(prompt, ph, _hints(), _solution(setup, arm, ph), _slips(setup, arm, SCHOOL_PKW, 1.0))
    return Made.single(part, say.cell(setup))


def _start(setup: Setup) -> str:
    if setup.row.strong is not None:
        return _("Count the acid or base of the solution itself, too.")
    return _("At the start the pH is 7.0.")


def _ph(level: float, is_acid: bool, exponent: float) -> float:
    return -log10(level) if is_acid else exponent + log10(level)


def _diluted(setup: Setup, arm: Arm, rng: Random) -> Made:
    small, large = rng.choice(DILUTIONS)
    exponent = round(pkw(setup.temperature), 2)
    factor = small / large
    ph = _ph(arm.level * factor, arm.is_acid, exponent)
    prompt = _(
        "Each arm holds {volume} mL and nothing passes between the arms; F = {faraday}, pKw = {pkw} at this "
        "temperature. {start} At the end {small} mL from the arm of the {where} are diluted to {large} mL. "
        "What is the pH of that, to one decimal?"
    ).format(
        volume=number(setup.arm_volume * 1e6),
        faraday=say.faraday(),
        pkw=decimals(exponent, 2),
        start=_start(setup),
        small=decimals(small, 1),
        where=say.electrode(arm.electrode.role),
        large=decimals(large, 0),
    )
    diluted = _("Diluted, c = {level} mol/L × {small}/{large} = {after} mol/L").format(
        level=number(arm.level),
        small=decimals(small, 1),
        large=decimals(large, 0),
        after=number(arm.level * factor),
    )
    lines = (*_solution(setup, arm, None), diluted, _ph_line(arm.level * factor, arm.is_acid, exponent, ph))
    slips = {
        "dilution_forgotten": _ph(arm.level, arm.is_acid, exponent),
        "dilution_turned": _ph(arm.level / factor, arm.is_acid, exponent),
        **_slips(setup, arm, exponent, factor),
    }
    return Made.single(build.ph(prompt, ph, _hints(), lines, slips), say.cell(setup))


def _hints() -> tuple[str, str, str]:
    return (
        _("The half-reaction says which ion comes or goes here, and how many of it for each electron."),
        _("From charge to electrons to that ion; then divide by the volume of the arm in litres."),
        _("Take the negative logarithm; for the ion of bases it gives the pOH, which pKw turns into the pH."),
    )


def _slips(setup: Setup, arm: Arm, exponent: float, factor: float) -> dict[str, float]:
    acid = arm.is_acid

    def value(level: float) -> float:
        return _ph(max(level * factor, 1e-12), acid, exponent)

    return {
        "poh_for_ph": exponent - value(arm.level),
        "minutes_for_seconds": value(arm.own + arm.made / 60),
        "millilitres_for_litres": value(arm.own + arm.made / 1000),
        "ions_per_event_forgotten": value(arm.own + arm.made / (2 if arm.electrode.role == "cathode" else 4)),
        "amount_for_concentration": value(arm.level * setup.arm_volume * 1000),
        "power_alone": float(round(value(arm.level))),
        "own_concentration_forgotten": value(abs(arm.made)),
        "change_forgotten": value(arm.own) if arm.own else 7.0,
        "change_turned": value(max(arm.own - arm.made, 1e-12)) if arm.own else value(arm.made * 2),
    }


def _solution(setup: Setup, arm: Arm, ph: float | None) -> tuple[str, ...]:
    half = seen.half(arm.electrode)
    ion = say.uni("H^+") if arm.is_acid else say.uni("OH^-")
    lines = [
        say.uni(half),
        _("One ion {ion} comes or goes for each electron.").format(ion=ion),
        amounts.charge_line(setup),
        amounts.electrons_line(setup),
        _("Change of c({ion}) = {change} mol / {litres} L = {level} mol/L").format(
            ion=ion,
            change=number(arm.made * setup.arm_volume * 1000),
            litres=decimals(setup.arm_volume * 1000, 4),
            level=number(arm.made),
        ),
    ]
    if arm.own:
        lines.append(
            _("With the solution's own {own} mol/L that makes c({ion}) = {level} mol/L.").format(
                own=number(arm.own), ion=ion, level=number(arm.level)
            )
        )
    return (*lines, *(() if ph is None else (_ph_line(arm.level, arm.is_acid, SCHOOL_PKW, ph),)))


def _ph_line(level: float, is_acid: bool, exponent: float, ph: float) -> str:
    sentence = (
        _("pH = −log {level} = {ph}") if is_acid else _("pH = {pkw} + log {level} = {ph}; the pOH is {poh}")
    )
    return sentence.format(
        level=number(level), ph=decimals(ph, 1), pkw=decimals(exponent, 2), poh=decimals(exponent - ph, 1)
    )


def neutralising_applies(setup: Setup, cell: Evidence) -> bool:
    return cell.ends_at is None and bool(_clean_arms(setup, cell))


def _clean_arms(setup: Setup, cell: Evidence) -> list[Electrode]:
    """Arms of a salt without metal ions that bind hydroxide and without weak acids or bases of its own."""
    cations = {ion.plain for ion in setup.row.ions if ion.charge > 0}
    if setup.row.strong or setup.row.nature != "neutral" or not cations <= ALKALI:
        return []
    return [arm for arm in cell.electrodes if arm.ion is not None and "half_reaction" in arm.fair]


def make_neutralising(setup: Setup, cell: Evidence, level: Level, rng: Random) -> Made:
    """The volume of a standard acid or base for one arm."""
    arm = rng.choice(_clean_arms(setup, cell))
    strength = rng.choice((0.02, 0.025, 0.04, 0.05, 0.1))
    amount = setup.current * setup.time / say.FARADAY
    volume = amount / strength * 1000
    electrons = float(abs(seen.half(arm).electrons))
    prompt = _(
        "Straight after the run, and if nothing has passed between the arms, what volume of {strength} "
        "mol/L {reagent} neutralises all that was made in the arm of the {where}? F = {faraday}."
    ).format(
        strength=number(strength),
        reagent=say.uni("NaOH" if arm.ion == HYDROGEN_ION else "HCl"),
        where=say.electrode(arm.role),
        faraday=say.faraday(),
    )
    slips = {
        "minutes_for_seconds": volume / 60,
        "ions_per_event_forgotten": volume / electrons,
        "ions_counted_twice": volume * electrons,
        "both_arms": volume * 2,
        "multiplied_by_concentration": amount * strength * 1000,
    }
    lines = _neutralising_solution(setup, arm, strength)
    return Made.single(
        build.quantity(prompt, volume, "mL", _neutralising_hints(), lines, slips), say.cell(setup)
    )


def _neutralising_hints() -> tuple[str, str, str]:
    return (
        _("What has to be neutralised is the ion that the half-reaction has brought into this arm."),
        _("Read from the half-reaction how many of these ions come with each electron."),
        _("The same amount of the opposite ion is needed; divide it by the concentration of the reagent."),
    )


def _neutralising_solution(setup: Setup, arm: Electrode, strength: float) -> tuple[str, ...]:
    amount = setup.current * setup.time / say.FARADAY
    return (
        say.uni(seen.half(arm)),
        amounts.charge_line(setup),
        amounts.electrons_line(setup),
        _("One ion {ion} for each electron: n = {amount} mol").format(
            ion=say.uni(arm.ion or HYDROGEN_ION), amount=number(amount)
        ),
        say.uni("H^+ + OH^- -> H2O"),
        _("V = n/c = {amount} mol / {strength} mol/L = {volume} mL").format(
            amount=number(amount), strength=number(strength), volume=number(amount / strength * 1000)
        ),
    )


SKILLS: tuple[Skill, ...] = (
    Skill(
        "acid_base.arm_ph",
        "acid_base",
        "pH of an arm after a run",
        ("first_year", "second_year"),
        "quantity",
        applies,
        make,
        ("acid_base.ph_conversion", "stoichiometry.electrons"),
    ),
    Skill(
        "acid_base.neutralising",
        "acid_base",
        "Neutralising an arm",
        ("first_year",),
        "quantity",
        neutralising_applies,
        make_neutralising,
        ("stoichiometry.electrons",),
    ),
)
