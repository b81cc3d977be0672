"""Evidence as the JSON and the text that the `evidence` command prints."""

from collections.abc import Iterator
from typing import Any

from problems.cell import tables
from problems.cell.evidence import evidence as evidence_of
from problems.cell.names import material_name
from problems.cell.series import LEAST_POINTS, Series, series
from problems.cell.setup import Setup
from problems.cell.shown import Electrode, Evidence, Stage
from problems.chemistry.equation import Equation
from problems.chemistry.formula import Formula
from problems.chemistry.notation import as_unicode
from problems.words import _, decimals, number

MILLILITRES = 1e6
GRAMS = 1e3


def as_json(setup: Setup, points: int = LEAST_POINTS) -> dict[str, Any]:
    """The evidence of `setup` as plain values; numbers in the unit their name ends with, null for nothing."""
    found = evidence_of(setup)
    return {
        "setup": setup.as_json(),
        "cathode": _electrode(found.cathode),
        "anode": _electrode(found.anode),
        "start": {"ph": found.start_ph, "colour": found.start_colour} if found.cathode else None,
        "charge_c": found.charge,
        "electrons_mol": found.electrons,
        "overall": _plain(found.overall),
        "least_voltage": found.least_voltage,
        "ratio": "{}:{}".format(*found.ratio) if found.ratio else None,
        "ends_at_min": None if found.ends_at is None else found.ends_at / 60,
        "end_reason": found.end_reason,
        "series": _series(series(setup, points)) if found.cathode else None,
        "fair": sorted(found.fair) if found.cathode else None,
        "cautions": list(found.cautions) if found.cathode else None,
        "remarks": list(found.remarks) if found.cathode else None,
        "use": found.use,
        "use_reason": found.use_reason,
        "allowed_in_class": found.allowed_in_class,
        **({"reason": found.refused_reason} if found.refused_reason else {}),
    }


def _electrode(shown: Electrode | None) -> dict[str, Any] | None:
    if shown is None:
        return None
    return {
        "half_reaction": _plain(shown.half_reaction),
        "products": [product.plain for product in shown.products],
        "gas_mol": shown.gas_mol,
        "gas_ml": _times(shown.gas_volume, MILLILITRES),
        "gas_ml_dry": _times(shown.gas_volume_dry, MILLILITRES),
        "deposit_g": _times(shown.deposit, GRAMS),
        "electrode_g": _times(shown.mass_change, GRAMS),
        "ph": shown.ph,
        "colour": shown.colour,
        "cloud": _plain(shown.cloud),
        "why": shown.why,
        "mixed": shown.mixed,
        "stages": [_stage(stage) for stage in shown.stages],
        "accepted": [str(half) for half in shown.accepted],
        "candidates": [
            {
                "half_reaction": str(candidate.half_reaction),
                "potential": candidate.potential,
                "won": candidate.won,
                "why": candidate.why,
            }
            for candidate in shown.candidates
        ],
        "fair": sorted(shown.fair),
        "unfair": dict(sorted(shown.unfair.items())),
    }


def _stage(stage: Stage) -> dict[str, Any]:
    return {
        "from_min": stage.from_time / 60,
        "until_min": stage.until_time / 60,
        "half_reaction": _plain(stage.half_reaction),
        "products": [product.plain for product in stage.products],
        "why": stage.why,
        "mixed": stage.mixed,
    }


def _series(course: Series) -> dict[str, Any]:
    return {
        "minutes": list(course.minutes),
        "cathode_ml": [_times(volume, MILLILITRES) for volume in course.cathode_volumes],
        "anode_ml": [_times(volume, MILLILITRES) for volume in course.anode_volumes],
        "cathode_ph": list(course.cathode_ph),
        "anode_ph": list(course.anode_ph),
        "cathode_colour": list(course.cathode_colours),
        "anode_colour": list(course.anode_colours),
    }


def _plain(written: Equation | Formula | None) -> str | None:
    return None if written is None else str(written)


def _times(value: float | None, factor: float) -> float | None:
    return None if value is None else value * factor


def as_text(setup: Setup) -> str:
    """The evidence of `setup` in lines for people."""
    return "\n".join(_lines(evidence_of(setup)))


def _lines(found: Evidence) -> Iterator[str]:
    yield _title(found.setup)
    if found.refused_reason:
        yield _("Refused: {reason}").format(reason=found.refused_reason)
    for shown in found.electrodes:
        yield ""
        yield from _electrode_lines(shown)
    if found.cathode:
        yield ""
        yield from _cell_lines(found)
    yield ""
    yield from found.cautions


def _title(setup: Setup) -> str:
    texts = setup.as_json()
    return _("{salt}, {concentration}, {cathode} (−) and {anode} (+), {current} for {time}").format(
        salt=as_unicode(setup.solid),
        concentration=texts["concentration"],
        cathode=material_name(setup.cathode),
        anode=material_name(setup.anode),
        current=texts["current"],
        time=texts["time"],
    )


def _electrode_lines(shown: Electrode) -> Iterator[str]:
    name = _("Cathode") if shown.role == "cathode" else _("Anode")
    products = ", ".join(as_unicode(product) for product in shown.products)
    yield f"{name}: {as_unicode(shown.half_reaction) if shown.half_reaction else products}"
    yield "  " + shown.why
    if shown.gas_mol is not None:
        yield "  " + _gas_line(shown, shown.gas_mol)
    if shown.deposit is not None:
        yield "  " + _("deposit {mass} g").format(mass=number(shown.deposit * GRAMS))
    if shown.mass_change is not None:
        yield "  " + _("electrode {mass} g").format(mass=number(shown.mass_change * GRAMS))
    if shown.ph is not None:
        yield "  " + _("pH {ph}").format(ph=decimals(shown.ph, 1))
    if shown.colour is not None:
        yield "  " + _("colour {colour}").format(colour=_(shown.colour))
    for stage in shown.stages[1:]:
        what = as_unicode(stage.half_reaction) if stage.half_reaction else _("two products")
        yield "  " + _("from {minutes} min: {what}").format(
            minutes=decimals(stage.from_time / 60, 1), what=what
        )


def _gas_line(shown: Electrode, amount: float) -> str:
    if shown.gas_volume is None:
        return _("gas {amount} mol, not collected").format(amount=number(amount))
    return _("gas {amount} mol, {volume} mL over water").format(
        amount=number(amount), volume=number(shown.gas_volume * MILLILITRES)
    )


def _cell_lines(found: Evidence) -> Iterator[str]:
    if found.overall:
        yield _("Overall: {equation}").format(equation=as_unicode(found.overall))
    if found.ratio:
        yield _("Gas, cathode to anode: {first} : {second}").format(
            first=found.ratio[0], second=found.ratio[1]
        )
    if found.charge is not None and found.electrons is not None:
        yield _("Charge {charge} C, electrons {electrons} mol").format(
            charge=number(found.charge), electrons=number(found.electrons)
        )
    if found.least_voltage is not None:
        yield _("Least voltage {volt} V").format(volt=decimals(found.least_voltage, 2))
    if found.end_reason:
        yield found.end_reason
    yield from found.remarks
    yield _("Use: {use}. {reason}").format(use=_(found.use), reason=found.use_reason or "").rstrip()


def known() -> dict[str, Any]:
    """What electrolytes, electrodes and indicators there are, as plain values."""
    return {
        "electrolytes": [
            {
                "formula": row.key,
                "name": row.name,
                "hydrates": [hydrate.plain for hydrate in row.hydrates],
                "solubility_mol_l": row.solubility,
                "bench_mol_l": row.bench or None,
                "hood_mol_l": row.hood or None,
            }
            for row in tables.electrolytes().values()
        ],
        "electrodes": list(tables.electrodes()),
        "indicators": list(tables.indicators()),
    }


def known_text() -> str:
    """The same in lines for people."""
    lines = [_("Electrolytes:")]
    for row in tables.electrolytes().values():
        lines.append(
            "  " + ", ".join([row.key, *(hydrate.plain for hydrate in row.hydrates)]) + f"  {_(row.name)}"
        )
    lines += [_("Electrodes:"), "  " + ", ".join(map(material_name, tables.electrodes()))]
    lines += [_("Indicators:"), "  " + ", ".join(map(_, tables.indicators()))]
    return "\n".join(lines)
