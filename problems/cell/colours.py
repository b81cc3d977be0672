"""The colour in one arm: indicator, the solution's own colour, halogens, and when it may be asked."""

from problems.cell import tables
from problems.cell.tables import Indicator
from problems.words import _


def of_indicator(indicator: Indicator, ph: float) -> str:
    """The colour of `indicator` at a pH, by the name in the table of colours.

    >>> of_indicator(tables.indicators()["bromothymol blue"], 3.0)
    'yellow'
    """
    if indicator.cuts:
        return indicator.colours[sum(ph >= cut for cut in indicator.cuts)]
    for change, before in zip(indicator.steps, indicator.colours, strict=False):
        if ph < change.low:
            return before
        if ph <= change.high:
            return change.colour
    return indicator.colours[-1]


def near_limit(indicator: Indicator, ph: float) -> bool:
    """True where the colour at this pH lies too near a limit of the indicator to be asked."""
    for change in indicator.steps:
        margin = indicator.margin if indicator.margin_low is None else indicator.margin_low
        if abs(ph - change.low) < margin or abs(ph - change.high) < indicator.margin:
            return True
    return any(abs(ph - cut) < indicator.margin for cut in indicator.cuts)


def name(key: str) -> str:
    """The colour's name in the reader's language."""
    return _(key)


def paint(key: str) -> str:
    """The colour as a hex value for the drawing."""
    return tables.colours()[key].paint


def same(key: str, indicator: Indicator | None = None) -> tuple[str, ...]:
    """Every word that counts as this colour, the colour itself first."""
    extra = indicator.same.get(key, ()) if indicator else ()
    return tuple(dict.fromkeys((key, *tables.colours()[key].same, *extra)))
