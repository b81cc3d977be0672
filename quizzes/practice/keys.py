"""The keys under an answer box: the signs that a phone or a school keyboard hides."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from django.utils.translation import get_language
from django.utils.translation import gettext as _


@dataclass(frozen=True, slots=True)
class Key:
    """One key: what stands on it, what it is called aloud, and what it puts at the caret.

    A key that `turns` digits and signs "lower" or "upper" stays down while they are typed, until
    something else is typed or it is pressed again.
    """

    shown: str
    label: str
    inserts: str = ""
    turns: str = ""


def keys_for(grading: Mapping[str, Any]) -> Sequence[Key]:
    """The keys that suit a kind of answer; none where a keyboard has all that is needed."""
    return _keys(grading["kind"], tuple(grading.get("symbols", ())), get_language())


@lru_cache(maxsize=256)
def _keys(kind: str, symbols: Sequence[str], language: str | None) -> Sequence[Key]:
    if kind == "equation":
        return [_arrow(), *_small(), *_charges(), Key("e⁻", _("electron"), "e⁻"), *_states()]
    if kind == "formula":
        return [*_small(), *_charges()]
    if kind == "expression":
        return [*(Key(name, name, name) for name in symbols), *_operators()]
    return []


def _arrow() -> Key:
    return Key("→", _("arrow"), " → ")


def _small() -> Sequence[Key]:
    return [
        Key("x₂", _("write digits below the line"), turns="lower"),
        Key("x²", _("write digits and signs above the line"), turns="upper"),
    ]


def _charges() -> Sequence[Key]:
    return [Key("⁺", _("positive charge"), "⁺"), Key("⁻", _("negative charge"), "⁻")]


def _states() -> Sequence[Key]:
    names = {"s": _("solid"), "l": _("liquid"), "g": _("gas"), "aq": _("dissolved in water")}
    return [Key(f"({sign})", name, f"({sign})") for sign, name in names.items()]


def _operators() -> Sequence[Key]:
    names = {"·": _("times"), "/": _("divided by"), "(": _("bracket opens"), ")": _("bracket closes")}
    return [*(Key(sign, name, sign) for sign, name in names.items()), Key("^", _("to the power of"), "^")]
