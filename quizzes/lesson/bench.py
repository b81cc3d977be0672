"""The sheet of a demonstration: what to make, wire, watch, ask and mind for one cell."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

from problems import conventions, words
from problems.cell import colours, gas_tests, making, tables
from problems.cell.cautions import cautions
from problems.cell.evidence import shown
from problems.cell.names import electrolyte_name, material_name, product_name
from problems.cell.picture import Picture, of_run
from problems.cell.run import Run, simulate
from problems.cell.series import course
from problems.cell.setup import Setup
from problems.cell.shown import Electrode, Evidence
from problems.generators import say
from quizzes.practice.facts import setup_title
from quizzes.runs import askable

ROWS = 6
"""Moments in the table of what is seen."""
ASKED = 2
"""Questions to the class at each moment."""


@dataclass(frozen=True, slots=True)
class Moment:
    """One line of the table; an arm is its colour, its gas and its pH, in words."""

    minute: str
    cathode: Sequence[str]
    anode: Sequence[str]


@dataclass(frozen=True, slots=True)
class BenchSheet:
    """Everything on the page, in the order in which it is done."""

    title: str
    use: str
    making: Sequence[str]
    running: Sequence[str]
    head: Sequence[tuple[str, int, Sequence[str]]]
    moments: Sequence[Moment]
    drawn: Picture
    tests: Sequence[str]
    asks: Sequence[tuple[str, Sequence[str]]]
    cautions: Sequence[str]
    waste: str


def bench_sheet(setup: Setup, weak: Sequence[str]) -> BenchSheet:
    """The sheet of a setup that is fit for a class, asking what the class is weak at first.

    The time is made long enough for the tests of both gases where the cell allows it.
    """
    run = simulate(gas_tests.long_enough(setup))
    seen = shown(run)
    if not seen.allowed_in_class or seen.cathode is None or seen.anode is None:
        raise ValueError(f"A cell of {setup.electrolyte} as this one is not shown to a class.")
    return BenchSheet(
        setup_title(setup),
        _use(seen),
        [_made(setup), *_indicator(setup, seen)],
        [_wired(setup), _current(run, seen), *_long(run)],
        _head(seen.cathode, seen.anode),
        _moments(run, seen.cathode, seen.anode),
        of_run(run, run.end.time),
        [_test(each) for each in gas_tests.gases_to_test(run)],
        _asks(setup, weak),
        cautions(run),
        _waste(run),
    )


def _use(seen: Evidence) -> str:
    if seen.use == "hood":
        return _("Only in the fume hood, small and short.")
    return _("For the open bench.")


def _made(setup: Setup) -> str:
    volume = _millilitres(making.solution_volume(setup))
    diluted = making.dilution(setup)
    if diluted is not None:
        fields = {
            "part": _millilitres(diluted.volume, 1),
            "stock": say.quantity(diluted.concentration / 1000, "mol/L"),
            "acid": electrolyte_name(setup.electrolyte),
            "volume": volume,
        }
        return (
            _(
                "Measure %(part)s of %(stock)s %(acid)s, pour it slowly into water, never water into acid, "
                "and fill up to %(volume)s."
            )
            % fields
        )
    return _weighed(setup, volume)


def _weighed(setup: Setup, volume: str) -> str:
    solids = [
        f"{words.decimals(each.mass * 1000, 2)} g {say.uni(each.solid)}" for each in making.weighings(setup)
    ]
    fields = {"solids": _(" or ").join(solids), "salt": electrolyte_name(setup.electrolyte), "volume": volume}
    sentence = _("Weigh %(solids)s (%(salt)s), dissolve it in water and fill up to %(volume)s.")
    if len(solids) > 1:
        sentence = _(
            "Weigh %(solids)s (%(salt)s; the label on the bottle says which), dissolve it in water and fill "
            "up to %(volume)s."
        )
    return sentence % fields


def _indicator(setup: Setup, seen: Evidence) -> Sequence[str]:
    if setup.indicator is None:
        return []
    found = making.middle(setup)
    if found is None:
        fields = {
            "indicator": words._(setup.indicator),
            "colour": colours.name(seen.start_colour or "colourless"),
        }
        return [_("Add a few drops of %(indicator)s: the liquid is %(colour)s and stays as it is.") % fields]
    fields = {
        "indicator": words._(setup.indicator),
        "acidic": colours.name(found.acidic),
        "middle": colours.name(found.middle),
        "basic": colours.name(found.basic),
        "acid": words._(found.acid),
        "base": words._(found.base),
    }
    return [
        _(
            "Add drops of %(indicator)s until the colour is strong. If it is %(acidic)s, add %(base)s "
            "(0.01 mol/L) drop by drop, if it is %(basic)s, %(acid)s (0.01 mol/L), until it is just "
            "%(middle)s."
        )
        % fields
    ]


def _wired(setup: Setup) -> str:
    fields = {"cathode": material_name(setup.cathode), "anode": material_name(setup.anode)}
    return (
        _(
            "Fill both arms and tubes without bubbles. Wire − to the cathode (%(cathode)s) and + to the "
            "anode (%(anode)s); never let the leads touch."
        )
        % fields
    )


def _current(run: Run, seen: Evidence) -> str:
    fields = {"current": say.current(run.setup)}
    if seen.least_voltage is None or seen.least_voltage <= 0:
        return (
            _("Turn the voltage up from zero until the meter shows %(current)s, and keep it there.") % fields
        )
    fields["voltage"] = say.quantity(seen.least_voltage, "V", 2)
    return (
        _(
            "Turn the voltage up from zero until the meter shows %(current)s, and keep it there. Below "
            "%(voltage)s hardly anything flows; it takes several volts more."
        )
        % fields
    )


def _long(run: Run) -> Sequence[str]:
    minutes = words.decimals(run.end.time / 60, 0)
    found = [each for each in gas_tests.gases_to_test(run) if each.enough_at is not None]
    lines = [_("Run for %(minutes)s min, then switch off before you touch the tubes.") % {"minutes": minutes}]
    for each in found:
        fields = {
            "gas": product_name(each.test.gas),
            "volume": _millilitres(each.test.volume or 0),
            "minutes": words.decimals((each.enough_at or 0) / 60, 1),
        }
        lines.append(_("Enough %(gas)s for one test (%(volume)s) after %(minutes)s min.") % fields)
    return lines


def _head(cathode: Electrode, anode: Electrode) -> Sequence[tuple[str, int, Sequence[str]]]:
    """The columns under each electrode."""
    names = (_("Cathode (−)"), _("Anode (+)"))
    columns = [_columns(each) for each in (cathode, anode)]
    return [(name, len(each), each) for name, each in zip(names, columns, strict=True)]


def _columns(electrode: Electrode) -> Sequence[str]:
    gas = [_("gas")] if electrode.gas_volume is not None else []
    return [_("colour"), *gas, *([_("pH")] if "ph" in electrode.fair else [])]


def _moments(run: Run, cathode: Electrode, anode: Electrode) -> Sequence[Moment]:
    seen = course(run, ROWS)
    left = zip(seen.cathode_colours, seen.cathode_volumes, seen.cathode_ph, strict=True)
    right = zip(seen.anode_colours, seen.anode_volumes, seen.anode_ph, strict=True)
    return [
        Moment(words.decimals(minute, 1), _arm(cathode, *here), _arm(anode, *there))
        for minute, here, there in zip(seen.minutes, left, right, strict=True)
    ]


def _arm(electrode: Electrode, colour: str | None, volume: float | None, ph: float | None) -> Sequence[str]:
    cells = [colours.name(colour or "colourless")]
    if electrode.gas_volume is not None:
        cells.append(_millilitres(volume or 0.0, 1))
    if "ph" in electrode.fair:
        cells.append("–" if ph is None else words.decimals(ph, 1))
    return cells


def _test(each: gas_tests.GasToTest) -> str:
    fields = {"gas": product_name(each.test.gas).capitalize(), "how": words._(each.test.how)}
    return _("%(gas)s: %(how)s") % fields


def _asks(setup: Setup, weak: Sequence[str]) -> Sequence[tuple[str, Sequence[str]]]:
    """For each moment the questions whose steps can be asked of this cell, the class's weak ones first."""
    rows = tables.document("bench")["ask"]
    fair = [row for row in rows if row["skill"] in askable(setup)]
    fair.sort(key=lambda row: row["skill"] not in weak)
    asked = [
        (title, [words._(row["text"]) for row in fair if row["moment"] == moment][:ASKED])
        for moment, title in _moment_titles().items()
    ]
    return [(title, texts) for title, texts in asked if texts]


def _moment_titles() -> Mapping[str, str]:
    return {
        "before": _("Before the current flows"),
        "start": _("In the first minutes"),
        "half": _("Half way"),
        "end": _("Switched off"),
    }


def _waste(run: Run) -> str:
    """Where the used solution goes: by the salt first, then by what was made of it."""
    told = {*cautions(run)}
    texts = tables.cautions()
    for row in tables.document("bench")["waste"]:
        if not row["caution"] or words._(texts[row["caution"]]) in told:
            return words._(row["text"])
    raise AssertionError("The last row fits every cell.")


def _millilitres(volume: float, places: int = 0) -> str:
    return f"{words.decimals(volume * 1e6, places)} {conventions.unit('mL')}"
