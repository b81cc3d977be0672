"""The few places in the drawing of a cell that are computed: levels, bubbles, coats, marks."""

from __future__ import annotations

from functools import cache
from random import Random

from django import template
from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

from problems.cell.picture import ArmPicture

register = template.Library()

FULL_TOP, FULL_BOTTOM = 54, 204
"""Where the liquid stands with an empty and with a full tube of gas [units of the drawing]."""
ROD_BOTTOM = 224
ROOM_BESIDE = 11
"""Letters that fit between the glass and the edge."""
LINE = 15


@register.simple_tag
def level(arm: ArmPicture) -> str:
    """The height of the liquid's surface."""
    return _place(_surface(arm))


def _place(value: float) -> str:
    """A number of the drawing; with a point in every language."""
    return f"{value:.1f}"


def _surface(arm: ArmPicture) -> float:
    return FULL_TOP + (FULL_BOTTOM - FULL_TOP) * arm.gas_level


@register.simple_tag
def coat(arm: ArmPicture, centre: int) -> SafeString:
    """The metal on a rod: wider and longer the more there is."""
    thickness = 1 + 3 * arm.deposit
    top = max(_surface(arm), 150 - 60 * arm.deposit)
    box = (centre - 4 - thickness, top, 8 + 2 * thickness, ROD_BOTTOM - top)
    return format_html('x="{}" y="{}" width="{}" height="{}"', *map(_place, box))


@register.simple_tag
def bubbles(arm: ArmPicture, centre: int) -> SafeString:
    """Bubbles beside a rod, more for a stronger current; always at the same places."""
    rng = Random(centre)
    top = _surface(arm) + 8
    places = [
        (
            centre + rng.choice((-1, 1)) * rng.uniform(8, 18),
            rng.uniform(top, ROD_BOTTOM),
            rng.uniform(1.4, 3.2),
        )
        for _ in range(7 * arm.bubbles)
    ]
    circles = (
        f'<circle class="bubble" cx="{_place(x)}" cy="{_place(y)}" r="{_place(r)}"/>' for x, y, r in places
    )
    return SafeString("".join(circles))


@register.simple_tag
def words_beside(text: str, place: int) -> SafeString:
    """The words beside an arm: in one line where they have room, else one below the other."""
    lines = [text] if len(text) <= ROOM_BESIDE else text.split()
    line = '<tspan x="{}" dy="{}">{}</tspan>'
    return format_html_join(
        "", line, ((place, LINE if count else 0, each) for count, each in enumerate(lines))
    )


@register.simple_tag
@cache
def marks() -> SafeString:
    """Lines on the glass, as on a burette."""
    step = (FULL_BOTTOM - FULL_TOP) / 10
    lines = [(x, round(FULL_TOP + step * count), x + 8) for count in range(11) for x in (76, 276)]
    return SafeString("".join(f'<path class="mark" d="M{x} {y} H{end}"/>' for x, y, end in lines))
