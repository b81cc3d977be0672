"""The values that `evidence` gives: what a cell shows, why, and what may fairly be asked about it."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from problems.cell.discharge import Candidate
from problems.cell.setup import Setup
from problems.cell.tables import Role
from problems.chemistry.equation import Equation
from problems.chemistry.formula import Formula

Use = Literal["bench", "hood", "paper", "refused"]

ELECTRODE_ASKS = frozenset(
    {"half_reaction", "product", "ph", "colour", "gas_amount", "gas_volume", "deposit", "mass_change"}
)
CELL_ASKS = frozenset({"overall", "ratio", "nature", "start_colour", "least_voltage"})


@dataclass(frozen=True, slots=True)
class Stage:
    """One stage at an electrode, `from_time` to `until_time` [s].

    A `mixed` stage has two products, no half-reaction and no numbers.
    """

    from_time: float
    until_time: float
    half_reaction: Equation | None
    products: tuple[Formula, ...]
    why: str
    mixed: bool

    def __post_init__(self) -> None:
        if self.mixed != (self.half_reaction is None):
            raise ValueError("A stage is mixed exactly where it has no half-reaction.")


@dataclass(frozen=True, slots=True)
class Electrode:
    """What one electrode and its arm show.

    `half_reaction`, `products`, `why`, and the amounts are those of the first stage (which nearly always
    is the only one); `ph` and `colour` are those of the arm at the end of the run. `accepted` lists every
    half-reaction that is right here, the usual one first. `candidates` come with the winner first.

    `gas` [mol in `gas_mol`, m³ over water in `gas_volume`, m³ dry in `gas_volume_dry`]; a gas that is not
    `collected` (chlorine) has no volume over water. `dissolved` [mol] is the most that the liquid of the
    arm can take of it. `deposit` [kg] is metal on the cathode, `mass_change` [kg] that of an active anode
    (negative). `ion` is what the half-reaction brings into the arm, H⁺ or OH⁻. `ph_alone` is the pH if
    nothing passed between the arms: what a student computes; `ph` counts what the current carries. `cloud`
    is a hydroxide that comes out in the arm. What does not exist is None.

    `fair` holds what may be asked (of `ELECTRODE_ASKS`), `unfair` gives a reason for everything else.
    """

    role: Role
    material: str
    stages: tuple[Stage, ...]
    candidates: tuple[Candidate, ...]
    half_reaction: Equation | None
    products: tuple[Formula, ...]
    why: str
    accepted: tuple[Equation, ...]
    gas: Formula | None
    gas_mol: float | None
    gas_volume: float | None
    gas_volume_dry: float | None
    collected: bool
    dissolved: float | None
    deposit: float | None
    mass_change: float | None
    ph: float | None
    ph_alone: float | None
    colour: str | None
    cloud: Formula | None
    ion: Formula | None
    fair: frozenset[str]
    unfair: Mapping[str, str]

    def __post_init__(self) -> None:
        if self.fair | self.unfair.keys() != ELECTRODE_ASKS or self.fair & self.unfair.keys():
            raise ValueError("Everything that can be asked is either fair, or unfair with a reason.")

    @property
    def mixed(self) -> bool:
        return self.stages[0].mixed


@dataclass(frozen=True, slots=True)
class Evidence:
    """What the cell of `setup` shows.

    `charge` [C] and `electrons` [mol] that have passed when the run ends; `ends_at` [s] and `end_reason`
    where it ends before its time. `least_voltage` [V] is reversible, at the start, 25 °C, without
    overpotentials. `ratio` is cathode : anode by amount where both give gas. `start_ph` and
    `start_colour` belong to the fresh solution. A refused setup has `use` "refused" with
    `refused_reason`; electrodes and numbers are then None. `allowed_in_class`: bench, or hood within limits.
    `remarks` say what a bench shows besides, and what the numbers set aside.
    """

    setup: Setup
    cathode: Electrode | None
    anode: Electrode | None
    charge: float | None
    electrons: float | None
    start_ph: float | None
    start_colour: str | None
    overall: Equation | None
    ratio: tuple[int, int] | None
    least_voltage: float | None
    ends_at: float | None
    end_reason: str | None
    fair: frozenset[str]
    unfair: Mapping[str, str]
    cautions: tuple[str, ...]
    use: Use
    refused_reason: str | None = None
    use_reason: str | None = None
    allowed_in_class: bool = False
    remarks: tuple[str, ...] = field(default=())

    def __post_init__(self) -> None:
        if (self.use == "refused") != (self.refused_reason is not None):
            raise ValueError("A refused setup says why, and no other does.")
        if self.fair | self.unfair.keys() != CELL_ASKS or self.fair & self.unfair.keys():
            raise ValueError("Everything that can be asked is either fair, or unfair with a reason.")

    @property
    def electrodes(self) -> tuple[Electrode, ...]:
        """Both electrodes, cathode first; none of a refused setup."""
        return tuple(electrode for electrode in (self.cathode, self.anode) if electrode is not None)
