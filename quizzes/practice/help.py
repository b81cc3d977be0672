"""How answers are typed, with boxes to try it in, and what every finding of the grader means."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.http import HttpResponse, HttpResponseBadRequest
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from accounts.requests import PageRequest
from problems.grading.codes import Code, codes
from quizzes import fragments
from quizzes.practice.keys import Key, keys_for
from quizzes.practice.reading import Reading, read_typed
from quizzes.practice.typing_rules import Rule, rules_of

LONGEST = 500
"""As in the answer box [characters]."""
TRIED: Mapping[str, Mapping[str, Any]] = {
    "equation": {"kind": "equation"},
    "formula": {"kind": "formula"},
    "quantity": {"kind": "quantity", "expected": "1 g", "unit": "g"},
    "expression": {"kind": "expression", "expected": "1", "symbols": ["m", "M", "n"], "asked": "n"},
    "ratio": {"kind": "ratio", "expected": "1:1"},
    "oxidation_number": {"kind": "oxidation_number", "expected": "+1"},
}
"""What a box on the page takes, by kind of answer; no question stands behind it."""


@dataclass(frozen=True, slots=True)
class KindHelp:
    """One kind of answer: its rules, a box to try them, and what can be found in such an answer."""

    kind: str
    title: str
    rules: Sequence[Rule]
    grading: Mapping[str, Any] | None
    keys: Sequence[Key]
    codes: Sequence[Code]


@require_safe
def typing(request: PageRequest) -> HttpResponse:
    return render(request, "practice/help.html", {"kinds": kinds()})


@require_POST
def try_reading(request: PageRequest) -> HttpResponse:
    """How a text in one of the boxes is understood; without JavaScript, on the whole page again."""
    kind, typed = request.POST.get("kind", ""), request.POST.get("answer", "")[:LONGEST]
    if kind not in TRIED:
        return HttpResponseBadRequest(_("This did not come from its page. Load the page again."))
    reading: Reading = read_typed(TRIED[kind], typed)
    if request.htmx:
        return HttpResponse(fragments.render("reading", reading=reading))
    tried = {"kind": kind, "typed": typed, "reading": reading}
    return render(request, "practice/help.html", {"kinds": kinds(), "tried": tried})


def kinds() -> Sequence[KindHelp]:
    titles = {
        "equation": _("Equations"),
        "formula": _("Formulas of substances and ions"),
        "quantity": _("Numbers with units"),
        "expression": _("Formulas in letters"),
        "ratio": _("Ratios"),
        "oxidation_number": _("Oxidation numbers"),
        "choice": _("Choices"),
    }
    return [_kind(kind, title) for kind, title in titles.items()]


def _kind(kind: str, title: str) -> KindHelp:
    grading = TRIED.get(kind)
    return KindHelp(kind, title, rules_of(kind), grading, keys_for(grading) if grading else (), codes(kind))
