"""A cell at one moment as the values that a drawing needs, with sentences for whoever does not see it.

Drawing and words show what is seen and no more: a gas bubbles up, it is not named. While a question
asks for a colour or a volume, that too can be held back.
"""

from dataclasses import dataclass
from typing import Literal

from problems.cell import arm, colours, tables
from problems.cell.evidence import why_refused
from problems.cell.names import electrolyte_name, first_upper, material_name
from problems.cell.run import Moment, Period, Run, simulate
from problems.cell.series import tube_volume
from problems.cell.setup import Setup
from problems.cell.tables import Role
from problems.cell.units import FARADAY
from problems.chemistry.formula import Formula
from problems.words import _, decimals

WATER = "colourless"
STRONG_BUBBLES = (0.02, 0.1)  # [A] of gas-making current above which bubbles are drawn as two, as three
Hidden = Literal["colour", "gas"]
NOTHING: frozenset[Hidden] = frozenset()
VEIL = "#c3c9cf"
"""The paint of a liquid whose colour is held back."""
THICK_DEPOSIT = 5e-4  # [mol] of metal that is drawn as a full coat
DEPOSIT_COLOURS = {
    "Cu": "pink-brown",
    "Ag": "silver-grey",
    "Zn": "silver-grey",
    "Ni": "silver-grey",
    "Sn": "silver-grey",
}


@dataclass(frozen=True, slots=True)
class ArmPicture:
    """One arm: `liquid` is a colour by name, `paint` its hex value, `gas_level` the filled share of the
    collecting tube (0 to 1), `gas_text` that volume in words, `bubbles` 0 to 3, `deposit` 0 to 1 with its
    paint, `cloud` the paint of a hydroxide that has come out, `words` the whole in one sentence or two.
    """

    role: Role
    sign: Literal["−", "+"]
    electrode: str
    liquid: str
    paint: str
    liquid_name: str
    gas_level: float
    gas_text: str
    bubbles: int
    deposit: float
    deposit_paint: str | None
    cloud: str | None
    words: str


@dataclass(frozen=True, slots=True)
class Picture:
    """The cell at `time` [s], and its `title` in words."""

    time: float
    title: str
    cathode: ArmPicture
    anode: ArmPicture


def picture(setup: Setup, at: float, hidden: frozenset[Hidden] = NOTHING) -> Picture:
    """The cell of `setup` at `at` [s] after the current is switched on, or at the end of the run if sooner.

    Of what is `hidden`, colours are replaced by the pH and volumes of gas are left out. Raises
    ValueError for a refused setup and for a negative time.

    >>> picture(Setup("KNO3", 100.0, "graphite", "graphite", "litmus", 0.1, 600.0), 600.0).anode.liquid
    'red'
    """
    if why_refused(setup):
        raise ValueError("A refused cell is not drawn.")
    return of_run(simulate(setup), at, hidden)


def of_run(run: Run, at: float, hidden: frozenset[Hidden] = NOTHING) -> Picture:
    """The picture of a run at `at` [s]; several pictures of one run need one simulation only."""
    if not at >= 0:
        raise ValueError("A picture needs a time that is not negative.")
    moment = run.at(min(at, run.end.time))
    return Picture(
        time=moment.time,
        title=_("{salt} solution after {minutes} min").format(
            salt=first_upper(electrolyte_name(run.setup.electrolyte)), minutes=decimals(moment.time / 60, 1)
        ),
        cathode=_arm(run, "cathode", moment, 0 < at <= run.end.time, hidden),
        anode=_arm(run, "anode", moment, 0 < at <= run.end.time, hidden),
    )


def _arm(run: Run, role: Role, moment: Moment, flows: bool, hidden: frozenset[Hidden]) -> ArmPicture:
    liquid = arm.colour(run, role, moment) or WATER
    is_veiled = "colour" in hidden
    material = run.setup.cathode if role == "cathode" else run.setup.anode
    volume = None if "gas" in hidden else tube_volume(run, role, moment)
    period = _period(run, role, moment.time)
    metal, coat = _deposit(run, role, moment)
    cloud = arm.cloud(run, role, moment)
    return ArmPicture(
        role=role,
        sign="−" if role == "cathode" else "+",
        electrode=material_name(material),
        liquid="" if is_veiled else liquid,
        paint=VEIL if is_veiled else colours.paint(liquid),
        liquid_name=_("not shown") if is_veiled else colours.name(liquid),
        gas_level=min(volume / run.setup.tube_volume, 1.0) if volume else 0.0,
        gas_text=_("? mL")
        if "gas" in hidden
        else _("{volume} mL").format(volume=_millilitres(volume or 0.0)),
        bubbles=_bubbles(period, run.setup.current) if flows else 0,
        deposit=coat,
        deposit_paint=colours.paint(DEPOSIT_COLOURS[metal.plain]) if metal else None,
        cloud=colours.paint(_cloud_colour(cloud)) if cloud else None,
        words=" ".join(
            (
                _head(run, role, moment, material, None if is_veiled else liquid),
                *_gas_words(period if moment.time > 0 else None, volume),
                *_solid_words(metal, cloud),
            )
        ),
    )


def _period(run: Run, role: Role, time: float) -> Period:
    for period in run.periods[role]:
        if time <= period.until:
            return period
    return run.periods[role][-1]


def _gas_of(period: Period) -> bool:
    return any(product in tables.gases() for product in period.choice.products)


def _bubbles(period: Period, current: float) -> int:
    if not _gas_of(period):
        return 0
    return 1 + sum(current > limit for limit in STRONG_BUBBLES)


def _deposit(run: Run, role: Role, moment: Moment) -> tuple[Formula | None, float]:
    """The metal on this electrode by now, and how full its coat is drawn."""
    if role == "anode":
        return None, 0.0
    for period in run.periods[role]:
        for product in period.choice.products:
            if product.plain in DEPOSIT_COLOURS and moment.time > period.start:
                passed = (min(moment.time, period.until) - period.start) * run.setup.current / FARADAY
                return product, min(passed / 2 / THICK_DEPOSIT, 1.0)
    return None, 0.0


def _cloud_colour(hydroxide: Formula) -> str:
    return next(metal.cloud for metal in tables.metals().values() if metal.hydroxide == hydroxide)


def _head(run: Run, role: Role, moment: Moment, material: str, liquid: str | None) -> str:
    """The electrode and the colour of its liquid; where that is held back, the pH instead."""
    name = _("Cathode (−) of {material}") if role == "cathode" else _("Anode (+) of {material}")
    named = name.format(material=material_name(material))
    if liquid is not None:
        return _("{electrode}: the liquid is {colour}.").format(electrode=named, colour=colours.name(liquid))
    ph = arm.ph(run, role, moment)
    if ph is None:
        return _("{electrode}.").format(electrode=named)
    return _("{electrode}: the pH of the liquid is {ph}.").format(electrode=named, ph=decimals(ph, 1))


def _gas_words(period: Period | None, volume: float | None) -> list[str]:
    """Whether gas bubbles up, and how much of it [m³] stands in the tube."""
    if period is None or not _gas_of(period):
        return []
    if volume is None:
        return [_("A gas bubbles up.")]
    return [_("A gas bubbles up; {volume} mL stand in the tube.").format(volume=_millilitres(volume))]


def _solid_words(metal: Formula | None, cloud: Formula | None) -> list[str]:
    found = []
    if metal:
        coat = colours.name(DEPOSIT_COLOURS[metal.plain])
        found.append(_("A {colour} coat grows on the electrode.").format(colour=coat))
    if cloud:
        colour = colours.name(_cloud_colour(cloud))
        found.append(_("A {colour} cloud hangs in the liquid.").format(colour=colour))
    return found


def _millilitres(volume: float) -> str:
    return decimals(volume * 1e6, 1)
