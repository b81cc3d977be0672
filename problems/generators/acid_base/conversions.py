"""Between pH and the concentrations of H⁺ and OH⁻."""

from collections.abc import Callable
from math import exp, log, log10
from random import Random

from problems.cell.evidence import Electrode, Evidence
from problems.cell.setup import Setup
from problems.chemistry.formula import HYDROGEN_ION
from problems.generators import build, say
from problems.question import Level, Made, Part, Skill
from problems.words import _, decimals, number

PKW = 14.0
TWO = 2
"""Figures that a pH with two decimals justifies."""


def applies(setup: Setup, cell: Evidence) -> bool:
    return bool(_arms(setup, cell))


def _arms(setup: Setup, cell: Evidence) -> list[Electrode]:
    return [arm for arm in cell.electrodes if arm.ion is not None and "half_reaction" in arm.fair]


def make(setup: Setup, cell: Evidence, level: Level, rng: Random) -> Made:
    """One conversion for a diluted sample of an arm."""
    arm = rng.choice(_arms(setup, cell))
    acid = arm.ion == HYDROGEN_ION
    ph = rng.randrange(205, 560) / 100 if acid else rng.randrange(850, 1190) / 100
    return Made.single(rng.choice(ASKS)(arm, ph), say.cell(setup))


def _sample(arm: Electrode) -> str:
    return _("A sample of the liquid in the arm of the {where} is diluted with water.").format(
        where=say.electrode(arm.role)
    )


def _ph_from(arm: Electrode, ph: float, ion: str) -> Part:
    level = _rounded(10.0**-ph if ion == "H" else 10.0 ** (ph - PKW))
    exact = -log10(level) if ion == "H" else PKW + log10(level)
    asked = (
        _("{sample} It then has c(H⁺) = {level} mol/L. What is its pH? pKw = 14.00.")
        if ion == "H"
        else _("{sample} It then has c(OH⁻) = {level} mol/L. What is its pH? pKw = 14.00.")
    )
    return build.ph(
        asked.format(sample=_sample(arm), level=number(level, TWO)),
        exact,
        _hints(),
        _ph_solution(level, exact, ion),
        {
            "poh_for_ph": PKW - exact,
            "natural_logarithm": -log(level) if ion == "H" else PKW + log(level),
            "logarithm_sign": -exact,
            "power_alone": float(-int(f"{level:e}".partition("e")[2])),
        },
    )


def _rounded(level: float) -> float:
    return float(f"{level:.{TWO - 1}e}")


def _ph_solution(level: float, exact: float, ion: str) -> tuple[str, ...]:
    if ion == "H":
        line = _("pH = −log c(H⁺) = −log {level} = {ph}")
        return (line.format(level=number(level, TWO), ph=decimals(exact, 2)),)
    return (
        _("pOH = −log c(OH⁻) = −log {level} = {poh}").format(
            level=number(level, TWO), poh=decimals(PKW - exact, 2)
        ),
        _("pH = pKw − pOH = 14.00 − {poh} = {ph}").format(
            poh=decimals(PKW - exact, 2), ph=decimals(exact, 2)
        ),
    )


def _level_from(arm: Electrode, ph: float, ion: str) -> Part:
    exponent = -ph if ion == "H" else ph - PKW
    level = 10.0**exponent
    asked = (
        _("{sample} It then has pH {ph}. What is c(H⁺)? pKw = 14.00.")
        if ion == "H"
        else _("{sample} It then has pH {ph}. What is c(OH⁻)? pKw = 14.00.")
    )
    other = 10.0 ** (-PKW) / level
    lines = (
        (_("c(H⁺) = 10^(−pH) mol/L = 10^(−{ph}) mol/L = {level} mol/L"),)
        if ion == "H"
        else (
            _("pOH = pKw − pH = 14.00 − {ph} = {poh}"),
            _("c(OH⁻) = 10^(−pOH) mol/L = 10^(−{poh}) mol/L = {level} mol/L"),
        )
    )
    fields = {"ph": decimals(ph, 2), "poh": decimals(PKW - ph, 2), "level": number(level, TWO)}
    return build.quantity(
        asked.format(sample=_sample(arm), ph=decimals(ph, 2)),
        float(f"{level:.{TWO - 1}e}"),
        "mol/L",
        _hints(),
        tuple(line.format(**fields) for line in lines),
        {
            "poh_for_ph": other,
            "natural_logarithm": exp(exponent),
            "exponent_sign": 1 / level,
            "ph_itself": ph if ion == "H" else PKW - ph,
        },
        figures=TWO,
    )


def _h_to_ph(arm: Electrode, ph: float) -> Part:
    return _ph_from(arm, ph, "H")


def _oh_to_ph(arm: Electrode, ph: float) -> Part:
    return _ph_from(arm, ph, "OH")


def _ph_to_h(arm: Electrode, ph: float) -> Part:
    return _level_from(arm, ph, "H")


def _ph_to_oh(arm: Electrode, ph: float) -> Part:
    return _level_from(arm, ph, "OH")


def _hints() -> tuple[str, str, str]:
    return (
        _("The letter p stands for the negative logarithm to the base ten of a concentration in mol/L."),
        _("The pH goes with one of the two ions of water, the pOH with the other."),
        _(
            "Both together make pKw; where the wrong one is given, change over first, then take the power "
            "or logarithm."
        ),
    )


ASKS: tuple[Callable[[Electrode, float], Part], ...] = (_h_to_ph, _oh_to_ph, _ph_to_h, _ph_to_oh)

SKILLS: tuple[Skill, ...] = (
    Skill(
        "acid_base.ph_conversion",
        "acid_base",
        "pH and concentrations",
        ("first_year",),
        "quantity",
        applies,
        make,
    ),
)
