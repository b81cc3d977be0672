"""What a simulated student types: a right answer in some notation, or one with a typical mistake."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction
from random import Random
from typing import Any

from problems.chemistry.equation import Equation
from problems.chemistry.formula import Formula
from problems.chemistry.notation import as_unicode
from problems.question import Part

Typed = str | list[str]


def typed_answer(part: Part, knows: bool, rng: Random) -> Typed:
    """An answer to one part: right where the student knows it, else as somebody mistaken types it."""
    grading = part.grading
    return RIGHT[grading["kind"]](grading, rng) if knows else WRONG[grading["kind"]](part, rng)


def _as_is(grading: Mapping[str, Any], rng: Random) -> Typed:
    expected = grading["expected"]
    return list(expected) if isinstance(expected, list | tuple) else str(expected)


def _right_equation(grading: Mapping[str, Any], rng: Random) -> Typed:
    return _spelled(Equation.parse(_plain(grading["expected"])), rng)


def _right_quantity(grading: Mapping[str, Any], rng: Random) -> Typed:
    text = str(grading["expected"])
    return text.replace(".", ",") if rng.random() < 0.15 else text


def _spelled(equation: Equation, rng: Random) -> str:
    """The same equation as different people write it."""
    text = str(equation)
    manner = rng.randrange(4)
    if manner == 0:
        return as_unicode(equation)
    if manner == 1:
        return text.replace("^", "")
    return text if manner == 2 else text.replace(" -> ", " = ")


def _plain(text: str) -> str:
    """A key without its state symbols."""
    for state in ("(s)", "(l)", "(g)", "(aq)"):
        text = text.replace(state, "")
    return text


def _wrong_equation(part: Part, rng: Random) -> Typed:
    equation = Equation.parse(_plain(part.grading["expected"]))
    if rng.random() < 0.1:
        return str(equation).lower()
    other = part.grading.get("other")
    if other and rng.random() < 0.2:
        return str(Equation.parse(_plain(other)))
    return _spelled(rng.choice(MISTAKES)(equation, rng), rng)


def _without_electrons(equation: Equation, rng: Random) -> Equation:
    left, right = (
        tuple(term for term in side if not term[0].is_electron) for side in (equation.left, equation.right)
    )
    return Equation(left, right) if left and right and equation.electrons else _other_count(equation, rng)


def _other_count(equation: Equation, rng: Random) -> Equation:
    sides = [list(equation.left), list(equation.right)]
    side = rng.choice(sides)
    place = rng.randrange(len(side))
    species, count = side[place]
    side[place] = (species, count + 1 if count == 1 or rng.random() < 0.4 else count - 1)
    return Equation(tuple(sides[0]), tuple(sides[1]))


def _other_charge(equation: Equation, rng: Random) -> Equation:
    sides = [list(equation.left), list(equation.right)]
    charged = [
        (side, place)
        for side in sides
        for place, (species, _) in enumerate(side)
        if species.charge and not species.is_electron
    ]
    if not charged:
        return _other_count(equation, rng)
    side, place = rng.choice(charged)
    species, count = side[place]
    bare = Formula(species.atoms, 0, species.body)
    return (
        _other_count(equation, rng)
        if any(bare == each for each, _ in side)
        else _put(sides, side, place, bare, count)
    )


def _put(
    sides: list[list[tuple[Formula, Fraction]]],
    side: list[tuple[Formula, Fraction]],
    place: int,
    species: Formula,
    count: Fraction,
) -> Equation:
    side[place] = (species, count)
    return Equation(tuple(sides[0]), tuple(sides[1]))


def _turned_round(equation: Equation, rng: Random) -> Equation:
    return equation.reversed()


def _doubled(equation: Equation, rng: Random) -> Equation:
    return equation.scaled(2)


MISTAKES: tuple[Callable[[Equation, Random], Equation], ...] = (
    _without_electrons,
    _other_count,
    _other_count,
    _other_charge,
    _turned_round,
    _doubled,
)


def _slip(part: Part, rng: Random) -> Typed | None:
    slips = list(part.grading.get("slips", {}).values())
    if not slips:
        return None
    chosen = rng.choice(slips)
    return list(chosen) if isinstance(chosen, list | tuple) else str(chosen)


def _wrong_quantity(part: Part, rng: Random) -> Typed:
    slip = _slip(part, rng)
    if slip is not None and rng.random() < 0.8:
        return slip
    number, _, unit = part.grading["expected"].partition(" ")
    return number if unit and rng.random() < 0.5 else f"1{number} {unit}".strip()


def _wrong_choice(part: Part, rng: Random) -> Typed:
    wrong = [option.key for option in part.options if option.key not in part.grading["expected"]]
    return [rng.choice(wrong)] if wrong else [part.options[0].key]


def _wrong_ratio(part: Part, rng: Random) -> Typed:
    first, _, second = part.grading["expected"].partition(":")
    return f"{second}:{first}" if rng.random() < 0.6 and first != second else "3:2"


def _wrong_number(part: Part, rng: Random) -> Typed:
    return _slip(part, rng) or part.grading["expected"].translate(str.maketrans("+-", "-+"))


def _wrong_formula(part: Part, rng: Random) -> Typed:
    return _slip(part, rng) or part.grading["expected"].partition("^")[0] + "2"


def _wrong_expression(part: Part, rng: Random) -> Typed:
    return _slip(part, rng) or f"2*({part.grading['expected'].rpartition('=')[2].strip()})"


RIGHT: dict[str, Callable[[Mapping[str, Any], Random], Typed]] = {
    "equation": _right_equation,
    "formula": _as_is,
    "quantity": _right_quantity,
    "expression": _as_is,
    "ratio": _as_is,
    "oxidation_number": _as_is,
    "choice": _as_is,
}
WRONG: dict[str, Callable[[Part, Random], Typed]] = {
    "equation": _wrong_equation,
    "formula": _wrong_formula,
    "quantity": _wrong_quantity,
    "expression": _wrong_expression,
    "ratio": _wrong_ratio,
    "oxidation_number": _wrong_number,
    "choice": _wrong_choice,
}
