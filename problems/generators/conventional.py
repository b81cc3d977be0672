"""Evidence, equations and keys as a class writes them: with H₃O⁺ for H⁺, with state symbols, in dm³.

Generators write as usual: what they are given is put into the class's way of writing before, and the keys
that they give after. H⁺ becomes H₃O⁺ with a water on the other side, so what balanced before balances after.
"""

from collections.abc import Mapping
from dataclasses import replace
from functools import lru_cache
from typing import Any

from problems.cell import tables
from problems.cell.evidence import Electrode, Evidence
from problems.chemistry.equation import Equation, Side
from problems.chemistry.formula import HYDROGEN_ION, HYDRONIUM, Formula
from problems.chemistry.medium import with_hydronium
from problems.chemistry.notation import as_unicode, plain
from problems.chemistry.parts import nonmetals
from problems.conventions import current, sentence, unit
from problems.question import Grading, Made, Part
from problems.words import _


def species(formula: Formula) -> Formula:
    """The ion of acids as the class writes it; anything else as it is."""
    return HYDRONIUM if current().hydronium and formula == HYDROGEN_ION else formula


def equation(written: Equation) -> Equation:
    """An equation with the ion of acids as the class writes it."""
    return with_hydronium(written) if current().hydronium and HYDROGEN_ION in written.species else written


def cell(found: Evidence) -> Evidence:
    """The equations and reasons of a cell's evidence as the class writes them."""
    if not current().hydronium:
        return found
    cathode, anode = (each and _electrode(each) for each in (found.cathode, found.anode))
    return replace(found, cathode=cathode, anode=anode, overall=found.overall and equation(found.overall))


def _electrode(electrode: Electrode) -> Electrode:
    return replace(
        electrode,
        why=sentence(electrode.why),
        half_reaction=electrode.half_reaction and equation(electrode.half_reaction),
        accepted=tuple(map(equation, electrode.accepted)),
        candidates=tuple(
            replace(each, half_reaction=equation(each.half_reaction), why=sentence(each.why))
            for each in electrode.candidates
        ),
    )


def question(made: Made) -> Made:
    """What a generator made, with its keys as the class writes them and state symbols where it asks them."""
    class_writes = current()
    if not (class_writes.hydronium or class_writes.states or class_writes.decimetres):
        return made
    return replace(made, parts=tuple(_with_states(_with_keys(part)) for part in made.parts))


def _with_keys(part: Part) -> Part:
    change = {"equation": _equation_key, "formula": _formula_key, "quantity": _unit_key}
    return replace(part, grading=change.get(part.grading["kind"], dict)(part.grading))


def _equation_key(grading: Grading) -> dict[str, Any]:
    fields = {name: grading[name] for name in ("expected", "other") if name in grading}
    return {**grading, **{name: str(equation(Equation.parse(text))) for name, text in fields.items()}}


def _formula_key(grading: Grading) -> dict[str, Any]:
    key = species(Formula.parse(grading["expected"])).plain
    return {**grading, "expected": key}


def _unit_key(grading: Grading) -> dict[str, Any]:
    """Key, asked unit and slips in the class's units: these are of the same size, so numbers stay."""
    own = {name: unit(grading[name]) for name in ("expected", "unit") if name in grading}
    slips: Mapping[str, str] = grading.get("slips", {})
    return {**grading, **own, "slips": {code: unit(text) for code, text in slips.items()}}


def _with_states(part: Part) -> Part:
    """The part asking for states, where the class does and every state of its key is settled.

    A key that is worked out from the student's own equations has no states, so it is never asked for any.
    """
    if not current().states or part.grading["kind"] != "equation" or part.carries:
        return part
    key = with_states(Equation.parse(part.grading["expected"]))
    if key is None:
        return part
    return replace(
        part,
        prompt=f"{part.prompt} {_('Give the state symbols, too.')}",
        grading={**part.grading, "expected": plain(key), "states": "required"},
        solution=(*part.solution, _("With state symbols: {equation}").format(equation=as_unicode(key))),
    )


def with_states(written: Equation) -> Equation | None:
    """The equation with a state symbol at every species but electrons; None where one is not settled.

    >>> plain(with_states(Equation.parse("2 H2O -> O2 + 4 H^+ + 4 e^-")))
    '2 H2O(l) -> O2(g) + 4 H^+(aq) + 4 e^-'
    """
    left, right = _side(written.left), _side(written.right)
    return Equation(left, right) if left is not None and right is not None else None


def _side(side: Side) -> Side | None:
    states = [(each, "" if each.is_electron else state_of(each), count) for each, count in side]
    if any(state is None for _each, state, _count in states):
        return None
    return tuple((replace(each, state=state or None), count) for each, state, count in states)


def state_of(formula: Formula) -> str | None:
    """The state of a species round the cell; None where the table does not settle it."""
    if formula.charge:
        return "aq"
    if len(formula.atoms) == 1 and not formula.elements & nonmetals():
        return "s"
    return _table().get(formula)


@lru_cache(maxsize=1)
def _table() -> Mapping[Formula, str]:
    rows = tables.document("states")["state"]
    return {Formula.parse(name): row["state"] for row in rows for name in row["species"]}
