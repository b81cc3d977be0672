"""The path of the electrons in the wire and of the ions in the solution."""

from random import Random

from problems.cell.evidence import Evidence
from problems.cell.setup import Setup
from problems.chemistry.formula import Formula
from problems.generators import build, say
from problems.question import Level, Made, Option, Skill
from problems.words import _


def applies(setup: Setup, cell: Evidence) -> bool:
    return bool(cell.electrodes) and all("product" in electrode.fair for electrode in cell.electrodes)


def make(setup: Setup, cell: Evidence, level: Level, rng: Random) -> Made:
    """Where one of the travellers goes: an ion of the salt through the solution, or electrons in the wire."""
    travellers: list[Formula | None] = [*setup.row.ions, None]
    traveller = rng.choice(travellers)
    right = _right(traveller)
    part = build.choice(
        _prompt(traveller),
        _options(traveller, right),
        _hints(),
        _solution(traveller),
        rng,
        _slips(traveller, right),
    )
    return Made.single(part, say.cell(setup))


def _prompt(traveller: Formula | None) -> str:
    if traveller is None:
        return _("Which way do electrons go while the supply drives this cell?")
    return _("What does {ion} do while the supply drives this cell?").format(ion=say.uni(traveller))


def _right(traveller: Formula | None) -> str:
    if traveller is None:
        return "wire_to_cathode"
    return "solution_to_cathode" if traveller.charge > 0 else "solution_to_anode"


def _slips(traveller: Formula | None, right: str) -> dict[str, list[str]]:
    if traveller is None:
        return {"current_for_electrons": ["wire_to_anode"], "electrons_swim": ["electrons_solution"]}
    wire = right.replace("solution", "wire")
    return {"like_charges_meet": [_turned(right)], "ions_in_the_wire": [wire], "ions_stand_still": ["stays"]}


def _turned(key: str) -> str:
    return key.replace("cathode", "anode") if "cathode" in key else key.replace("anode", "cathode")


def _options(traveller: Formula | None, right: str) -> list[Option]:
    if traveller is None:
        return _wire_options()
    reason = _("Opposite charges attract: {ion} goes to the electrode of the opposite sign.").format(
        ion=say.uni(traveller)
    )
    wire = _("Ions stay in the liquid; in the wire only electrons move.")
    texts = {
        "solution_to_cathode": (_("It moves through the solution towards the cathode."), reason),
        "solution_to_anode": (_("It moves through the solution towards the anode."), reason),
        "wire_to_cathode": (_("It moves through the wire towards the cathode."), wire),
        "wire_to_anode": (_("It moves through the wire towards the anode."), wire),
        "stays": (
            _("It stays where it is, since it only makes the water conduct."),
            _("Every ion in the solution moves in the field and so carries a part of the current."),
        ),
    }
    return [Option(key, text, "" if key == right else why) for key, (text, why) in texts.items()]


def _wire_options() -> list[Option]:
    return [
        Option("wire_to_cathode", _("Through the wire, from the anode by way of the supply to the cathode.")),
        Option(
            "wire_to_anode",
            _("Through the wire, from the cathode by way of the supply to the anode."),
            _("That is the direction of the conventional current; electrons go against it."),
        ),
        Option(
            "electrons_solution",
            _("Through the solution, from the cathode to the anode."),
            _("No free electrons move through the solution; ions carry the charge there."),
        ),
        Option(
            "circle",
            _("All the way round: through the wire and back through the solution."),
            _("No free electrons move through the solution; ions carry the charge there."),
        ),
    ]


def _hints() -> tuple[str, str, str]:
    return (
        _("Two kinds of carriers share the way: one kind in metal, another in the liquid."),
        _("Positive and negative carriers go opposite ways."),
        _("In a driven cell electrons are pushed into the negative electrode, where reduction uses them."),
    )


def _solution(traveller: Formula | None) -> tuple[str, ...]:
    if traveller is None:
        return (
            _("Oxidation at the anode sets electrons free; reduction at the cathode uses them."),
            _("The supply pumps them through the wire from the anode to the cathode."),
            _("In the solution ions carry the charge, so no electron swims through it."),
        )
    return (
        _("{ion} has a charge, so the field between the electrodes moves it.").format(ion=say.uni(traveller)),
        _("In a driven cell it goes to the cathode, the negative electrode.")
        if traveller.charge > 0
        else _("In a driven cell it goes to the anode, the positive electrode."),
        _("In the wire, only electrons move."),
    )


SKILLS: tuple[Skill, ...] = (
    Skill(
        "redox.paths",
        "redox",
        "Paths of electrons and ions",
        ("first_year",),
        "choice",
        applies,
        make,
        ("redox.driven_electrodes",),
    ),
)
