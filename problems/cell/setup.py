"""`Setup`: one two-arm cell as it stands on the bench, before the current is switched on."""

from dataclasses import dataclass, fields
from difflib import get_close_matches
from math import isfinite
from typing import Any

from problems.cell import tables, units
from problems.cell.names import first_upper
from problems.chemistry.formula import Formula, FormulaError
from problems.errors import ProblemError
from problems.words import _, mark, number

KINDS: dict[str, str] = {
    "concentration": "concentration",
    "current": "current",
    "time": "time",
    "temperature": "temperature",
    "pressure": "pressure",
    "arm_volume": "volume",
    "tube_volume": "volume",
}
NAMES: dict[str, str] = {
    "concentration": mark("concentration"),
    "current": mark("current"),
    "time": mark("time"),
    "temperature": mark("temperature"),
    "pressure": mark("pressure"),
    "arm_volume": mark("arm volume"),
    "tube_volume": mark("tube volume"),
}
# What the model holds for, in SI units; the upper limit of the concentration is the solubility.
LIMITS: dict[str, tuple[float, float]] = {
    "concentration": (0.1, 20_000.0),
    "current": (1e-3, 5.0),
    "time": (1.0, 86_400.0),
    "temperature": (278.15, 318.15),
    "pressure": (50_000.0, 110_000.0),
    "arm_volume": (5e-6, 1e-3),
    "tube_volume": (1e-6, 1e-3),
}


class SetupError(ProblemError):
    """A cell that cannot be built; `field` names what is wrong."""

    def __init__(self, field: str, sentence: str) -> None:
        self.field = field
        super().__init__(sentence)


@dataclass(frozen=True, slots=True)
class Setup:
    """A cell with two arms of equal volume, kept apart by a porous plug, under direct current.

    `electrolyte` is a key of the table of electrolytes: the formula without water of crystallisation;
    `hydrate` is set when the solid weighed is a hydrate. `concentration` [mol/m³], `current` [A],
    `time` [s], `temperature` [K] (21 °C unless said), `pressure` [Pa] (1 atm unless said),
    `arm_volume` [m³] of liquid in one arm, `tube_volume` [m³] of gas that a collecting tube holds.

    Raises SetupError for an unknown name and for a number outside `LIMITS` or above the solubility.

    >>> Setup("KNO3", 100.0, "graphite", "graphite", "phenol red", 0.1, 600.0).temperature
    294.15
    """

    electrolyte: str
    concentration: float
    cathode: str
    anode: str
    indicator: str | None
    current: float
    time: float
    temperature: float = 294.15
    pressure: float = 101_325.0
    arm_volume: float = 50e-6
    tube_volume: float = 50e-6
    hydrate: str | None = None

    def __post_init__(self) -> None:
        row = tables.electrolytes().get(self.electrolyte)
        if row is None:
            raise SetupError("electrolyte", _unknown_electrolyte(self.electrolyte))
        if self.hydrate is not None and self.hydrate not in {hydrate.plain for hydrate in row.hydrates}:
            raise SetupError(
                "hydrate",
                _("{hydrate} is not a hydrate of {salt} in the table.").format(
                    hydrate=self.hydrate, salt=row.key
                ),
            )
        for role in ("cathode", "anode"):
            _known(role, getattr(self, role), tuple(tables.electrodes()))
        if self.indicator is not None:
            _known("indicator", self.indicator, tuple(tables.indicators()))
        for name in KINDS:
            _within(name, getattr(self, name))
        if self.concentration > row.solubility * 1000 * (1 + 1e-9):
            raise SetupError(
                "concentration",
                _(
                    "{name} dissolves to about {limit} mol/L at 20 °C; a stronger solution is not possible."
                ).format(name=first_upper(_(row.name)), limit=number(row.solubility, 2)),
            )

    @property
    def row(self) -> tables.Electrolyte:
        """The electrolyte's row of the table."""
        return tables.electrolytes()[self.electrolyte]

    @property
    def solid(self) -> Formula:
        """What is weighed to make the solution: the hydrate if one is named."""
        return Formula.parse(self.hydrate or self.electrolyte)

    @property
    def molarity(self) -> float:
        """The concentration [mol/L]."""
        return self.concentration / 1000

    @classmethod
    def from_text(cls, **texts: str | None) -> "Setup":
        """Build from texts such as people write, each quantity with its unit.

        `electrolyte` may be a hydrate; `electrodes` ("graphite", "graphite:copper") may stand for
        `cathode` and `anode`; `indicator` may be "none". Left out quantities take their defaults.

        Raises SetupError or QuantityError, one sentence each.

        >>> Setup.from_text(electrolyte="CuSO4.5H2O", concentration="0.2 mol/L", electrodes="copper",
        ...                 indicator="none", current="0.1 A", time="10 min").hydrate
        'CuSO4.5H2O'
        """
        given = {key: text for key, text in texts.items() if text is not None}
        values: dict[str, Any] = {}
        values["electrolyte"], values["hydrate"] = _salt(
            given.pop("electrolyte", ""), given.pop("hydrate", None)
        )
        values["cathode"], values["anode"] = _electrodes(given)
        indicator = " ".join(given.pop("indicator", "none").lower().split())
        values["indicator"] = None if indicator in ("", "none") else indicator
        for name, text in given.items():
            if name not in KINDS:
                raise SetupError(name, _("A setup has no field “{name}”.").format(name=name))
            values[name] = units.read(KINDS[name], text)
        for name in ("concentration", "current", "time"):
            if name not in values:
                raise SetupError(name, _("A setup needs its {name}.").format(name=_(NAMES[name])))
        return cls(**values)

    def as_json(self) -> dict[str, Any]:
        """Every field as text with its unit, as the commands print it; `from_json` reads it back exactly."""
        return {
            field.name: units.write(KINDS[field.name], getattr(self, field.name))
            if field.name in KINDS
            else getattr(self, field.name)
            for field in fields(self)
        }

    @classmethod
    def from_json(cls, texts: dict[str, Any]) -> "Setup":
        """The setup that `as_json` wrote."""
        return cls.from_text(**texts)


def _salt(text: str, hydrate: str | None) -> tuple[str, str | None]:
    """The key of the electrolyte, and the hydrate where the text or `hydrate` names one."""
    try:
        formula = Formula.parse(text.strip())
    except FormulaError:
        formula = None
    for row in tables.electrolytes().values():
        if formula == row.formula:
            return row.key, hydrate
        for known in row.hydrates:
            if formula == known:
                return row.key, known.plain
    raise SetupError("electrolyte", _unknown_electrolyte(text.strip()))


def _electrodes(given: dict[str, str]) -> tuple[str, str]:
    pair = given.pop("electrodes", "")
    cathode, colon, anode = pair.partition(":")
    cathode = given.pop("cathode", cathode)
    anode = given.pop("anode", anode if colon else pair)
    return cathode.strip().lower(), anode.strip().lower()


def _unknown_electrolyte(text: str) -> str:
    keys = tuple(tables.electrolytes())
    if not text:
        return _("Name an electrolyte by its formula, such as KNO3.")
    by_letters = {key.lower(): key for key in keys}
    near = get_close_matches(text.lower(), by_letters, 1)
    if near:
        return _("The electrolyte “{text}” is not in the table; did you mean {near}?").format(
            text=text[:40], near=by_letters[near[0]]
        )
    return _("The electrolyte “{text}” is not in the table; known are {keys}.").format(
        text=text[:40], keys=", ".join(keys)
    )


def _known(field: str, name: str, names: tuple[str, ...]) -> None:
    if name not in names:
        sentence = {
            "cathode": _("The cathode “{name}” is not in the table; known are {names}."),
            "anode": _("The anode “{name}” is not in the table; known are {names}."),
            "indicator": _("The indicator “{name}” is not in the table; known are {names}."),
        }[field]
        raise SetupError(field, sentence.format(name=name[:40], names=", ".join(names)))


def _within(field: str, value: float) -> None:
    if isinstance(value, bool) or not isinstance(value, int | float) or not isfinite(value):
        raise SetupError(field, _("The {field} must be a number.").format(field=_(NAMES[field])))
    low, high = LIMITS[field]
    if value <= 0 and field != "temperature":
        raise SetupError(field, _("The {field} must be greater than zero.").format(field=_(NAMES[field])))
    if not low * (1 - 1e-9) <= value <= high * (1 + 1e-9):
        kind = KINDS[field]
        raise SetupError(
            field,
            _("The {field} must lie between {low} and {high}.").format(
                field=_(NAMES[field]), low=units.write(kind, low), high=units.write(kind, high)
            ),
        )
