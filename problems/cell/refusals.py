"""Pairs of electrode and solution that do not work: attacked or plated without current, or spoiled."""

from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from problems.cell import tables
from problems.cell.discharge import CATHODE_COUPLES, Activities, H, nernst
from problems.cell.names import first_upper, material_name
from problems.cell.tables import Electrolyte, Material, Role
from problems.chemistry.formula import Formula
from problems.chemistry.notation import as_unicode
from problems.words import _

ROLES: tuple[Role, Role] = ("cathode", "anode")


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why a cell is not built; `danger` marks what must not even be tried."""

    why: str
    danger: bool = False


def refusal(row: Electrolyte, cathode: Material, anode: Material, activities: Activities) -> Refusal | None:
    """The first reason against this cell, None where there is none.

    `activities`: concentrations of the fresh solution [mol/L]. What attacks a metal without current
    follows from potentials, the rest from `rules.toml`.
    """
    for role, material in zip(ROLES, (cathode, anode), strict=True):
        for rule in _rules():
            if _applies(rule, role, row, material):
                return Refusal(_(rule["why"]), rule.get("danger", False))
        attacked = _attack(row, material, activities)
        if attacked:
            return Refusal(attacked)
    return None


@lru_cache(maxsize=1)
def _rules() -> tuple[dict[str, Any], ...]:
    rows = tables.document("rules")["refused"]
    return tuple(
        {**row, "ions": frozenset(Formula.parse(ion) for ion in row.get("ions", ()))} for row in rows
    )


def _applies(rule: dict[str, Any], role: Role, row: Electrolyte, material: Material) -> bool:
    if rule["electrodes"] and material.key not in rule["electrodes"]:
        return False
    if material.key in rule.get("but_electrodes", ()) or row.key in rule.get("but", ()):
        return False
    if rule.get("role", role) != role or (rule.get("active") and row.key in material.active_in):
        return False
    formulas = rule.get("formulas", ())
    if formulas or rule["ions"]:
        return row.key in formulas or bool(rule["ions"] & row.ions.keys())
    return True


def _attack(row: Electrolyte, material: Material, activities: Activities) -> str:
    """Whether the solution oxidises the metal by itself, by potentials; the sentence, or nothing."""
    if material.metal_ion is None:
        return ""
    limits = tables.document("rules")["attack"]
    own = _metal_potential(material.metal_ion, {material.metal_ion: limits["dissolved"], **activities})
    for ion in row.ions:
        key = CATHODE_COUPLES.get(ion.plain)
        if not key or ion.charge < 0 or ion == material.metal_ion:
            continue
        if nernst(tables.potentials()[key], activities) > own + limits["margin"]:
            return _(limits["why_metal"]).format(
                metal=first_upper(material_name(material.key)), other=as_unicode(_plated(key))
            )
    acid = nernst(tables.potentials()["H+/H2"], activities)
    if activities[H] >= limits["acid"] and acid > own + limits["margin"]:
        return _(limits["why_acid"]).format(metal=first_upper(material_name(material.key)))
    return ""


def _metal_potential(ion: Formula, activities: Activities) -> float:
    return nernst(tables.potentials()[CATHODE_COUPLES[ion.plain]], activities)


def _plated(key: str) -> Formula:
    return tables.potentials()[key].reaction.right[0][0]
