"""How verdicts, kinds of answer, chances and skills are put into words on pages."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from django import template
from django.utils.translation import gettext as _

from problems import words
from problems.cell.setup import Setup
from problems.registry import SKILLS
from quizzes.adaptive.report import Chance
from quizzes.practice import facts, reasons
from quizzes.topics import topic_title

register = template.Library()

NO_BREAK = "\N{NO-BREAK SPACE}"
AFTER_A_NUMBER = re.compile(r"(?<=\d) (?=[°%A-Za-zµ])")
WITHOUT_UNIT = ("pH", "pOH")
AFTER_PH = re.compile(r"(?<=\bpH) (?=[\d−])")
RATIO = re.compile(r"(?<=\d) : (?=\d)")
EQUALS = re.compile(r" = (?=[\d−])")


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
    held = AFTER_PH.sub(NO_BREAK, AFTER_A_NUMBER.sub(NO_BREAK, text))
    held = RATIO.sub(f"{NO_BREAK}:{NO_BREAK}", held)
    return EQUALS.sub(f"{NO_BREAK}={NO_BREAK}", held)


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
    words = {
        "correct": _("✓ Right."),
        "partly": _("◐ Partly right."),
        "wrong": _("✗ Not right."),
        "unreadable": _("? This could not be read. It costs nothing."),
        "shown": _("The answer is shown below. It counts as not known."),
    }
    return words[verdict]


@register.filter
def judgement_words(verdict: str) -> str:
    """What a finding makes of an answer."""
    words = {
        "correct": _("still right"),
        "partly": _("partly right"),
        "wrong": _("not right"),
        "unreadable": _("not counted"),
    }
    return words[verdict]


@register.filter
def outcome_words(outcome: str) -> str:
    words = {
        "right": _("✓ right"),
        "right_later": _("◐ right at a later try"),
        "partly": _("◐ partly right"),
        "not_right": _("✗ not right"),
        "unanswered": _("– not answered"),
    }
    return words[outcome]


@register.filter
def box_label(kind: str, grading: Mapping[str, Any]) -> str:
    """What the answer box is called, by the kind of answer."""
    asked = grading.get("asked")
    if kind == "expression" and asked:
        return _("Your formula for %(asked)s") % {"asked": asked}
    if asked in WITHOUT_UNIT:
        return str(asked)
    labels = {
        "equation": _("Your equation"),
        "formula": _("Your formula"),
        "quantity": _("Number and unit"),
        "expression": _("Your formula"),
        "ratio": _("Your ratio"),
        "oxidation_number": _("Oxidation number"),
    }
    return labels[kind]


@register.filter
def typing_help(kind: str, grading: Mapping[str, Any]) -> str:
    """One line on how such an answer may be typed; examples that fit no question of ours."""
    if grading.get("asked") in WITHOUT_UNIT:
        return _("A number without a unit, for example 8.25")
    lines = {
        "equation": _("For example: Fe^3+ + e^- -> Fe^2+   (Fe3+ and e- will do; = is an arrow too)"),
        "formula": _("For example: Ca(NO3)2 or PO4^3-"),
        "quantity": _("For example: 3.5 kg, 2.0 x 10^-3 mol or 0,25 A"),
        "expression": _("Use the letters of the question, as in a*b/(2*c)."),
        "ratio": _("For example: 3:5"),
        "oxidation_number": _("For example: +7"),
    }
    return lines[kind]


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
