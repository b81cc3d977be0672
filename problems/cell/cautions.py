"""What to mind with a cell, and what it may be used for: bench, hood, paper."""

from dataclasses import dataclass

from problems.cell import tables
from problems.cell.discharge import CHLORIDE
from problems.cell.run import ROLES, Run
from problems.cell.shown import Use
from problems.cell.units import FARADAY
from problems.cell.water import gas_volume
from problems.chemistry.formula import Formula
from problems.words import _, number

_BY_PRODUCT = {"H2": "hydrogen", "Cl2": "chlorine", "Br2": "bromine", "I2": "iodine"}
CHLORINE, BROMINE = Formula.parse("Cl2"), Formula.parse("Br2")


@dataclass(frozen=True, slots=True)
class Fitness:
    """What a cell may be used for, with the reason where it is not the open bench."""

    use: Use
    reason: str | None = None


def cautions(run: Run) -> tuple[str, ...]:
    """The sentences that go with a run, the general ones first, deference last."""
    made = [product for role in ROLES for period in run.periods[role] for product in period.choice.products]
    keys = ["always", "supply"]
    keys += [_BY_PRODUCT[product.plain] for product in made if product.plain in _BY_PRODUCT]
    if sum(product in tables.gases() for product in set(made)) > 1:
        keys.append("two_gases")
    keys += run.setup.row.cautions
    if run.setup.current > tables.document("rules")["limits"]["bench_current"]:
        keys.append("current")
    return tuple(_(tables.cautions()[key]) for key in dict.fromkeys([*keys, "deference"]))


def refused_cautions(row: tables.Electrolyte) -> tuple[str, ...]:
    """The sentences that go with a solution whose cell is refused."""
    return tuple(_(tables.cautions()[key]) for key in (*row.cautions, "deference"))


def fitness(run: Run) -> Fitness:
    """Bench, hood or paper for a run that is not refused."""
    reason = _on_paper(run)
    if reason:
        return Fitness("paper", reason)
    row, molarity = run.setup.row, run.setup.molarity * (1 - 1e-9)
    if molarity <= row.bench:
        return Fitness("bench")
    return Fitness("hood", _("In a fume hood or as a demonstration: small and short."))


def _on_paper(run: Run) -> str:
    setup, limits = run.setup, tables.document("rules")["limits"]
    row, molarity = setup.row, setup.molarity * (1 - 1e-9)
    if molarity > max(row.bench, row.hood):
        if row.bench or row.hood:
            return _("Stronger than a class uses: at most {limit} mol/L, even in a fume hood.").format(
                limit=number(max(row.bench, row.hood), 2)
            )
        return _("This salt is used on paper only.")
    if setup.current > limits["wide_current"] * (1 + 1e-9):
        return _("A class cell does not carry so large a current; {limit} A is the most.").format(
            limit=number(limits["wide_current"], 1)
        )
    chloride = row.ions.get(CHLORIDE)
    if chloride and chloride * molarity < tables.document("rules")["chloride"]["weak"] * (1 - 1e-6):
        return _("So dilute a chloride shows nothing clear: no class cell.")
    return _too_much_halogen(run) or spoiled(run) or foreign_anode(run)


def _too_much_halogen(run: Run) -> str:
    limits, setup = tables.document("rules")["limits"], run.setup
    chlorine = made(run, CHLORINE)
    if gas_volume(chlorine, setup.temperature, setup.pressure, wet=False) > limits["chlorine"]:
        return _("More chlorine than one demonstration may make: {limit} mL is the most.").format(
            limit=number(limits["chlorine"] * 1e6, 2)
        )
    if made(run, BROMINE) > limits["bromine"]:
        return _("More bromine than a demonstration may make.")
    return ""


def made(run: Run, product: Formula) -> float:
    """How much of a halogen the anode made [mol]; in a mixed zone all the current is counted, to be safe."""
    total = 0.0
    for period in run.periods["anode"]:
        if product in period.choice.products:
            total += period.electrons(run.setup.current) / 2
    return total


def spoiled(run: Run) -> str:
    """Why this run would spoil an electrode; empty where it would not."""
    setup = run.setup
    for rule in tables.document("rules")["spoiled"]:
        material = setup.cathode if rule["electrode"] == "cathode" else setup.anode
        ions = {ion.plain for ion in setup.row.ions}
        if material in rule["materials"] and ions & set(rule["ions"]) and setup.time > rule["time"]:
            return _(rule["why"])
    return ""


def foreign_anode(run: Run) -> str:
    """Why an active anode in a solution of another ion is not asked about; empty where it is its own."""
    material = tables.electrodes()[run.setup.anode]
    if run.periods["anode"][0].choice.given is not None and run.setup.electrolyte not in material.active_in:
        return _(tables.document("rules")["foreign_anode"]["why"])
    return ""


def moles_of_electrons(run: Run) -> float:
    """The electrons that have passed when the run ends [mol]."""
    return run.end.time * run.setup.current / FARADAY
