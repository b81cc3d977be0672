"""A formula for the asked quantity, in symbols only."""

from collections.abc import Callable
from dataclasses import dataclass
from random import Random

from problems.cell.evidence import Evidence
from problems.cell.setup import Setup
from problems.generators import amounts, build, say
from problems.question import Level, Made, Skill
from problems.words import _

ASKS = ("gas_amount", "deposit", "mass_change")


@dataclass(frozen=True, slots=True)
class Formula:
    """What is asked, the symbols that may stand in the answer, the key, and the slips by code."""

    prompt: str
    asked: str
    symbols: tuple[str, ...]
    key: str
    slips: dict[str, str]
    lines: tuple[str, ...]


def applies(setup: Setup, cell: Evidence) -> bool:
    return bool(amounts.made_any(cell, ASKS))


def make(setup: Setup, cell: Evidence, level: Level, rng: Random) -> Made:
    """A formula for an amount, volume, mass, time or current; second year with water vapour or backwards."""
    changed = rng.choice(amounts.made_any(cell, ASKS))
    is_gas = changed.electrode.gas is not None
    first: tuple[Shape, ...] = (
        (_amount, _time, _current, _gas_volume) if is_gas else (_amount, _time, _current, _mass)
    )
    second: tuple[Shape, ...] = (
        (_wet_volume, _wet_time, _current_for_volume) if is_gas else (_molar_mass, _mass_time, _mass_current)
    )
    if is_gas and "gas_volume" not in changed.electrode.fair:
        first, second = (_amount, _time, _current), (_gas_time, _current_for_volume)
    shapes: tuple[Shape, ...] = first if level == "first_year" else second
    formula = rng.choice(shapes)(changed)
    part = build.expression(
        formula.prompt,
        formula.key,
        formula.symbols,
        formula.asked,
        _hints(),
        (amounts.half_line(changed), *formula.lines),
        formula.slips,
    )
    return Made.single(part, say.cell(setup))


Shape = Callable[[amounts.Changed], Formula]


def _hints() -> tuple[str, str, str]:
    return (
        _("Write the chain in words first: charge, electrons, substance, and what is measured of it."),
        _("Each link is one factor; the half-reaction gives the only plain number."),
        _("Join the links by putting one into the next, then solve for what is asked."),
    )


def _fields(changed: amounts.Changed) -> dict[str, str]:
    return {
        "substance": say.product_name(changed.substance),
        "where": say.electrode(changed.electrode.role),
    }


def _number(changed: amounts.Changed) -> str:
    return f"{changed.each:g}"


def _product(changed: amounts.Changed, factors: str, below: str = "F") -> tuple[str, dict[str, str]]:
    """Something that grows with the charge, `factors` I t/(z `below`), with what mistakes make of it."""
    z = _number(changed)
    front = f"{factors} " if factors else ""
    single = _bracketed(below)
    slips = {
        "electrons_per_molecule_forgotten": f"{front}I t/{single}",
        "multiplied_by_electrons": f"{z} {front}I t/{single}",
        "current_over_time": f"{front}I/({z} t {below})",
        "faraday_multiplied": f"{front}I t F/{z}",
    }
    if z == "1":
        kept = ("current_over_time", "faraday_multiplied")
        slips = {code: slips[code] for code in kept} | {"two_electrons_for_one": f"{front}I t/(2 {below})"}
        return f"{front}I t/{single}", slips
    return f"{front}I t/({z} {below})", slips


def _solved(changed: amounts.Changed, above: str, below: str) -> tuple[str, dict[str, str]]:
    """Something that grows with the electrons wanted, z `above`/(`below`)."""
    z = _number(changed)
    front = "" if z == "1" else f"{z} "
    slips = {
        "electrons_per_molecule_forgotten": f"{above}/{_bracketed(below)}",
        "divided_by_electrons": f"{above}/({z} {below})",
    }
    if z == "1":
        slips = {"two_electrons_for_one": f"2 {above}/{_bracketed(below)}"}
    return f"{front}{above}/{_bracketed(below)}", slips


def _bracketed(factors: str) -> str:
    """Several factors below a fraction line need brackets."""
    return f"({factors})" if " " in factors else factors


def _amount(changed: amounts.Changed) -> Formula:
    key, slips = _product(changed, "")
    prompt = _(
        "Give a formula for the amount n of {substance} that is made or used up at the {where}, from the "
        "current I, the time t and the Faraday constant F."
    )
    lines = (_("Q = I t and n(e⁻) = Q/F"), _line("n", key))
    return Formula(prompt.format(**_fields(changed)), "n", ("I", "t", "F"), key, slips, lines)


def _gas_volume(changed: amounts.Changed) -> Formula:
    key, slips = _product(changed, "R T", "F p")
    prompt = _(
        "Give a formula for the volume V of dry {substance} made at the {where}, from the current I, the "
        "time t, the temperature T, the pressure p and the constants F and R."
    )
    lines = (_("n = I t/(z F) with z electrons for each molecule, and V = n R T/p"), _line("V", key))
    symbols = ("I", "t", "F", "R", "T", "p")
    return Formula(prompt.format(**_fields(changed)), "V", symbols, key, slips, lines)


def _mass(changed: amounts.Changed) -> Formula:
    key, slips = _product(changed, "M")
    prompt = _(
        "Give a formula for the mass m of {substance} that is made or used up at the {where}, from the "
        "current I, the time t, the molar mass M and the Faraday constant F."
    )
    lines = (_("n = I t/(z F) with z electrons for each atom, and m = n M"), _line("m", key))
    return Formula(prompt.format(**_fields(changed)), "m", ("I", "t", "F", "M"), key, slips, lines)


def _time(changed: amounts.Changed) -> Formula:
    key, slips = _solved(changed, "n F", "I")
    prompt = _(
        "Give a formula for the time t in which an amount n of {substance} is made or used up at the "
        "{where}, from n, the current I and the Faraday constant F."
    )
    lines = (_("n(e⁻) = z n with z electrons for each particle, and t = n(e⁻) F/I"), _line("t", key))
    return Formula(prompt.format(**_fields(changed)), "t", ("n", "I", "F"), key, slips, lines)


def _current(changed: amounts.Changed) -> Formula:
    key, slips = _solved(changed, "n F", "t")
    prompt = _(
        "Give a formula for the current I that makes or uses up an amount n of {substance} at the {where} "
        "in the time t, from n, t and the Faraday constant F."
    )
    lines = (_("n(e⁻) = z n with z electrons for each particle, and I = n(e⁻) F/t"), _line("I", key))
    return Formula(prompt.format(**_fields(changed)), "I", ("n", "t", "F"), key, slips, lines)


def _wet_volume(changed: amounts.Changed) -> Formula:
    key, slips = _product(changed, "R T", "F (p - w)")
    z = _number(changed)
    slips["vapour_pressure_forgotten"] = f"R T I t/({z} F p)"
    slips["vapour_pressure_added"] = f"R T I t/({z} F (p + w))"
    prompt = _(
        "Give a formula for the volume V of {substance} collected over water at the {where}, levels equal, "
        "from the current I, the time t, the temperature T, the outer pressure p, the vapour pressure w of "
        "water and F and R."
    )
    lines = (_("The gas itself has p − w; n = I t/(z F) and V = n R T/(p − w)"), _line("V", key))
    symbols = ("I", "t", "F", "R", "T", "p", "w")
    return Formula(prompt.format(**_fields(changed)), "V", symbols, key, slips, lines)


def _wet_time(changed: amounts.Changed) -> Formula:
    key, slips = _solved(changed, "(p - w) V F", "R T I")
    z = _number(changed)
    slips["vapour_pressure_forgotten"] = f"{z} p V F/(R T I)"
    prompt = _(
        "Give a formula for the time t in which a volume V of {substance} is collected over water at the "
        "{where}, levels equal, from the current I, the temperature T, the outer pressure p, the vapour "
        "pressure w of water and F and R."
    )
    lines = (_("n = (p − w) V/(R T), n(e⁻) = z n and t = n(e⁻) F/I"), _line("t", key))
    symbols = ("V", "I", "F", "R", "T", "p", "w")
    return Formula(prompt.format(**_fields(changed)), "t", symbols, key, slips, lines)


def _gas_time(changed: amounts.Changed) -> Formula:
    key, slips = _solved(changed, "p V F", "R T I")
    prompt = _(
        "Give a formula for the time t in which a volume V of dry {substance} is made at the {where}, from "
        "the current I, the temperature T, the pressure p and the constants F and R."
    )
    lines = (_("n = p V/(R T), n(e⁻) = z n and t = n(e⁻) F/I"), _line("t", key))
    symbols = ("V", "I", "F", "R", "T", "p")
    return Formula(prompt.format(**_fields(changed)), "t", symbols, key, slips, lines)


def _current_for_volume(changed: amounts.Changed) -> Formula:
    key, slips = _solved(changed, "p V F", "R T t")
    prompt = _(
        "Give a formula for the current I that makes a volume V of dry {substance} at the {where} in the "
        "time t, from t, the temperature T, the pressure p and the constants F and R."
    )
    lines = (_("n = p V/(R T), n(e⁻) = z n and I = n(e⁻) F/t"), _line("I", key))
    symbols = ("V", "t", "F", "R", "T", "p")
    return Formula(prompt.format(**_fields(changed)), "I", symbols, key, slips, lines)


def _molar_mass(changed: amounts.Changed) -> Formula:
    key, slips = _solved(changed, "m F", "I t")
    prompt = _(
        "The metal at the {where} is taken as unknown, but its ion has the charge that {substance} has "
        "here. Give a formula for its molar mass M, from the change of mass m, the current I, the time t "
        "and F."
    )
    lines = (_("n = I t/(z F) and M = m/n"), _line("M", key))
    return Formula(prompt.format(**_fields(changed)), "M", ("m", "I", "t", "F"), key, slips, lines)


def _mass_time(changed: amounts.Changed) -> Formula:
    key, slips = _solved(changed, "m F", "M I")
    prompt = _(
        "Give a formula for the time t in which a mass m of {substance} is made or used up at the {where}, "
        "from m, the molar mass M, the current I and the Faraday constant F."
    )
    lines = (_("n = m/M, n(e⁻) = z n and t = n(e⁻) F/I"), _line("t", key))
    return Formula(prompt.format(**_fields(changed)), "t", ("m", "M", "I", "F"), key, slips, lines)


def _mass_current(changed: amounts.Changed) -> Formula:
    key, slips = _solved(changed, "m F", "M t")
    prompt = _(
        "Give a formula for the current I at which a mass m of {substance} is made or used up at the "
        "{where} in the time t, from m, the molar mass M, t and the Faraday constant F."
    )
    lines = (_("n = m/M, n(e⁻) = z n and I = n(e⁻) F/t"), _line("I", key))
    return Formula(prompt.format(**_fields(changed)), "I", ("m", "M", "t", "F"), key, slips, lines)


def _line(asked: str, key: str) -> str:
    return f"{asked} = {key.replace('-', '−')}"


SKILLS: tuple[Skill, ...] = (
    Skill(
        "stoichiometry.symbols",
        "stoichiometry",
        "A formula in symbols",
        ("first_year", "second_year"),
        "expression",
        applies,
        make,
        ("stoichiometry.product_amount",),
    ),
)
