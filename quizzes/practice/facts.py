"""The facts of a setup as pages state them."""

from collections.abc import Sequence

from django.utils.translation import gettext as _

from problems import words
from problems.cell.names import electrolyte_name, first_upper, material_name
from problems.cell.setup import Setup
from problems.generators import say
from problems.generators.setups import OFFERED


def setup_facts(setup: Setup) -> Sequence[tuple[str, str]]:
    """Each fact with its label, in the order in which a cell is built."""
    return [
        (_("Solution"), say.solution(setup)),
        (_("Indicator"), words._(setup.indicator) if setup.indicator else _("none")),
        (_("Electrodes"), _electrodes(setup)),
        (_("Current"), say.current(setup)),
        (_("Time"), say.minutes(setup)),
        (_("Temperature"), say.temperature(setup)),
        (_("Air pressure"), say.pressure(setup)),
        (_("Liquid in each arm"), say.quantity(setup.arm_volume * 1e6, "mL")),
        (_("Each tube holds"), say.quantity(setup.tube_volume * 1e6, "mL")),
    ]


def setup_title(setup: Setup) -> str:
    """A setup in a few words: "Potassium nitrate, phenol red, graphite"."""
    rods = dict.fromkeys((material_name(setup.cathode), material_name(setup.anode)))
    indicator = words._(setup.indicator) if setup.indicator else ""
    named = (electrolyte_name(setup.electrolyte), indicator, " / ".join(rods))
    return first_upper(", ".join(word for word in named if word))


def setup_choices() -> list[tuple[str, str]]:
    """The setups to choose from, by name, as a reader knows them."""
    return [(name, setup_title(setup)) for name, setup in OFFERED.items()]


def _electrodes(setup: Setup) -> str:
    fields = {"cathode": material_name(setup.cathode), "anode": material_name(setup.anode)}
    if setup.cathode == setup.anode:
        return _("%(cathode)s, both") % fields
    return _("%(cathode)s (cathode), %(anode)s (anode)") % fields
