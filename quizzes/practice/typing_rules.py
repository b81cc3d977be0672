"""The ways in which each kind of answer may be typed, as the help page tells them.

A test reads every example with the reader that judges answers.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _


@dataclass(frozen=True, slots=True)
class Rule:
    """One sentence, and texts that may be typed by it; the first is what the others mean too."""

    says: str
    examples: Sequence[str]


def rules_of(kind: str) -> Sequence[Rule]:
    return RULES[kind]()


def _equation() -> Sequence[Rule]:
    return [
        Rule(
            _("Put + between species and one arrow between the sides. An equals sign is an arrow too."),
            ["Zn -> Zn^2+ + 2e^-", "Zn → Zn²⁺ + 2e⁻", "Zn = Zn2+ + 2e-"],
        ),
        Rule(
            _("A number before a species counts it; a fraction is read, though whole numbers are asked."),
            ["2 Al + 3 I2 -> 2 AlI3", "2Al + 3I2 -> 2AlI3"],
        ),
        Rule(
            _("States may be written in round brackets behind a species, or left out."),
            ["AgCl(s) -> Ag+(aq) + Cl-(aq)"],
        ),
    ]


def _formula() -> Sequence[Rule]:
    return [
        Rule(
            _("Capital and small letters matter: a symbol has one capital letter, a second one is small."),
            ["Co", "CO"],
        ),
        Rule(
            _("A charge stands behind ^ or raised; plainly typed, the last digit and sign are the charge."),
            ["PO4^3-", "PO₄³⁻", "PO43-"],
        ),
        Rule(_("Groups stand in brackets; water of a hydrate follows a dot."), ["Fe(NO3)3", "FeSO4*7H2O"]),
    ]


def _quantity() -> Sequence[Rule]:
    return [
        Rule(
            _("A number and its unit stand in one box, with a point or a comma."),
            ["0.25 A", "0,25 A", "250 mA"],
        ),
        Rule(
            _("A power of ten may be written in any of these ways."),
            ["2.0 x 10^-3 mol", "2.0·10⁻³ mol", "2.0e-3 mol"],
        ),
        Rule(
            _("Units may be multiplied, divided and raised."),
            ["1.5 mol/L", "1.5 mol L^-1", "12 cm^3", "12 cm³"],
        ),
    ]


def _expression() -> Sequence[Rule]:
    return [
        Rule(
            _("Use the letters that the question gives; capital and small ones differ."),
            ["m/M", "M^-1*m"],
        ),
        Rule(
            _("Write products with *, · or a space, divide with /, and set brackets below the line."),
            ["m/(2*M)", "m/(2·M)", "m/(2 M)"],
        ),
        Rule(_("A power stands behind ^ or raised."), ["n^2", "n²"]),
    ]


def _ratio() -> Sequence[Rule]:
    return [Rule(_("Two numbers with a colon between them, in the order of the question."), ["3:4", "3 : 4"])]


def _oxidation_number() -> Sequence[Rule]:
    return [Rule(_("A sign and a whole number; Roman figures are read too."), ["+7", "VII", "-2", "0"])]


def _choice() -> Sequence[Rule]:
    return []


RULES: dict[str, Callable[[], Sequence[Rule]]] = {
    "equation": _equation,
    "formula": _formula,
    "quantity": _quantity,
    "expression": _expression,
    "ratio": _ratio,
    "oxidation_number": _oxidation_number,
    "choice": _choice,
}
