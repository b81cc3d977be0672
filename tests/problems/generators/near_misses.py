"""Answers that lie just beside a key: each must not be judged correct."""

from collections.abc import Callable, Iterator
from fractions import Fraction

from problems.chemistry.equation import Equation
from problems.chemistry.formula import Formula
from problems.question import Part

Answer = str | list[str]


def near_misses(part: Part) -> Iterator[Answer]:
    yield from _KINDS[part.grading["kind"]](part)


def _equations(part: Part) -> Iterator[str]:
    """One count changed; everything doubled; a charged species with another charge."""
    key = Equation.parse(part.grading["expected"])
    for place, (species, count) in enumerate(key.left):
        yield str(Equation((*key.left[:place], (species, count + 1), *key.left[place + 1 :]), key.right))
        if species.charge and not species.is_electron:
            bare = Formula(species.atoms, species.charge + 1, species.body)
            if bare not in dict(key.left):
                side = (*key.left[:place], (bare, count), *key.left[place + 1 :])
                yield str(Equation(side, key.right))
    yield str(key.scaled(2))


def _formulas(part: Part) -> Iterator[str]:
    key = Formula.parse(part.grading["expected"])
    yield Formula(key.atoms, key.charge + 1, key.body).plain
    yield f"3 {key.plain}"


def _quantities(part: Part) -> Iterator[str]:
    number, _space, unit = part.grading["expected"].partition(" ")
    if part.grading["unit"] in ("pH", "pOH"):
        yield f"{float(number) + 0.12:.3f}"
        yield f"{float(number) - 0.12:.3f}"
        return
    yield f"{float(number) * 1.11:.6g} {unit}".strip()
    yield f"{float(number) * 0.9:.6g} {unit}".strip()
    if unit not in ("", "%"):
        yield f"{number} K" if unit != "K" else f"{number} s"


def _expressions(part: Part) -> Iterator[str]:
    key = part.grading["expected"]
    yield f"2*({key})"
    yield f"1/({key})"
    yield f"({key})*{part.grading['symbols'][0]}"


def _ratios(part: Part) -> Iterator[str]:
    first, second = map(int, part.grading["expected"].split(":"))
    yield f"{first + 1}:{second}"
    yield f"{first}:{second + 1}"


def _oxidation_numbers(part: Part) -> Iterator[str]:
    number = Fraction(part.grading["expected"])
    yield f"{number + 1}"
    yield f"{number - 1}"


def _choices(part: Part) -> Iterator[list[str]]:
    right = list(part.grading["expected"])
    wrong = [option.key for option in part.options if option.key not in right]
    for key in wrong:
        yield [*right, key]
        yield [*right[1:], key]
    if len(right) > 1:
        yield right[1:]
    yield ["no such option"]


_KINDS: dict[str, Callable[[Part], Iterator[Answer]]] = {
    "equation": _equations,
    "formula": _formulas,
    "quantity": _quantities,
    "expression": _expressions,
    "ratio": _ratios,
    "oxidation_number": _oxidation_numbers,
    "choice": _choices,
}
