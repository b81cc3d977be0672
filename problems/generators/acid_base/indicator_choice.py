"""An indicator that shows both changes: to acid in one arm and to base in the other."""

from collections.abc import Iterator
from random import Random

from problems.cell import colours, tables
from problems.cell.evidence import Evidence
from problems.cell.setup import Setup
from problems.chemistry.formula import HYDROGEN_ION, HYDROXIDE
from problems.generators import build, say
from problems.generators.acid_base.colour import scale_sentence
from problems.question import Level, Made, Option, Skill
from problems.words import _, decimals

START = 7.0
WRONG_SHOWN = 3


def applies(setup: Setup, cell: Evidence) -> bool:
    """A neutral salt whose arms turn clearly acidic and clearly basic."""
    arms = cell.electrodes
    if len(arms) != 2 or setup.row.start_ph is None or any(arm.ph is None for arm in arms):
        return False
    if (arms[0].ion, arms[1].ion) != (HYDROXIDE, HYDROGEN_ION):
        return False
    return len(list(_right(cell))) > 1 and len(list(_wrong(cell))) >= WRONG_SHOWN


def _three(dye: tables.Indicator, cell: Evidence) -> tuple[str, str, str] | None:
    """The colours in the acid arm, at the start and in the base arm; None where one is uncertain."""
    base, acid = (arm.ph or START for arm in cell.electrodes)
    values = (acid, START, base)
    if any(colours.near_limit(dye, value) for value in values):
        return None
    first, middle, last = (colours.of_indicator(dye, value) for value in values)
    return first, middle, last


def _right(cell: Evidence) -> Iterator[tables.Indicator]:
    for dye in tables.indicators().values():
        shown = _three(dye, cell)
        if shown and len(set(shown)) == len(shown):
            yield dye


def _wrong(cell: Evidence) -> Iterator[tables.Indicator]:
    for dye in tables.indicators().values():
        shown = _three(dye, cell)
        if shown and shown[1] in (shown[0], shown[2]):
            yield dye


def make(setup: Setup, cell: Evidence, level: Level, rng: Random) -> Made:
    """All indicators of a list that show both changes."""
    right = rng.sample(list(_right(cell)), rng.choice((1, 1, 2)))
    wrong = rng.sample(list(_wrong(cell)), WRONG_SHOWN)
    base, acid = cell.electrodes
    prompt = _(
        "Take the same cell, first brought to pH 7.0, with another indicator; at the end the anode arm is "
        "near pH {acid} and the cathode arm near pH {base}. Between two of its ranges an indicator has a "
        "mixed colour. Which indicators show both changes, each by a colour of its own? Choose all."
    ).format(acid=decimals(acid.ph or 0.0, 1), base=decimals(base.ph or 0.0, 1))
    options = [Option(_key(dye), scale_sentence(dye)) for dye in right]
    options += [Option(_key(dye), scale_sentence(dye), _why(dye, cell)) for dye in wrong]
    part = build.choice(
        prompt,
        options,
        (
            _("Three colours are needed: one for the start, one for each arm."),
            _("Find each indicator's colour at the start first."),
            _("Strike out every indicator whose colour at the start is that of one of the arms."),
        ),
        tuple(_line(dye, cell) for dye in (*right, *wrong)),
        rng,
        {"everything_that_changes": [_key(dye) for dye in (*right, *wrong)], **_one_sided(wrong, cell)},
        several=True,
    )
    return Made.single(part, say.cell(setup))


def _key(dye: tables.Indicator) -> str:
    return dye.name.replace(" ", "_")


def _one_sided(wrong: list[tables.Indicator], cell: Evidence) -> dict[str, list[str]]:
    """Choosing only what changes in one arm."""
    sides: dict[str, list[str]] = {}
    for dye in wrong:
        shown = _three(dye, cell)
        if shown and shown[0] != shown[1]:
            sides.setdefault("acid_change_only", []).append(_key(dye))
        elif shown and shown[2] != shown[1]:
            sides.setdefault("base_change_only", []).append(_key(dye))
    return sides


def _why(dye: tables.Indicator, cell: Evidence) -> str:
    shown = _three(dye, cell)
    assert shown is not None
    if shown[0] == shown[1] == shown[2]:
        return _("It has one colour everywhere here: {colour}.").format(colour=colours.name(shown[1]))
    side = _("acid") if shown[0] == shown[1] else _("base")
    return _(
        "It is {colour} at the start already, as in the {side} arm, and shows only the other change."
    ).format(colour=colours.name(shown[1]), side=side)


def _line(dye: tables.Indicator, cell: Evidence) -> str:
    shown = _three(dye, cell)
    assert shown is not None
    first, middle, last = map(colours.name, shown)
    return _("{indicator}: {acid} in the acid arm, {start} at the start, {base} in the basic arm.").format(
        indicator=_(dye.name).capitalize(), acid=first, start=middle, base=last
    )


SKILLS: tuple[Skill, ...] = (
    Skill(
        "acid_base.indicator_choice",
        "acid_base",
        "An indicator that shows both changes",
        ("first_year",),
        "choice",
        applies,
        make,
        ("acid_base.arm_colour",),
    ),
)
