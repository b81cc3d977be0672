"""What is discharged at an electrode: the candidates in order, the winner, and why.

Candidates are ranked by their Nernst potential at the actual concentrations and pH and by the
overpotential of gas evolution on the electrode. Rules of `rules.toml` stand above the ranking: ions that
stay in solution, chloride by its concentration, zones with two products. Overpotentials only rank; no
number that leaves this module contains one.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from math import log
from typing import Any

from problems.cell import tables
from problems.cell.names import first_upper
from problems.cell.tables import Couple, Electrolyte, Material, Role
from problems.cell.units import FARADAY, GAS_CONSTANT
from problems.chemistry.equation import Equation
from problems.chemistry.formula import Formula
from problems.chemistry.notation import as_unicode
from problems.words import _, decimals, mark

TABLE_TEMPERATURE = 298.15
SLOPE = GAS_CONSTANT * TABLE_TEMPERATURE / FARADAY
STRONG = 0.01  # [mol/L] of a strong acid or base from which its ion stands in the half-reaction
TRACE = 1e-6  # [mol/L] that stands for an ion that is not there, so that potentials stay finite

Activities = Mapping[Formula, float]
H, OH, WATER = Formula.parse("H^+"), Formula.parse("OH^-"), Formula.parse("H2O")
WATER_CATHODE, ACID_CATHODE = "H2O/H2,OH-", "H+/H2"
WATER_ANODE, BASE_ANODE = "O2/H2O", "O2/OH-"
CATHODE_COUPLES = {
    "K^+": "K+/K",
    "Na^+": "Na+/Na",
    "Mg^2+": "Mg2+/Mg",
    "Al^3+": "Al3+/Al",
    "Cu^2+": "Cu2+/Cu",
    "Ag^+": "Ag+/Ag",
    "Zn^2+": "Zn2+/Zn",
    "Ni^2+": "Ni2+/Ni",
    "Fe^2+": "Fe2+/Fe",
    "Sn^2+": "Sn2+/Sn",
    "NO3^-": "NO3-/NO",
}
ANODE_COUPLES = {
    "Cl^-": "Cl2/Cl-",
    "Br^-": "Br2(aq)/Br-",
    "I^-": "I2(s)/I-",
    "Sn^2+": "Sn4+/Sn2+",
    "SO4^2-": "S2O8^2-/SO4^2-",
}
TRIIODIDE = "I3-/I-"


@dataclass(frozen=True, slots=True)
class Candidate:
    """One thing that could be discharged: its half-reaction, its reversible potential [V], and its fate.

    `potential` is the reduction potential of the couple at the start (Nernst, 25 °C), without any
    overpotential. `why` says why it won, or why it lost.
    """

    half_reaction: Equation
    potential: float
    won: bool
    why: str


@dataclass(frozen=True, slots=True)
class Choice:
    """What is discharged at one electrode now. `mixed`: two products, no half-reaction, no numbers."""

    half_reaction: Equation | None
    products: tuple[Formula, ...]
    why: str
    mixed: bool
    accepted: tuple[Equation, ...]
    candidates: tuple[Candidate, ...]
    taken: Formula | None
    """The ion of the solution that is used up; None where water or the electrode is discharged."""
    given: Formula | None
    """The metal ion that an active anode gives."""
    made: tuple[tuple[Formula, float], ...]
    """How much of each gas or solid [mol] is made for one mole of electrons; None known in a mixed zone."""


def nernst(couple: Couple, activities: Activities) -> float:
    """The potential [V] of a couple at the given concentrations [mol/L], 25 °C; solids and gases count as 1.

    Gases are at 1 bar. Source: Nernst equation with the standard potentials of `potentials.toml`.
    """
    total = couple.value
    factor = SLOPE / float(couple.reaction.electrons)
    for side, sign in ((couple.reaction.left, 1), (couple.reaction.right, -1)):
        for species, count in side:
            if species.charge and not species.is_electron:
                total += sign * factor * float(count) * log(activities.get(species) or TRACE)
    return total


@dataclass(frozen=True, slots=True)
class _Entry:
    couple: Couple
    half_reaction: Equation
    potential: float
    rank: float
    ion: Formula | None
    barred: str = ""


def choose(
    role: Role, row: Electrolyte, material: Material, activities: Activities, start_ph: float | None
) -> Choice:
    """What is discharged at the electrode `role` of `material` from a solution of the salt `row`.

    `activities`: concentrations of the ions in that arm [mol/L], without those that are used up;
    `start_ph` of the arm decides which forms of water's reaction are right.
    """
    entries = _cathode(material, activities) if role == "cathode" else _anode(row, material, activities)
    entries.sort(key=lambda entry: (bool(entry.barred), -entry.rank if role == "cathode" else entry.rank))
    rule = _rule(role, material, activities, entries[0])
    winner = rule.winner(entries) if rule else entries[0]
    if rule and rule.mixed:
        return _mixed(rule, entries, role)
    half = _form(role, row, winner.half_reaction, activities)
    why = rule.why if rule else _won(role, winner, half, entries)
    return Choice(
        half_reaction=half,
        products=_products(role, half, row, winner),
        why=why,
        mixed=False,
        accepted=_accepted(role, row, half, winner, start_ph),
        candidates=tuple(
            _fate(role, entry, entry is winner, winner, why) for entry in _first(winner, entries)
        ),
        taken=winner.ion,
        given=material.metal_ion
        if winner.ion is None and winner.half_reaction.left[0][0] == material.metal
        else None,
        made=_made(half, row),
    )


def _cathode(material: Material, activities: Activities) -> list[_Entry]:
    entries = [_gas_entry(ACID_CATHODE, activities, material.hydrogen)]
    for ion in activities:
        key = CATHODE_COUPLES.get(ion.plain)
        if key:
            couple = tables.potentials()[key]
            potential = nernst(couple, activities)
            entries.append(
                _Entry(couple, couple.reaction, potential, potential, ion, _spectators().get(ion, ""))
            )
    return entries


def _anode(row: Electrolyte, material: Material, activities: Activities) -> list[_Entry]:
    entries = [_gas_entry(WATER_ANODE, activities, material.oxygen)]
    for ion in activities:
        key = ANODE_COUPLES.get(ion.plain)
        if key:
            couple = tables.potentials()[key]
            potential = nernst(couple, activities)
            over = material.chlorine if ion.plain == "Cl^-" else 0.0
            entries.append(
                _Entry(
                    couple, _reversed(couple), potential, potential + over, ion, _spectators().get(ion, "")
                )
            )
    if material.metal_ion is not None:
        couple = tables.potentials()[CATHODE_COUPLES[material.metal_ion.plain]]
        potential = nernst(couple, activities)
        barred = (
            mark("A thin layer of oxide protects the metal in this solution.")
            if row.key in material.passive_in
            else ""
        )
        entries.append(_Entry(couple, _reversed(couple), potential, potential, None, barred))
    return entries


def _gas_entry(key: str, activities: Activities, overpotential: float) -> _Entry:
    """Water's own entry; its potential is the same in all its forms."""
    couple = tables.potentials()[key]
    potential = nernst(couple, activities)
    half = tables.potentials()[WATER_CATHODE].reaction if key == ACID_CATHODE else _reversed(couple)
    return _Entry(couple, half, potential, potential + overpotential, None)


@lru_cache(maxsize=64)
def _reversed(couple: Couple) -> Equation:
    return couple.reaction.reversed()


@dataclass(frozen=True, slots=True)
class _Rule:
    """A rule of the data that decides before potentials do."""

    why: str
    mixed: bool
    products: tuple[Formula, ...] = ()
    couple: str = ""

    def winner(self, entries: list[_Entry]) -> _Entry:
        return next((entry for entry in entries if entry.couple.key == self.couple), entries[0])


def _rule(role: Role, material: Material, activities: Activities, first: _Entry) -> _Rule | None:
    for zone in _mixed_zones():
        here = zone["electrode"] == role and material.key in zone["materials"] and zone["ion"] in activities
        if here and first.half_reaction.species.intersection(zone["products"]):
            return _Rule(_(zone["why"]), True, zone["products"])
    chloride = activities.get(CHLORIDE)
    if role == "cathode" or not material.inert or chloride is None:
        return None
    row = tables.document("rules")["chloride"]
    if chloride >= row["strong"] * (1 - 1e-6):
        return _Rule(_(row["why_strong"]), False, couple="Cl2/Cl-")
    if chloride < row["weak"] * (1 - 1e-6):
        return _Rule(_(row["why_weak"]), False, couple=WATER_ANODE)
    return _Rule(_(row["why_mixed"]), True, (Formula.parse("Cl2"), Formula.parse("O2")))


@lru_cache(maxsize=1)
def _mixed_zones() -> tuple[dict[str, Any], ...]:
    return tuple(
        {
            **zone,
            "ion": Formula.parse(zone["ion"]),
            "products": tuple(Formula.parse(product) for product in zone["products"]),
        }
        for zone in tables.document("rules")["mixed"]
    )


@lru_cache(maxsize=1)
def _spectators() -> dict[Formula, str]:
    return {Formula.parse(row["ion"]): row["why"] for row in tables.document("rules")["spectator"]}


def _mixed(rule: _Rule, entries: list[_Entry], role: Role) -> Choice:
    taken = set(rule.products)
    involved = [entry for entry in entries if taken & entry.half_reaction.species]
    rest = [entry for entry in entries if entry not in involved]
    candidates = tuple(Candidate(entry.half_reaction, entry.potential, False, rule.why) for entry in involved)
    lost = tuple(_fate(role, entry, False, involved[0], rule.why) for entry in rest)
    ion = next((entry.ion for entry in involved if entry.ion is not None), None)
    return Choice(None, rule.products, rule.why, True, (), candidates + lost, ion, None, ())


def _first(winner: _Entry, entries: Iterable[_Entry]) -> list[_Entry]:
    return [winner, *(entry for entry in entries if entry is not winner)]


def _won(role: Role, winner: _Entry, half: Equation, entries: list[_Entry]) -> str:
    rivals = [entry for entry in entries if entry is not winner and not entry.barred]
    first = half.left[0][0]
    what = first_upper(_("water") if first == WATER else as_unicode(first))
    if not rivals:
        if role == "cathode":
            return _("{what} takes the electrons: nothing else here can.").format(what=what)
        return _("{what} gives the electrons: nothing else here can.").format(what=what)
    fields = {
        "what": what,
        "volt": decimals(winner.potential, 2),
        "rival": _subject(rivals[0]),
        "other": decimals(rivals[0].potential, 2),
    }
    by_potential = (winner.potential > rivals[0].potential) == (role == "cathode")
    if not by_potential:
        return _(
            "{what} is discharged at {volt} V although {rival}, at {other} V, comes first by potential: "
            "making its gas on this electrode needs a large overpotential."
        ).format(**fields)
    if role == "cathode":
        return _("{what} takes electrons at {volt} V, more easily than {rival} at {other} V.").format(
            **fields
        )
    return _("{what} gives electrons at {volt} V, more easily than {rival} at {other} V.").format(**fields)


def _fate(role: Role, entry: _Entry, won: bool, winner: _Entry, why: str) -> Candidate:
    return Candidate(entry.half_reaction, entry.potential, won, why if won else _lost(role, entry, winner))


def _lost(role: Role, entry: _Entry, winner: _Entry) -> str:
    if entry.barred:
        return _(entry.barred)
    fields = {
        "what": first_upper(_subject(entry)),
        "volt": decimals(entry.potential, 2),
        "winner": _subject(winner),
        "other": decimals(winner.potential, 2),
    }
    if (entry.potential > winner.potential) == (role == "cathode") and entry.potential != winner.potential:
        return _(
            "{what}, at {volt} V, would come before {winner}, at {other} V, by potential alone; "
            "it is held back by its overpotential on this electrode or by scarcity."
        ).format(**fields)
    if role == "cathode":
        return _("{what} would need {volt} V; {winner} is easier at {other} V.").format(**fields)
    return _("{what} would need {volt} V; {winner} is easier, at {other} V.").format(**fields)


def _subject(entry: _Entry) -> str:
    """What is discharged, as the subject of a sentence."""
    if entry.ion is not None:
        return as_unicode(entry.ion)
    if entry.couple.key in (ACID_CATHODE, WATER_ANODE):
        return _("water")
    return as_unicode(entry.half_reaction.left[0][0])


def _form(role: Role, row: Electrolyte, half: Equation, activities: Activities) -> Equation:
    """Water's reaction in the form that fits: H⁺ in strong acid, OH⁻ in strong base, water otherwise."""
    limit = STRONG * (1 - 1e-6)
    if role == "cathode" and half == _half(WATER_CATHODE) and row.strong == "acid" and activities[H] >= limit:
        return _half(ACID_CATHODE)
    if role == "anode" and half == _half(WATER_ANODE) and row.strong == "base" and activities[OH] >= limit:
        return _half(BASE_ANODE)
    return half


@lru_cache(maxsize=8)
def _half(key: str) -> Equation:
    couple = tables.potentials()[key]
    return couple.reaction.reversed() if key in (WATER_ANODE, BASE_ANODE, TRIIODIDE) else couple.reaction


def _accepted(
    role: Role, row: Electrolyte, half: Equation, winner: _Entry, start_ph: float | None
) -> tuple[Equation, ...]:
    """Every half-reaction that is right here; where a salt hydrolyses, both of water's forms are."""
    right = [half]
    if winner.couple.key == ACID_CATHODE:
        if start_ph is not None and 2 <= start_ph <= 6:
            right += [_half(WATER_CATHODE), _half(ACID_CATHODE)]
        right += row.cathode
    elif winner.couple.key == WATER_ANODE:
        if start_ph is not None and 8 <= start_ph <= 12:
            right += [_half(WATER_ANODE), _half(BASE_ANODE)]
        right += row.anode
    elif winner.couple.key == "I2(s)/I-":
        right.append(_half(TRIIODIDE))
    return tuple(dict.fromkeys(right))


def _products(role: Role, half: Equation, row: Electrolyte, winner: _Entry) -> tuple[Formula, ...]:
    products = tuple(
        species for species, count in half.right if species not in (H, OH, WATER) and not species.is_electron
    )
    if role == "anode" and winner.couple.key == WATER_ANODE and row.has(Formula.parse("HCO3^-")):
        return (*products, Formula.parse("CO2"))
    return products


def _made(half: Equation, row: Electrolyte) -> tuple[tuple[Formula, float], ...]:
    electrons = abs(float(half.electrons))
    return tuple(
        (species, float(count) / electrons)
        for species, count in half.right
        if species not in (H, OH, WATER) and not species.is_electron
    )


CHLORIDE = Formula.parse("Cl^-")
