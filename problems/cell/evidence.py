"""`evidence(setup)`: what a cell will show, with reasons, and what may fairly be asked about it."""

from functools import lru_cache
from math import gcd

from problems import conventions
from problems.cell import arm, cautions, fairness, solution, tables
from problems.cell.electrode import electrode
from problems.cell.refusals import Refusal, refusal
from problems.cell.remarks import remarks
from problems.cell.run import Run, simulate, start_ph
from problems.cell.setup import Setup
from problems.cell.shown import CELL_ASKS, ELECTRODE_ASKS, Electrode, Evidence, Stage, Use
from problems.cell.units import FARADAY
from problems.chemistry.equation import Equation, overall
from problems.words import _, current_language, decimals

__all__ = ["CELL_ASKS", "ELECTRODE_ASKS", "Electrode", "Evidence", "Stage", "Use", "evidence"]


def evidence(setup: Setup) -> Evidence:
    """What the cell of `setup` shows when its current has flowed.

    Never raises for a setup that could be built: one that must not be electrolysed comes back refused.

    >>> kno3 = evidence(Setup("KNO3", 100.0, "graphite", "graphite", "phenol red", 0.1, 600.0))
    >>> str(kno3.overall), kno3.ratio, kno3.anode.colour
    ('2 H2O -> 2 H2 + O2', (2, 1), 'yellow')
    """
    return _evidence(setup, current_language(), conventions.current())


@lru_cache(maxsize=512)
def _evidence(setup: Setup, language: str, written: conventions.Conventions) -> Evidence:
    """Much is asked about one setup; its sentences belong to one language and class."""
    against = why_refused(setup)
    return _refused(setup, against) if against else shown(simulate(setup))


def why_refused(setup: Setup) -> Refusal | None:
    """The reason why the cell is not built, None where there is none."""
    fresh = solution.dissolve(setup.row, setup.molarity)
    ions = solution.concentrations(fresh, start_ph(setup.row, setup.molarity))
    materials = tables.electrodes()
    return refusal(setup.row, materials[setup.cathode], materials[setup.anode], ions)


def shown(run: Run) -> Evidence:
    """The evidence of a finished run."""
    cathode, anode = electrode(run, "cathode"), electrode(run, "anode")
    whole = _overall(cathode, anode)
    ratio = _ratio(cathode, anode)
    colour = arm.colour(run, "cathode", run.moments[0])
    fair, unfair = _fairness(run, cathode, anode, whole, ratio)
    fit = cautions.fitness(run)
    return Evidence(
        setup=run.setup,
        cathode=cathode,
        anode=anode,
        charge=run.end.time * run.setup.current,
        electrons=run.end.time * run.setup.current / FARADAY,
        start_ph=None if run.setup.row.no_ph else run.start_ph,
        start_colour=colour,
        overall=whole,
        ratio=ratio,
        least_voltage=_least_voltage(run),
        ends_at=run.end.time if run.ending else None,
        end_reason=_end_reason(run),
        fair=fair,
        unfair=unfair,
        cautions=cautions.cautions(run),
        use=fit.use,
        use_reason=fit.reason,
        allowed_in_class=fit.use in ("bench", "hood"),
        remarks=remarks(run),
    )


def _refused(setup: Setup, against: Refusal) -> Evidence:
    return Evidence(
        setup=setup,
        cathode=None,
        anode=None,
        charge=None,
        electrons=None,
        start_ph=None,
        start_colour=None,
        overall=None,
        ratio=None,
        least_voltage=None,
        ends_at=None,
        end_reason=None,
        fair=frozenset(),
        unfair=dict.fromkeys(CELL_ASKS, against.why),
        cautions=cautions.refused_cautions(setup.row),
        use="refused",
        refused_reason=against.why,
    )


def _overall(cathode: Electrode, anode: Electrode) -> Equation | None:
    """Both half-reactions added; None in a mixed zone, and where the electrodes only exchange their metal."""
    if cathode.half_reaction is None or anode.half_reaction is None:
        return None
    if cathode.half_reaction.net == anode.half_reaction.reversed().net:
        return None
    return overall(cathode.half_reaction, anode.half_reaction)


def _ratio(cathode: Electrode, anode: Electrode) -> tuple[int, int] | None:
    """Gas at the cathode to gas at the anode by amount, in smallest whole numbers."""
    if cathode.gas is None or anode.gas is None or not (cathode.half_reaction and anode.half_reaction):
        return None
    shares = [
        dict(side.right)[gas] / abs(side.electrons)
        for side, gas in ((cathode.half_reaction, cathode.gas), (anode.half_reaction, anode.gas))
    ]
    first = shares[0].numerator * shares[1].denominator
    second = shares[1].numerator * shares[0].denominator
    divisor = gcd(first, second)
    return first // divisor, second // divisor


def _least_voltage(run: Run) -> float | None:
    """The reversible voltage of the first stage [V]: start pH and concentrations, 25 °C, no overpotential."""
    chosen = [run.periods["cathode"][0].choice, run.periods["anode"][0].choice]
    if any(choice.mixed for choice in chosen):
        return None
    cathode, anode = (choice.candidates[0].potential for choice in chosen)
    return anode - cathode


def _end_reason(run: Run) -> str | None:
    """The sentence that says why and when the run ends by itself."""
    if run.ending is None:
        return None
    sentence = {
        "cathode_tube": _("The tube over the cathode is full after {minutes} min; the run ends there."),
        "anode_tube": _("The tube over the anode is full after {minutes} min; the run ends there."),
        "saturated": _(
            "The anode arm is saturated after {minutes} min and crystals form; the run ends there."
        ),
    }[run.ending]
    return sentence.format(minutes=decimals(run.end.time / 60, 1))


def _fairness(
    run: Run, cathode: Electrode, anode: Electrode, whole: Equation | None, ratio: tuple[int, int] | None
) -> fairness.Fairness:
    mixed = cathode.unfair.get("half_reaction") or anode.unfair.get("half_reaction") or ""
    exchange = "" if whole else _("The electrodes only exchange their metal; the solution stays as it is.")
    return fairness.sort_out(
        CELL_ASKS,
        {
            "overall": mixed or exchange,
            "least_voltage": mixed,
            "ratio": _unfair_ratio(cathode, anode, ratio),
            "nature": _unfair_nature(run),
            "start_colour": _unfair_start(run),
        },
    )


def _unfair_ratio(cathode: Electrode, anode: Electrode, ratio: tuple[int, int] | None) -> str:
    if ratio is None:
        return _("The electrodes do not both give gas.")
    return cathode.unfair.get("gas_amount") or anode.unfair.get("gas_amount") or ""


def _unfair_nature(run: Run) -> str:
    row = run.setup.row
    if row.key == "NaHCO3" and run.setup.indicator == "phenolphthalein":
        return _("This solution lies at the limit of the indicator.")
    return _(row.nature_unclear) if row.nature_unclear else ""


def _unfair_start(run: Run) -> str:
    row = run.setup.row
    if run.setup.indicator is None:
        return _("There is no indicator.")
    if row.no_ph:
        return _("Tin(II) ions and the added acid change dyes.")
    if any(tables.ions()[ion].colour for ion in row.ions):
        return _("The colour of the metal ion hides the indicator.")
    return fairness.colour_reason(tables.indicators()[run.setup.indicator], [run.start_ph])
