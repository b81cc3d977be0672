"""Which electrode is which: name, sign and what happens there, in a driven and in a spontaneous cell."""

from dataclasses import dataclass, replace
from random import Random
from typing import Literal

from problems.cell import tables
from problems.cell.evidence import Electrode, Evidence
from problems.cell.setup import Setup
from problems.chemistry.formula import Formula
from problems.chemistry.notation import as_unicode
from problems.generators import build, say, seen
from problems.question import Level, Made, Option, Skill
from problems.words import _

Sign = Literal["plus", "minus"]
Aspect = Literal["name_sign", "sign_process", "name_process"]
ASPECTS: tuple[Aspect, ...] = ("name_sign", "sign_process", "name_process")
SERIES = ("Ag", "Cu", "Sn", "Ni", "Fe", "Zn")
"""Metals from noble to base, by standard potential."""


@dataclass(frozen=True, slots=True)
class Statement:
    """A statement about one electrode: two of its name, its sign and what happens there."""

    aspect: Aspect
    role: Literal["cathode", "anode"]
    sign: Sign
    gives: bool

    @property
    def key(self) -> str:
        process = "oxidation" if self.gives else "reduction"
        return {
            "name_sign": f"{self.role}_{self.sign}",
            "sign_process": f"{self.sign}_{process}",
            "name_process": f"{self.role}_{process}",
        }[self.aspect]

    @property
    def text(self) -> str:
        return _texts()[self.key]


def _texts() -> dict[str, str]:
    return {
        "cathode_plus": _("It is the cathode and the positive pole."),
        "cathode_minus": _("It is the cathode and the negative pole."),
        "anode_plus": _("It is the anode and the positive pole."),
        "anode_minus": _("It is the anode and the negative pole."),
        "plus_oxidation": _("It is the positive pole, and oxidation happens there."),
        "plus_reduction": _("It is the positive pole, and reduction happens there."),
        "minus_oxidation": _("It is the negative pole, and oxidation happens there."),
        "minus_reduction": _("It is the negative pole, and reduction happens there."),
        "cathode_oxidation": _("It is the cathode, and oxidation happens there."),
        "cathode_reduction": _("It is the cathode, and reduction happens there."),
        "anode_oxidation": _("It is the anode, and oxidation happens there."),
        "anode_reduction": _("It is the anode, and reduction happens there."),
    }


def driven_applies(setup: Setup, cell: Evidence) -> bool:
    return all("product" in electrode.fair for electrode in cell.electrodes) and bool(cell.electrodes)


def make_driven(setup: Setup, cell: Evidence, level: Level, rng: Random) -> Made:
    """The electrode where something is seen, in the cell of the setup."""
    electrode = rng.choice(cell.electrodes)
    right = _driven(electrode, rng.choice(ASPECTS))
    prompt = _(
        "{seen} Which statement is true of the electrode where this is seen, as long as the supply drives "
        "the cell?"
    ).format(seen=seen.seen_unnamed(setup, electrode))
    part = build.choice(
        prompt,
        _options(right),
        _hints_driven(),
        (
            _("Evidence: {seen}").format(seen=seen.seen_unnamed(setup, electrode)),
            _what_happens(electrode),
            _("Where electrons are taken up is the cathode; where they are given off is the anode."),
            _("The supply pushes electrons into the cathode, which is therefore the negative pole here."),
        ),
        rng,
        _slips(right, "sign_as_in_a_spontaneous_cell"),
    )
    return Made.single(part, say.cell(setup))


def _driven(electrode: Electrode, aspect: Aspect) -> Statement:
    if electrode.role == "cathode":
        return Statement(aspect, "cathode", "minus", False)
    return Statement(aspect, "anode", "plus", True)


def _slips(right: Statement, sign_code: str) -> dict[str, list[str]]:
    """What mixing up signs, processes or both makes of the right statement."""
    sign = replace(right, sign=_other(right.sign))
    process = replace(right, gives=not right.gives)
    both = replace(right, role=_twin(right.role), sign=_other(right.sign), gives=not right.gives)
    slips = {"process_of_the_other_electrode": [both.key]}
    if right.aspect != "name_process":
        slips[sign_code] = [sign.key]
    if right.aspect != "name_sign":
        slips["oxidation_for_reduction"] = [process.key]
    return slips


def _what_happens(electrode: Electrode) -> str:
    half = seen.half(electrode)
    return _("There, {half}.").format(half=say.uni(half))


def _other(sign: Sign) -> Sign:
    return "minus" if sign == "plus" else "plus"


def _twin(role: str) -> Literal["cathode", "anode"]:
    return "anode" if role == "cathode" else "cathode"


def _options(right: Statement) -> list[Option]:
    """All four statements of one aspect."""
    twins = (right, replace(right, role=_twin(right.role)))
    turned = [
        replace(each, sign=sign, gives=gives)
        for each in twins
        for sign, gives in ((right.sign, right.gives), (_other(right.sign), right.gives), *_processes(right))
    ]
    found = {each.key: each for each in turned}
    return [
        Option(key, each.text, "" if key == right.key else _why_wrong(each, right))
        for key, each in found.items()
    ]


def _processes(right: Statement) -> tuple[tuple[Sign, bool], tuple[Sign, bool]]:
    """Both signs with the other process."""
    return (right.sign, not right.gives), (_other(right.sign), not right.gives)


def _why_wrong(wrong: Statement, right: Statement) -> str:
    if right.aspect == "name_process" and (wrong.role == "cathode") == wrong.gives:
        return _("Reduction belongs to the cathode and oxidation to the anode, in every cell.")
    if right.aspect == "name_sign" and wrong.role == right.role:
        return _("The name fits, but the sign belongs to the other kind of cell.")
    if right.aspect == "sign_process" and wrong.gives == right.gives:
        return _("The process fits, but the sign belongs to the other kind of cell.")
    return _("Part of that describes the other electrode.")


def _hints_driven() -> tuple[str, str, str]:
    return (
        _("Decide first whether what is seen needs electrons or sets them free."),
        _("The names follow from that alone, in every cell; the signs depend on the kind of cell."),
        _("Here the supply decides the signs: the pole that it feeds with electrons is the negative one."),
    )


def spontaneous_applies(setup: Setup, cell: Evidence) -> bool:
    return metal_of(setup) is not None and cell.use != "refused"


def metal_of(setup: Setup) -> Formula | None:
    """The metal whose ions are in the solution, where a galvanic cell can be built with it."""
    for ion in setup.row.ions:
        metal = Formula(ion.atoms) if ion.charge > 0 else None
        if metal is not None and metal.plain in SERIES:
            return metal
    return None


def _partners(metal: Formula) -> list[str]:
    return [other for other in SERIES if other != metal.plain]


def make_spontaneous(setup: Setup, cell: Evidence, level: Level, rng: Random) -> Made:
    """The same solution in a cell that gives current by itself, beside another metal."""
    metal = metal_of(setup)
    assert metal is not None
    partner = rng.choice(_partners(metal))
    noble, base = sorted((metal.plain, partner), key=SERIES.index)
    asked = rng.choice((noble, base))
    right = _spontaneous(rng.choice(ASPECTS), asked == noble)
    prompt = _(
        "The supply is taken away. A strip of {metal} in this solution and a strip of {partner} in a "
        "solution of its own ions, joined by a salt bridge, light a small lamp; standard potentials: "
        "{potentials}. Which statement is true of the strip of {asked}?"
    ).format(
        metal=say.product_name(metal),
        partner=say.product_name(Formula.parse(partner)),
        potentials="; ".join(map(potential_line, (metal.plain, partner))),
        asked=say.product_name(Formula.parse(asked)),
    )
    part = build.choice(
        prompt,
        _options(right),
        (
            _("Without a supply the metal with the lower potential gives electrons by itself."),
            _("Giving electrons is oxidation; the names of the electrodes follow from that."),
            _("The electrode that gives electrons to the wire is the negative pole of such a cell."),
        ),
        (
            _("Table: {potentials}.").format(potentials="; ".join(map(potential_line, (noble, base)))),
            _("The lower potential belongs to {base}: it gives electrons and is the anode.").format(
                base=say.product_name(Formula.parse(base))
            ),
            _(
                "It pushes electrons into the wire, so it is the negative pole; the other strip is cathode "
                "and plus."
            ),
        ),
        rng,
        _slips(right, "sign_as_in_a_driven_cell"),
    )
    return Made.single(part, say.cell(setup))


def _spontaneous(aspect: Aspect, noble: bool) -> Statement:
    if noble:
        return Statement(aspect, "cathode", "plus", False)
    return Statement(aspect, "anode", "minus", True)


def potential_line(metal: str) -> str:
    """One line of the table that the question shows, such as "Cu²⁺/Cu +0.34 V"."""
    row = couple_of(metal)
    ion, solid = row.reaction.left[0][0], row.reaction.right[0][0]
    return _("{ion}/{metal} {value} V").format(
        ion=as_unicode(ion), metal=as_unicode(solid), value=say.signed(row.school)
    )


def couple_of(metal: str) -> tables.Couple:
    """The couple of a metal and its usual ion."""
    charge = {"Ag": "+"}.get(metal, "2+")
    return tables.potentials()[f"{metal}{charge}/{metal}"]


SKILLS: tuple[Skill, ...] = (
    Skill(
        "redox.driven_electrodes",
        "redox",
        "Electrodes of a driven cell",
        ("first_year",),
        "choice",
        driven_applies,
        make_driven,
    ),
    Skill(
        "redox.spontaneous_electrodes",
        "redox",
        "Electrodes of a cell that runs by itself",
        ("first_year",),
        "choice",
        spontaneous_applies,
        make_spontaneous,
        ("redox.driven_electrodes",),
    ),
)
