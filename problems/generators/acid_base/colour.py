"""The colour in an arm, and the ion behind a colour."""

from random import Random

from problems.cell import colours, tables
from problems.cell.evidence import Electrode, Evidence
from problems.cell.setup import Setup
from problems.chemistry.formula import HYDROGEN_ION, HYDROXIDE, Formula
from problems.generators import build, say
from problems.question import Level, Made, Option, Part, Skill
from problems.words import _, decimals


def colour_applies(setup: Setup, cell: Evidence) -> bool:
    return bool(_coloured(setup, cell))


def _coloured(setup: Setup, cell: Evidence) -> list[Electrode]:
    """The arms whose colour follows from acid or base alone, or from a pH that can be reckoned."""
    if setup.indicator is None:
        return []
    dye = tables.indicators()[setup.indicator]
    return [arm for arm in cell.electrodes if "colour" in arm.fair and _follows(dye, arm)]


def _follows(dye: tables.Indicator, arm: Electrode) -> bool:
    """Not where a buffer or a hydroxide holds an arm on the other side than that of the ion made there."""
    if arm.ion == HYDROXIDE:
        return arm.colour == dye.colours[-1]
    if arm.ion == HYDROGEN_ION:
        return arm.colour == dye.colours[0] or "ph" in arm.fair
    return arm.colour in (dye.colours[0], dye.colours[-1])


def make_colour(setup: Setup, cell: Evidence, level: Level, rng: Random) -> Made:
    """The colour of the indicator in one arm at the end."""
    return Made.single(colour_part(setup, cell, rng.choice(_coloured(setup, cell)), rng), say.cell(setup))


def colour_part(setup: Setup, cell: Evidence, arm: Electrode, rng: Random) -> Part:
    """The part that asks for the colour in `arm`."""
    dye = tables.indicators()[setup.indicator or ""]
    right = arm.colour or ""
    scale = scale_sentence(dye)
    options = [
        Option(colour_key(name), colours.name(name), "" if name == right else _why_not(dye, name))
        for name in colours_of(dye)
    ]
    opposite = dye.colours[0] if right == dye.colours[-1] else dye.colours[-1]
    return build.choice(
        _(
            "{scale} The solution was first brought to pH {ph}. What colour is the liquid in the arm of the "
            "{where} at the end?"
        ).format(scale=scale, ph=decimals(cell.start_ph or 7.0, 1), where=say.electrode(arm.role))
        if setup.row.start_ph is not None
        else _("{scale} What colour is the liquid in the arm of the {where} at the end?").format(
            scale=scale, where=say.electrode(arm.role)
        ),
        options,
        (
            _("Ask which ion the half-reaction brings into this arm, or which the solution has anyway."),
            _("One of the two makes the liquid acidic, the other basic."),
            _("Then read the scale of the indicator far on that side, not in its middle."),
        ),
        _colour_solution(setup, arm, scale),
        rng,
        {
            "colour_of_the_other_arm": [colour_key(opposite)],
            "colour_of_the_start": [colour_key(cell.start_colour)] if cell.start_colour else [],
        },
    )


def colour_key(name: str) -> str:
    return name.replace(" ", "_")


def colours_of(dye: tables.Indicator) -> tuple[str, ...]:
    """Every colour that the indicator can show, from acid to base."""
    shown = list(dye.colours)
    for place, step in enumerate(dye.steps):
        shown.insert(2 * place + 1, step.colour)
    return tuple(dict.fromkeys(shown))


def scale_sentence(dye: tables.Indicator) -> str:
    """Where the indicator has which colour."""
    limits = [step for change in dye.steps for step in (change.low, change.high)] or list(dye.cuts)
    pieces = [_("{colour} below pH {high}").format(colour=colours.name(dye.colours[0]), high=_ph(limits[0]))]
    if dye.cuts:
        between = zip(dye.colours[1:-1], dye.cuts[:-1], dye.cuts[1:], strict=True)
    else:
        between = zip(
            dye.colours[1:-1], [c.high for c in dye.steps[:-1]], [c.low for c in dye.steps[1:]], strict=True
        )
    pieces += [
        _("{colour} from pH {low} to {high}").format(
            colour=colours.name(colour), low=_ph(low), high=_ph(high)
        )
        for colour, low, high in between
    ]
    pieces.append(
        _("{colour} above pH {low}").format(colour=colours.name(dye.colours[-1]), low=_ph(limits[-1]))
    )
    return _("{indicator} is {scale}.").format(indicator=_(dye.name).capitalize(), scale=say.listed(pieces))


def _ph(value: float) -> str:
    return decimals(value, 1)


def _why_not(dye: tables.Indicator, name: str) -> str:
    if name in dye.colours:
        return _("{indicator} has this colour in another range of pH than that of this arm.").format(
            indicator=_(dye.name).capitalize()
        )
    return _("This is the colour of a change, between two ranges; the pH of this arm lies well outside.")


def _colour_solution(setup: Setup, arm: Electrode, scale: str) -> tuple[str, ...]:
    lines = [reason_of_arm(setup, arm)]
    if arm.half_reaction is not None:
        lines.insert(0, say.uni(arm.half_reaction))
    if "ph" in arm.fair and arm.ph is not None:
        lines.append(_("At the end its pH is {ph}.").format(ph=_ph(arm.ph)))
    if arm.cloud is not None:
        lines.append(
            _("{solid} comes out and holds the pH on the basic side, near {ph}.").format(
                solid=say.uni(arm.cloud), ph=_ph(arm.ph or 0.0)
            )
        )
    return (*lines, scale, _("So the arm is {colour}.").format(colour=colours.name(arm.colour or "")))


def reason_of_arm(setup: Setup, arm: Electrode) -> str:
    """Why the arm is acidic or basic, in a sentence."""
    if setup.row.strong is not None:
        return (
            _("The solution is a strong acid; this arm stays acidic.")
            if setup.row.strong == "acid"
            else _("The solution is a strong base; this arm stays basic.")
        )
    if arm.ion == HYDROGEN_ION:
        return _("H⁺ forms at this electrode: the arm turns acidic.")
    if arm.ion == HYDROXIDE:
        return _("OH⁻ forms at this electrode: the arm turns basic.")
    return _("Neither H⁺ nor OH⁻ forms here: the arm keeps the pH of the solution.")


def ion_applies(setup: Setup, cell: Evidence) -> bool:
    return cell.use != "refused" and bool(_behind(setup, cell))


Behind = tuple[str, Formula, str]
"""A sentence that asks, the ion that is behind the colour, and a line of reason."""


def _behind(setup: Setup, cell: Evidence) -> list[Behind]:
    return [*_arms_behind(setup, cell), *_own_colour(setup)]


def _arms_behind(setup: Setup, cell: Evidence) -> list[Behind]:
    found = []
    for arm in _coloured(setup, cell):
        ion = _cause(setup, arm)
        if ion is None or arm.colour == "colourless":
            continue
        sentence = _(
            "{scale} At the end the arm of the {where} is {colour}. Which ion is behind that colour? Give "
            "its formula."
        ).format(
            scale=scale_sentence(tables.indicators()[setup.indicator or ""]),
            where=say.electrode(arm.role),
            colour=colours.name(arm.colour or ""),
        )
        found.append((sentence, ion, reason_of_arm(setup, arm)))
    return found


def _cause(setup: Setup, arm: Electrode) -> Formula | None:
    if setup.row.strong is not None:
        return HYDROGEN_ION if setup.row.strong == "acid" else HYDROXIDE
    return arm.ion


def _own_colour(setup: Setup) -> list[Behind]:
    for ion in setup.row.ions:
        colour = tables.ions()[ion].colour
        if colour is not None:
            sentence = _(
                "Without any indicator the solution is {colour} before the current flows. Which ion is "
                "behind that colour? Give its formula."
            ).format(colour=colours.name(colour))
            reason = _("Of the dissolved ions only {ion} has a colour.").format(ion=say.uni(ion))
            return [(sentence, ion, reason)]
    return []


def make_ion(setup: Setup, cell: Evidence, level: Level, rng: Random) -> Made:
    """The ion that makes an arm, or the solution, look as it does."""
    behind = rng.choice(_behind(setup, cell))
    return Made.single(ion_part(setup, behind), say.cell(setup))


def ion_part(setup: Setup, behind: Behind) -> Part:
    """The part that asks for the ion behind a colour; chains use it too."""
    sentence, ion, reason = behind
    twin = HYDROXIDE if ion == HYDROGEN_ION else HYDROGEN_ION
    spectators = [each for each in setup.row.ions if each not in (ion, twin)]
    slips = {"acid_and_base_exchanged": twin}
    if spectators:
        slips["spectator_ion"] = spectators[0]
    return build.formula(
        sentence,
        ion,
        (
            _("Say first whether the colour stands for an acid, for a base, or for a metal."),
            _("The ions of the dissolved salt that only carry the current have no colour and change none."),
            _(
                "Recall which single ion makes every acid acidic and which makes every base basic; only one "
                "fits here."
            ),
        ),
        (reason, _("So the ion is {ion}.").format(ion=say.uni(ion))),
        slips,
        skill="acid_base.ion_behind_colour",
    )


def arm_behind(setup: Setup, cell: Evidence, arm: Electrode) -> Behind | None:
    """The question about the ion in one arm, where it may be asked."""
    where = say.electrode(arm.role)
    return next((each for each in _arms_behind(setup, cell) if where in each[0]), None)


SKILLS: tuple[Skill, ...] = (
    Skill(
        "acid_base.arm_colour",
        "acid_base",
        "Colour in each arm",
        ("first_year",),
        "choice",
        colour_applies,
        make_colour,
        ("acid_base.ion_behind_colour",),
    ),
    Skill(
        "acid_base.ion_behind_colour",
        "acid_base",
        "The ion behind the colour",
        ("first_year",),
        "formula",
        ion_applies,
        make_ion,
    ),
)
