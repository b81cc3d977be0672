"""How verdicts, kinds of answer, chances and skills are put into words on pages."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from django import template
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from problems import words
from problems.cell.setup import Setup
from problems.registry import SKILLS
from quizzes.adaptive.report import Chance
from quizzes.practice import facts, reasons
from quizzes.topics import topic_title

register = template.Library()

NO_BREAK = "\N{NO-BREAK SPACE}"
HELD = re.compile(
    r"""[ ](?:(?<=\d[ ])(?=[°%A-Za-zµ])         # a number and its unit or formula
            |(?<=\d[ ])(?=:[ ]\d)|(?<=\d[ ]:[ ])(?=\d)
            |(?==[ ][\d−])|(?<=[ ]=[ ])(?=[\d−])
            |(?<=\bpH[ ])(?=[\d−]))""",
    re.VERBOSE,
)
"""The spaces at which a line is not broken."""
WITHOUT_UNIT = ("pH", "pOH")

VERDICTS = {
    "correct": gettext_lazy("✓ Right."),
    "partly": gettext_lazy("◐ Partly right."),
    "wrong": gettext_lazy("✗ Not right."),
    "unreadable": gettext_lazy("? This could not be read. It costs nothing."),
    "shown": gettext_lazy("The answer is shown below. It counts as not known."),
}
JUDGEMENTS = {
    "correct": gettext_lazy("still right"),
    "partly": gettext_lazy("partly right"),
    "wrong": gettext_lazy("not right"),
    "unreadable": gettext_lazy("not counted"),
}
OUTCOMES = {
    "right": gettext_lazy("✓ right"),
    "right_later": gettext_lazy("◐ right at a later try"),
    "partly": gettext_lazy("◐ partly right"),
    "not_right": gettext_lazy("✗ not right"),
    "unanswered": gettext_lazy("– not answered"),
}
LABELS = {
    "equation": gettext_lazy("Your equation"),
    "formula": gettext_lazy("Your formula"),
    "quantity": gettext_lazy("Number and unit"),
    "expression": gettext_lazy("Your formula"),
    "ratio": gettext_lazy("Your ratio"),
    "oxidation_number": gettext_lazy("Oxidation number"),
}
TYPING = {
    "equation": gettext_lazy("For example: Fe^3+ + e^- -> Fe^2+   (Fe3+ and e- will do; = is an arrow too)"),
    "formula": gettext_lazy("For example: Ca(NO3)2 or PO4^3-"),
    "quantity": gettext_lazy("For example: 3.5 kg, 2.0 x 10^-3 mol or 0,25 A"),
    "expression": gettext_lazy("Use the letters of the question, as in a*b/(2*c)."),
    "ratio": gettext_lazy("For example: 3:5"),
    "oxidation_number": gettext_lazy("For example: +7"),
}


@register.filter
def together(text: str) -> str:
    """The text with numbers held to their units, coefficients to their formulas and ratios in one piece,
    where lines break.

    >>> together("At 25 °C, F = 96485 C/mol.").count(NO_BREAK)
    4
    >>> together("They stand as 1 : 2.").count(NO_BREAK)
    2
    >>> together("The arm is at pH 11.9.").count(NO_BREAK)
    1
    """
    return HELD.sub(NO_BREAK, text)


@register.filter
def percent(chance: float) -> str:
    return reasons.percent(chance)


@register.filter
def hundredths(chance: float) -> str:
    """A place along a drawing 100 wide; always with a point, whatever the language."""
    return f"{100 * chance:.1f}"


@register.filter
def interval(chance: Chance) -> str:
    """The range a chance lies in nine times out of ten."""
    return _("%(low)d–%(high)d\u00a0%%") % {"low": round(100 * chance.low), "high": round(100 * chance.high)}


@register.filter
def verdict_words(verdict: str) -> str:
    return str(VERDICTS[verdict])


@register.filter
def judgement_words(verdict: str) -> str:
    """What a finding makes of an answer."""
    return str(JUDGEMENTS[verdict])


@register.filter
def outcome_words(outcome: str) -> str:
    return str(OUTCOMES[outcome])


@register.filter
def box_label(kind: str, grading: Mapping[str, Any]) -> str:
    """What the answer box is called, by the kind of answer."""
    asked = grading.get("asked")
    if kind == "expression" and asked:
        return _("Your formula for %(asked)s") % {"asked": asked}
    return str(asked if asked in WITHOUT_UNIT else LABELS[kind])


@register.filter
def typing_help(kind: str, grading: Mapping[str, Any]) -> str:
    """One line on how such an answer may be typed; examples that fit no question of ours."""
    if grading.get("asked") in WITHOUT_UNIT:
        return _("A number without a unit, for example 8.25")
    return str(TYPING[kind])


@register.filter
def setup_title(setup: Setup) -> str:
    return facts.setup_title(setup)


@register.filter
def skill_title(name: str) -> str:
    """What a skill is called on pages; the bare name for one that is no longer taught."""
    skill = SKILLS.get(name)
    return words._(skill.title) if skill else name


@register.filter
def topic_name(topic: str) -> str:
    """What a topic is called on pages."""
    return topic_title(topic)
