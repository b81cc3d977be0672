"""One electrode of a finished run as the value that pages and questions use."""

from problems.cell import arm, fairness, tables, water
from problems.cell.discharge import OH, H
from problems.cell.run import Run
from problems.cell.shown import Electrode, Stage
from problems.cell.tables import Role
from problems.chemistry.formula import Formula


def electrode(run: Run, role: Role) -> Electrode:
    """What the electrode `role` and its arm show at the end of `run`."""
    setup, end, first = run.setup, run.end, run.periods[role][0]
    electrons = first.electrons(setup.current)
    gas, gas_mol = _gas(run, role, electrons)
    collected = gas is not None and tables.gases()[gas].collected
    shown = fairness.Arm(
        run=run,
        role=role,
        gas=gas,
        gas_mol=gas_mol,
        collected=collected,
        dissolved=_dissolved(run, gas, gas_mol),
        deposit=_deposit(run, role, electrons),
        mass_change=_mass_change(run, role, electrons),
        ph=arm.ph(run, role, end),
        ph_alone=arm.ph_alone(run, role),
        colour=arm.colour(run, role, end),
    )
    fair, unfair = fairness.of_arm(shown)
    return Electrode(
        role=role,
        material=shown.material,
        stages=stages(run, role),
        candidates=first.choice.candidates,
        half_reaction=first.choice.half_reaction,
        products=first.choice.products,
        why=first.choice.why,
        accepted=first.choice.accepted,
        gas=gas,
        gas_mol=gas_mol,
        gas_volume=_volume(run, gas_mol, True) if collected else None,
        gas_volume_dry=_volume(run, gas_mol, False),
        collected=collected,
        dissolved=shown.dissolved,
        deposit=shown.deposit,
        mass_change=shown.mass_change,
        ph=shown.ph,
        ph_alone=shown.ph_alone,
        colour=shown.colour,
        cloud=arm.cloud(run, role, end),
        ion=_ion(run, role),
        fair=fair,
        unfair=unfair,
    )


def stages(run: Run, role: Role) -> tuple[Stage, ...]:
    """The stages of one electrode in order."""
    return tuple(
        Stage(
            period.start,
            period.until,
            period.choice.half_reaction,
            period.choice.products,
            period.choice.why,
            period.choice.mixed,
        )
        for period in run.periods[role]
    )


def _gas(run: Run, role: Role, electrons: float) -> tuple[Formula | None, float | None]:
    """The gas of the first stage and its amount [mol]; nothing where it is not one gas alone."""
    for product, share in run.periods[role][0].choice.made:
        if product in tables.gases():
            return product, share * electrons
    return None, None


def _volume(run: Run, amount: float | None, wet: bool) -> float | None:
    if amount is None:
        return None
    return water.gas_volume(amount, run.setup.temperature, run.setup.pressure, wet)


def _dissolved(run: Run, gas: Formula | None, amount: float | None) -> float | None:
    """The most of the gas [mol] that the liquid of the arm takes up under its own pressure (Henry)."""
    if gas is None or amount is None:
        return None
    return min(tables.gases()[gas].henry * run.setup.pressure * run.setup.arm_volume, amount)


def _deposit(run: Run, role: Role, electrons: float) -> float | None:
    """Metal on the cathode [kg]."""
    choice = run.periods[role][0].choice
    if role == "anode" or choice.taken is None or choice.half_reaction is None:
        return None
    metal, share = choice.made[0]
    return share * electrons * metal.molar_mass / 1000


def _mass_change(run: Run, role: Role, electrons: float) -> float | None:
    """What an active anode loses [kg], as a negative number."""
    choice = run.periods[role][0].choice
    if choice.given is None or choice.half_reaction is None:
        return None
    metal, count = choice.half_reaction.left[0]
    return -electrons * float(count / abs(choice.half_reaction.electrons)) * metal.molar_mass / 1000


def _ion(run: Run, role: Role) -> Formula | None:
    half = run.periods[role][0].choice.half_reaction
    made = {species for species, _ in half.right} if half else set()
    return next((ion for ion in (H, OH) if ion in made), None)
