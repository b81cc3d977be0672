"""The parts of a question: one function for each kind of answer, so that keys and slips are always sound.

A slip that happens to equal the key or an earlier slip says nothing and is left out here.
"""

from collections.abc import Iterable, Mapping, Sequence
from random import Random
from typing import Any, Literal

from problems.chemistry.equation import Equation
from problems.chemistry.formula import Formula
from problems.question import Option, Part

Hints = tuple[str, str, str]
EquationRole = Literal["half_reaction", "net_ionic", "overall"]
TOLERANCE = 0.02
PH_TOLERANCE = 0.1
KEY_FIGURES = 4
LONGEST_PLAIN = 7
FEW = 3
"""With fewer figures than that in the data, an answer is compared after rounding both."""


def equation(
    prompt: str,
    key: Equation,
    role: EquationRole,
    hints: Hints,
    solution: Sequence[str],
    other: Equation | None = None,
    accepted: bool = False,
    **more: Any,
) -> Part:
    """An equation to write; `accepted` where the form for the other medium is right as well."""
    grading = {"kind": "equation", "expected": str(key), "role": role}
    if other is not None:
        grading["other"] = str(other)
    if accepted:
        grading["medium"] = "accepted"
    return Part(prompt, grading, hints, tuple(solution), **more)


def formula(
    prompt: str,
    key: Formula,
    hints: Hints,
    solution: Sequence[str],
    slips: Mapping[str, Formula] | None = None,
    **more: Any,
) -> Part:
    """One species to name by its formula."""
    wrong = _distinct({code: each.plain for code, each in (slips or {}).items()}, key.plain)
    grading = {"kind": "formula", "expected": key.plain, "slips": wrong}
    return Part(prompt, grading, hints, tuple(solution), **more)


def quantity(
    prompt: str,
    value: float,
    unit: str,
    hints: Hints,
    solution: Sequence[str],
    slips: Mapping[str, float],
    figures: int = 3,
    asked: str = "",
    tolerance: float | None = None,
    **more: Any,
) -> Part:
    """A number with a unit; `value` and `slips` are in `unit` ("" for a pure number)."""
    margin = TOLERANCE if tolerance is None else tolerance
    grading: dict[str, Any] = {
        "kind": "quantity",
        "expected": written(value, unit, figures if figures < FEW else KEY_FIGURES),
        "unit": unit,
        "figures": figures,
        "slips": _apart(slips, value, unit, margin),
    }
    if asked:
        grading["asked"] = asked
    if tolerance is not None:
        grading["tolerance"] = tolerance
    return Part(prompt, grading, hints, tuple(solution), **more)


def ph(
    prompt: str,
    value: float,
    hints: Hints,
    solution: Sequence[str],
    slips: Mapping[str, float],
    scale: Literal["pH", "pOH"] = "pH",
    **more: Any,
) -> Part:
    """A pH to one decimal."""
    kept: dict[str, str] = {}
    taken = [value]
    for code, wrong in slips.items():
        if all(abs(wrong - each) > 2.2 * PH_TOLERANCE for each in taken):
            taken.append(wrong)
            kept[code] = f"{wrong:.3f}"
    grading = {"kind": "quantity", "expected": f"{value:.3f}", "unit": scale, "asked": scale, "slips": kept}
    return Part(prompt, grading, hints, tuple(solution), **more)


def ratio(
    prompt: str,
    key: tuple[int, int],
    hints: Hints,
    solution: Sequence[str],
    slips: Mapping[str, tuple[int, int]],
    **more: Any,
) -> Part:
    """A ratio of two whole numbers."""
    kept: dict[str, str] = {}
    taken = [key[0] / key[1]]
    for code, (first, second) in slips.items():
        if all(abs(first / second - each) > 0.05 * each for each in taken):
            taken.append(first / second)
            kept[code] = f"{first}:{second}"
    grading = {"kind": "ratio", "expected": f"{key[0]}:{key[1]}", "slips": kept}
    return Part(prompt, grading, hints, tuple(solution), **more)


def oxidation_number(
    prompt: str,
    key: str,
    hints: Hints,
    solution: Sequence[str],
    slips: Mapping[str, str],
    **more: Any,
) -> Part:
    """An oxidation number such as "+6"."""
    grading = {"kind": "oxidation_number", "expected": key, "slips": _distinct(slips, key)}
    return Part(prompt, grading, hints, tuple(solution), **more)


def expression(
    prompt: str,
    key: str,
    symbols: Sequence[str],
    asked: str,
    hints: Hints,
    solution: Sequence[str],
    slips: Mapping[str, str],
    **more: Any,
) -> Part:
    """A formula in symbols, such as `I t/F`, for the quantity `asked`."""
    grading = {
        "kind": "expression",
        "expected": key,
        "symbols": list(symbols),
        "asked": asked,
        "slips": _distinct(slips, key),
    }
    return Part(prompt, grading, hints, tuple(solution), **more)


def choice(
    prompt: str,
    options: Iterable[Option],
    hints: Hints,
    solution: Sequence[str],
    rng: Random,
    slips: Mapping[str, Iterable[str]] | None = None,
    **more: Any,
) -> Part:
    """Options to choose from, in an order drawn from `rng`; right are those with nothing against them."""
    shown = list(options)
    rng.shuffle(shown)
    right = sorted(option.key for option in shown if not option.why_wrong)
    offered = {option.key for option in shown}
    wrong: dict[str, list[str]] = {}
    for code, keys in (slips or {}).items():
        chosen = sorted(keys)
        if chosen != right and chosen and set(chosen) <= offered and chosen not in wrong.values():
            wrong[code] = chosen
    grading = {"kind": "choice", "expected": right, "slips": wrong}
    return Part(prompt, grading, hints, tuple(solution), tuple(shown), **more)


def written(value: float, unit: str, figures: int = KEY_FIGURES) -> str:
    """A value as keys keep it: one figure more than the data justify, so that rounding costs nothing.

    >>> written(0.0012437123, "mol")
    '0.001244 mol'
    """
    return f"{_plain(value, figures)} {unit}".strip()


def _plain(value: float, figures: int) -> str:
    text = f"{value:#.{figures}g}".rstrip(".")
    if "e" not in text:
        return text
    mantissa, _e, power = text.partition("e")
    return f"{float(text):.0f}" if 0 < int(power) < LONGEST_PLAIN else f"{mantissa.rstrip('.')}e{int(power)}"


def _apart(slips: Mapping[str, float], key: float, unit: str, margin: float) -> dict[str, str]:
    """The slips that differ from the key and from each other by more than an answer's tolerance."""
    kept: dict[str, str] = {}
    taken = [key]
    for code, value in slips.items():
        if all(abs(value - each) > 2.5 * margin * max(abs(each), abs(value)) for each in taken):
            taken.append(value)
            kept[code] = written(value, unit)
    return kept


def _distinct(slips: Mapping[str, str], key: str) -> dict[str, str]:
    kept: dict[str, str] = {}
    for code, value in slips.items():
        if value != key and value not in kept.values():
            kept[code] = value
    return kept
