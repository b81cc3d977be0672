"""The run of a cell in steps: stages at both electrodes, amounts, and what is dissolved in each arm.

Stepwise in charge, with the ions carried through the plug between the arms; a stage ends when the ion that
is discharged is used up or falls out of its zone, the run when a collecting tube is full or a solution is
saturated. Numbers only: the sentences are written in `evidence.py`.
"""

from bisect import bisect_left
from dataclasses import dataclass, field
from functools import lru_cache
from math import inf
from typing import Literal

from problems import conventions
from problems.cell import solution, tables, water
from problems.cell.discharge import Choice, choose
from problems.cell.setup import Setup
from problems.cell.tables import Role
from problems.cell.transport import Content, carry
from problems.cell.units import FARADAY
from problems.chemistry.formula import Formula
from problems.words import current_language

STEPS = 8
USED_UP = 0.01  # of the amount at the start below which an ion no longer reaches the electrode
MIXED_SHARE = 0.5  # of the current that each product of a mixed zone is taken to get
ROLES: tuple[Role, Role] = ("cathode", "anode")
SUPERSATURATION = 1.1  # times the solubility that an arm holds before crystals end the run
CHLORIDE, CHLORINE = Formula.parse("Cl^-"), Formula.parse("Cl2")
HYDROGEN, OXYGEN = Formula.parse("H2"), Formula.parse("O2")
Ending = Literal["cathode_tube", "anode_tube", "saturated"]


@dataclass(frozen=True, slots=True)
class Moment:
    """One moment of a run: `time` [s], and by arm the parts [mol], the pH, and the gas in the tube [mol]."""

    time: float
    contents: dict[Role, Content]
    ph: dict[Role, float]
    gas: dict[Role, float]


@dataclass(frozen=True, slots=True)
class Period:
    """One stage at one electrode: what is discharged, from when until when [s], electrons passed [mol]."""

    choice: Choice
    start: float
    until: float
    start_ph: float

    def electrons(self, current: float) -> float:
        """Electrons passed [mol] at a current [A]."""
        return (self.until - self.start) * current / FARADAY


@dataclass(slots=True)
class Run:
    """The whole run, as `simulate` leaves it.

    `offset` is the charge [mol/L] of the drop of acid or base that brings the solution to `start_ph`.
    """

    setup: Setup
    start_ph: float
    offset: float
    moments: list[Moment] = field(default_factory=list)
    periods: dict[Role, list[Period]] = field(default_factory=lambda: {"cathode": [], "anode": []})
    ending: Ending | None = None

    @property
    def end(self) -> Moment:
        return self.moments[-1]

    def at(self, time: float) -> Moment:
        """The moment at `time` [s], between two steps by straight lines; the end where the run is over."""
        place = bisect_left([moment.time for moment in self.moments], time)
        if place >= len(self.moments):
            return self.end
        if self.moments[place].time == time or place == 0:
            return self.moments[place]
        return self._between(self.moments[place - 1], self.moments[place], time)

    def _between(self, before: Moment, after: Moment, time: float) -> Moment:
        share = (time - before.time) / (after.time - before.time)
        litres = self.setup.arm_volume * 1000
        contents: dict[Role, Content] = {}
        ph: dict[Role, float] = {}
        for role in ROLES:
            first, last = before.contents[role], after.contents[role]
            contents[role] = {
                name: first.get(name, 0.0) + share * (last[name] - first.get(name, 0.0)) for name in last
            }
            content = {name: amount / litres for name, amount in contents[role].items()}
            ph[role] = solution.ph(content, self.offset, before.ph[role])
        gas = {role: before.gas[role] + share * (after.gas[role] - before.gas[role]) for role in ROLES}
        return Moment(time, contents, ph, gas)


def start_ph(row: tables.Electrolyte, molarity: float) -> float:
    """The pH of a fresh solution of `molarity` [mol/L]: the school value where there is one."""
    if row.start_ph is not None:
        return row.start_ph
    return solution.ph(solution.dissolve(row, molarity))


def simulate(setup: Setup, steps: int = STEPS) -> Run:
    """Let the current of `setup` flow for its time, or until the run ends by itself.

    `steps` is how many steps an uneventful stage takes. Nobody changes a finished run: it is kept for the
    next picture of the same cell.
    """
    return _simulated(setup, steps, current_language(), conventions.current())


@lru_cache(maxsize=256)
def _simulated(setup: Setup, steps: int, language: str, written: conventions.Conventions) -> Run:
    """The reasons why something is discharged are sentences of one language and class."""
    engine = _Engine(setup, steps)
    while engine.time < setup.time * (1 - 1e-12) and engine.run.ending is None:
        engine.stage()
    return engine.finish()


class _Engine:
    """The state that the steps change."""

    def __init__(self, setup: Setup, steps: int) -> None:
        row = setup.row
        fresh = solution.dissolve(row, setup.molarity)
        self.setup, self.row, self.steps = setup, row, steps
        self.litres = setup.arm_volume * 1000
        self.rate = setup.current / FARADAY
        first_ph = start_ph(row, setup.molarity)
        self.run = Run(setup, first_ph, -solution.imbalance(fresh, first_ph))
        self.materials: dict[Role, tables.Material] = {
            "cathode": tables.electrodes()[setup.cathode],
            "anode": tables.electrodes()[setup.anode],
        }
        self.first = {name: amount * self.litres for name, amount in fresh.items()}
        self.contents: dict[Role, Content] = {"cathode": dict(self.first), "anode": dict(self.first)}
        metal = self.materials["anode"].metal_ion
        self.foreign = {metal.plain} - self.first.keys() if metal else set()
        self.gone: dict[Role, set[str]] = {"cathode": set(), "anode": set()}
        self.ph: dict[Role, float] = {"cathode": self.run.start_ph, "anode": self.run.start_ph}
        self.gas: dict[Role, float] = {"cathode": 0.0, "anode": 0.0}
        self.tube = water.gas_amount(setup.tube_volume, setup.temperature, setup.pressure)
        self.time = 0.0
        self.choices: dict[Role, Choice] = {}
        self.since: dict[Role, tuple[float, float]] = dict.fromkeys(ROLES, (0.0, self.run.start_ph))
        self.note()

    def stage(self) -> None:
        """Go on until what is discharged changes, the time is over or the run ends.

        The steps grow as long as nothing happens, so that a slow end never takes many of them.
        """
        self.decide()
        step, taken = self.horizon() / self.steps, 0
        while self.time < self.setup.time * (1 - 1e-12):
            if self.step(min(step, self.setup.time - self.time)) or self.run.ending:
                return
            taken += 1
            if taken % (2 * self.steps) == 0:
                step *= 2

    def decide(self) -> None:
        for role in ROLES:
            choice = choose(role, self.row, self.materials[role], self.available(role), self.ph[role])
            before = self.choices.get(role)
            if before is None or (before.half_reaction, before.products) != (
                choice.half_reaction,
                choice.products,
            ):
                self.close(role)
                self.choices[role] = choice
                self.since[role] = (self.time, self.ph[role])

    def close(self, role: Role) -> None:
        start, ph = self.since[role]
        if role in self.choices:
            self.run.periods[role].append(Period(self.choices[role], start, self.time, ph))

    def finish(self) -> Run:
        for role in ROLES:
            self.close(role)
        return self.run

    def ions(self, role: Role) -> dict[Formula, float]:
        content = {name: amount / self.litres for name, amount in self.contents[role].items()}
        return solution.concentrations(content, self.ph[role])

    def available(self, role: Role) -> dict[Formula, float]:
        """What could be discharged: not what is used up, nor traces of a foreign anode."""
        absent = self.gone[role] | (self.foreign if role == "cathode" else set())
        return {ion: amount for ion, amount in self.ions(role).items() if ion.plain not in absent}

    def speed(self, role: Role) -> float:
        """Mole of the discharged ion that one mole of electrons takes."""
        choice = self.choices[role]
        if choice.taken is None:
            return 0.0
        if choice.half_reaction is None:
            return MIXED_SHARE / abs(choice.taken.charge)
        taken = sum(count for species, count in choice.half_reaction.left if species == choice.taken)
        return float(taken / abs(choice.half_reaction.electrons))

    def gas_speed(self, role: Role) -> float:
        """Mole of gas in the collecting tube for one mole of electrons."""
        choice = self.choices[role]
        known = tables.gases()
        if choice.half_reaction is None:
            shares = {HYDROGEN: 0.5, OXYGEN: 0.25}
            return sum(MIXED_SHARE * share for gas, share in shares.items() if gas in choice.products)
        return sum(share for gas, share in choice.made if gas in known and known[gas].collected)

    def limit(self, role: Role) -> float | None:
        """The amount [mol] of the discharged ion at which its stage ends."""
        choice = self.choices[role]
        if choice.taken is None:
            return None
        first = self.first[choice.taken.plain]
        if choice.taken == CHLORIDE and CHLORINE in choice.products:
            zone = tables.document("rules")["chloride"]
            weak, strong = float(zone["weak"]) * self.litres, float(zone["strong"]) * self.litres
            return min(weak if choice.mixed else strong, first / 2)
        return first * USED_UP

    def ceiling(self) -> float:
        """The amount [mol] of its own metal at which the arm of an active anode is saturated."""
        given = self.choices["anode"].given
        molarity = max(self.row.solubility, self.setup.molarity) * SUPERSATURATION
        return molarity * self.row.ions.get(given, 1) * self.litres if given else inf

    def horizon(self) -> float:
        """A stretch of time [s] in which nothing but the arms' contents changes much."""
        spans = [self.setup.time - self.time]
        for role in ROLES:
            if gas := self.gas_speed(role):
                spans.append((self.tube - self.gas[role]) / (gas * self.rate))
            if (limit := self.limit(role)) is not None:
                spans.append((self.amount(role) - limit) / (self.speed(role) * self.rate))
        return max(min(spans), 1e-3)

    def amount(self, role: Role) -> float:
        """What is left of the discharged ion [mol]."""
        taken = self.choices[role].taken
        return self.contents[role][taken.plain] if taken else inf

    def step(self, span: float) -> bool:
        """One step of at most `span` [s], cut short where something ends; True where a stage has ended."""
        span, ending = self.until_full(span)
        before = {role: dict(self.contents[role]) for role in ROLES}
        self.move(span)
        part, event = self.first_event(before)
        if event:
            self.contents, span, ending = before, span * part, None
            self.move(span)
        self.time += span
        for role in ROLES:
            self.gas[role] += self.gas_speed(role) * self.rate * span
        if event == "cathode" or event == "anode":
            self.use_up(event)
        for role in ROLES:
            self.ph[role] = self.solve(role)
        self.run.ending = "saturated" if event == "saturated" else ending
        self.note()
        return bool(event)

    def until_full(self, span: float) -> tuple[float, Ending | None]:
        """The span [s] cut at the moment a collecting tube is full, and which tube that is."""
        ending: Ending | None = None
        for role in ROLES:
            gas = self.gas_speed(role) * self.rate
            if gas and self.gas[role] + gas * span >= self.tube * (1 - 1e-9):
                span = max((self.tube - self.gas[role]) / gas, 0.0)
                ending = "cathode_tube" if role == "cathode" else "anode_tube"
        return span, ending

    def move(self, span: float) -> None:
        """Discharge and carry for `span` [s]."""
        electrons = span * self.rate
        ions = {role: self.ions(role) for role in ROLES}
        carry(
            electrons,
            self.contents["cathode"],
            self.contents["anode"],
            ions["cathode"],
            ions["anode"],
            self.litres,
        )
        for role in ROLES:
            choice, content = self.choices[role], self.contents[role]
            if choice.taken is not None:
                content[choice.taken.plain] -= electrons * self.speed(role)
            if choice.given is not None:
                name = choice.given.plain
                content[name] = content.get(name, 0.0) + electrons / choice.given.charge
            for name in self.gone[role]:
                content[name] = min(content[name], self.first[name] * USED_UP)

    def first_event(self, before: dict[Role, Content]) -> tuple[float, Role | Literal["saturated", ""]]:
        """The share of the step after which an ion is used up or an arm saturated, and which."""
        part: float = 1.0
        event: Role | Literal["saturated", ""] = ""
        for role in ROLES:
            limit, taken = self.limit(role), self.choices[role].taken
            if (
                taken is not None
                and limit is not None
                and self.contents[role][taken.plain] <= limit * (1 + 1e-9)
            ):
                lost = before[role][taken.plain] - self.contents[role][taken.plain]
                share = (before[role][taken.plain] - limit) / lost if lost > 0 else 0.0
                if share <= part:
                    part, event = max(share, 0.0), role
        given = self.choices["anode"].given
        if given is not None and not event and self.contents["anode"][given.plain] > self.ceiling():
            gained = self.contents["anode"][given.plain] - before["anode"].get(given.plain, 0.0)
            part, event = 1 - (self.contents["anode"][given.plain] - self.ceiling()) / gained, "saturated"
        return part, event

    def use_up(self, role: Role) -> None:
        """What has just run out no longer counts; strong chloride only falls into the mixed zone."""
        choice, limit = self.choices[role], self.limit(role)
        if choice.taken is None or limit is None:
            return
        self.contents[role][choice.taken.plain] = limit * (1 - 1e-5)
        if choice.taken != CHLORIDE or choice.mixed:
            self.gone[role].add(choice.taken.plain)

    def solve(self, role: Role) -> float:
        content = {name: amount / self.litres for name, amount in self.contents[role].items()}
        return solution.ph(content, self.run.offset, self.ph[role])

    def note(self) -> None:
        self.run.moments.append(
            Moment(
                self.time,
                {role: dict(self.contents[role]) for role in ROLES},
                dict(self.ph),
                dict(self.gas),
            )
        )
