"""A cell at one moment as the values that a drawing needs, with a sentence for whoever does not see it."""

from dataclasses import dataclass
from typing import Literal

from problems.cell import arm, colours, tables
from problems.cell.evidence import why_refused
from problems.cell.names import electrolyte_name, first_upper, material_name, product_name
from problems.cell.run import Moment, Period, Run, simulate
from problems.cell.series import tube_volume
from problems.cell.setup import Setup
from problems.cell.tables import Role
from problems.cell.units import FARADAY
from problems.chemistry.formula import Formula
from problems.words import _, decimals, number

WATER = "colourless"
STRONG_BUBBLES = (0.02, 0.1)  # [A] of gas-making current above which bubbles are drawn as two, as three
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


def picture(setup: Setup, at: float) -> Picture:
    """The cell of `setup` at `at` [s] after the current is switched on, or at the end of the run if sooner.

    Raises ValueError for a refused setup and for a negative time.

    >>> picture(Setup("KNO3", 100.0, "graphite", "graphite", "litmus", 0.1, 600.0), 600.0).anode.liquid
    'red'
    """
    if why_refused(setup):
        raise ValueError("A refused cell is not drawn.")
    return of_run(simulate(setup), at)


def of_run(run: Run, at: float) -> Picture:
    """The picture of a run at `at` [s]; several pictures of one run need one simulation only."""
    if not at >= 0:
        raise ValueError("A picture needs a time that is not negative.")
    moment = run.at(min(at, run.end.time))
    return Picture(
        time=moment.time,
        title=_("{salt} solution after {minutes} min").format(
            salt=first_upper(electrolyte_name(run.setup.electrolyte)), minutes=decimals(moment.time / 60, 1)
        ),
        cathode=_arm(run, "cathode", moment, flows=0 < at <= run.end.time),
        anode=_arm(run, "anode", moment, flows=0 < at <= run.end.time),
    )


def _arm(run: Run, role: Role, moment: Moment, flows: bool) -> ArmPicture:
    liquid = arm.colour(run, role, moment) or WATER
    material = run.setup.cathode if role == "cathode" else run.setup.anode
    volume = tube_volume(run, role, moment)
    period = _period(run, role, moment.time)
    metal, coat = _deposit(run, role, moment)
    cloud = arm.cloud(run, role, moment)
    cloud_paint = colours.paint(_cloud_colour(cloud)) if cloud else None
    return ArmPicture(
        role=role,
        sign="−" if role == "cathode" else "+",
        electrode=material_name(material),
        liquid=liquid,
        paint=colours.paint(liquid),
        liquid_name=colours.name(liquid),
        gas_level=min(volume / run.setup.tube_volume, 1.0) if volume else 0.0,
        gas_text=_("{volume} mL").format(volume=decimals((volume or 0.0) * 1e6, 1)),
        bubbles=_bubbles(period, run.setup.current) if flows else 0,
        deposit=coat,
        deposit_paint=colours.paint(DEPOSIT_COLOURS[metal.plain]) if metal else None,
        cloud=cloud_paint,
        words=_words(role, material, liquid, period if moment.time > 0 else None, volume, metal, cloud),
    )


def _period(run: Run, role: Role, time: float) -> Period:
    for period in run.periods[role]:
        if time <= period.until:
            return period
    return run.periods[role][-1]


def _bubbles(period: Period, current: float) -> int:
    if not any(product in tables.gases() for product in period.choice.products):
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


def _words(
    role: Role,
    material: str,
    liquid: str,
    period: Period | None,
    volume: float | None,
    metal: Formula | None,
    cloud: Formula | None,
) -> str:
    """What is seen in the arm, in sentences."""
    head = (
        _("Cathode (−) of {material}: the liquid is {colour}.")
        if role == "cathode"
        else _("Anode (+) of {material}: the liquid is {colour}.")
    )
    sentences = [head.format(material=material_name(material), colour=colours.name(liquid))]
    gas = (
        next((product for product in period.choice.products if product in tables.gases()), None)
        if period
        else None
    )
    if gas and volume is not None:
        sentences.append(
            _("{gas} bubbles up; {volume} mL stand in the tube.").format(
                gas=first_upper(product_name(gas)), volume=number(volume * 1e6, 2)
            )
        )
    elif gas:
        sentences.append(_("{gas} bubbles up.").format(gas=first_upper(product_name(gas))))
    if metal:
        sentences.append(_("{metal} covers the electrode.").format(metal=first_upper(product_name(metal))))
    if cloud:
        sentences.append(
            _("A {colour} cloud of hydroxide hangs in the liquid.").format(
                colour=colours.name(_cloud_colour(cloud))
            )
        )
    return " ".join(sentences)
