"""What one electrode makes or loses for the charge of a run: the numbers that many questions start from."""

from collections.abc import Iterable
from dataclasses import dataclass

from problems.cell.evidence import Electrode, Evidence
from problems.cell.setup import Setup
from problems.chemistry.formula import Formula
from problems.generators import say, seen
from problems.words import _, decimals, number


@dataclass(frozen=True, slots=True)
class Changed:
    """A substance made or dissolved at one electrode.

    `per_event` units of it in the half-reaction with `electrons` electrons; `amount` [mol] in the run.
    """

    electrode: Electrode
    substance: Formula
    per_event: int
    electrons: int
    amount: float

    @property
    def each(self) -> float:
        """Electrons for one unit of the substance."""
        return self.electrons / self.per_event


def made(cell: Evidence, ask: str) -> list[Changed]:
    """What may be asked about under `ask` ("gas_amount", "deposit", ...), one entry an electrode."""
    if cell.ends_at is not None:
        return []
    return [_changed(cell, electrode) for electrode in cell.electrodes if ask in electrode.fair]


def made_any(cell: Evidence, asks: Iterable[str]) -> list[Changed]:
    """As `made`, for several things asked."""
    return [changed for ask in asks for changed in made(cell, ask)]


def _changed(cell: Evidence, electrode: Electrode) -> Changed:
    half = seen.half(electrode)
    loses = electrode.mass_change is not None
    side = dict(half.left if loses else half.right)
    substance = electrode.gas or (half.left[0][0] if loses else electrode.products[0])
    count, electrons = int(side[substance]), int(abs(half.electrons))
    return Changed(electrode, substance, count, electrons, (cell.electrons or 0.0) * count / electrons)


def charge_line(setup: Setup) -> str:
    """Q = I t with its numbers."""
    return _("Q = I t = {current} × {time} s = {charge} C").format(
        current=say.current(setup), time=decimals(setup.time, 0), charge=number(setup.current * setup.time)
    )


def electrons_line(setup: Setup) -> str:
    """n(e⁻) = Q/F with its numbers."""
    charge = setup.current * setup.time
    return _("n(e⁻) = Q/F = {charge} C / ({faraday}) = {amount} mol").format(
        charge=number(charge), faraday=say.faraday(), amount=number(charge / say.FARADAY)
    )


def amount_line(setup: Setup, changed: Changed) -> str:
    """The amount of the substance from that of the electrons."""
    sentence = (
        _("n({substance}) = n(e⁻) = {amount} mol")
        if changed.each == 1
        else _("n({substance}) = n(e⁻) × {per}/{electrons} = {amount} mol")
    )
    return sentence.format(
        substance=say.uni(changed.substance),
        per=changed.per_event,
        electrons=changed.electrons,
        amount=number(changed.amount),
    )


def half_line(changed: Changed) -> str:
    """The evidence step: the half-reaction that the numbers rest on."""
    return _("The half-reaction at the {where} is {half}.").format(
        where=say.electrode(changed.electrode.role), half=say.uni(seen.half(changed.electrode))
    )
