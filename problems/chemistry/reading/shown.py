"""Terms as they were understood, with real subscripts and superscripts."""

from dataclasses import replace
from fractions import Fraction

from problems.chemistry.formula import Formula
from problems.chemistry.notation import as_unicode


def show_term(count: Fraction, species: Formula, states: tuple[str, ...] = ()) -> str:
    """A coefficient, a species and its state.

    >>> show_term(Fraction(2), Formula.parse("OH^-"), ("aq",))
    '2 OH⁻(aq)'
    """
    state = "|".join(states) or None
    written = as_unicode(species if species.state == state else replace(species, state=state))
    return written if count == 1 else f"{count} {written}"
