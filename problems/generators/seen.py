"""What the eye, a splint or the indicator tells about one electrode, in sentences that name no formula."""

from functools import lru_cache

from problems.cell import colours, tables
from problems.cell.evidence import Electrode, Evidence
from problems.cell.setup import Setup
from problems.chemistry.equation import Equation
from problems.chemistry.formula import Formula
from problems.chemistry.medium import in_acid
from problems.generators import say
from problems.words import _


def seen(setup: Setup, electrode: Electrode) -> str:
    """One or two sentences on what is seen at `electrode`."""
    where = say.electrode(electrode.role)
    return " ".join(filter(None, (_product(electrode, where), _arm(setup, electrode))))


def seen_unnamed(setup: Setup, electrode: Electrode) -> str:
    """The same without saying which of the two electrodes it is."""
    product = _product(electrode, _("electrode in question"))
    return " ".join(filter(None, (product, _arm(setup, electrode))))


def _product(electrode: Electrode, where: str) -> str:
    if electrode.mass_change is not None:
        return _("The {where}, of {material}, becomes lighter, and nothing else is seen there.").format(
            where=where, material=_(electrode.material)
        )
    first = electrode.products[0]
    if first in tables.gases():
        return _("A gas bubbles up at the {where}: {test}.").format(
            where=where, test=_(tables.gases()[first].test)
        )
    return _looks().get(first.plain, _("A coat of metal grows on the {where}.")).format(where=where)


def _looks() -> dict[str, str]:
    return {
        "Cu": _("A red-brown coat of metal grows on the {where}."),
        "Ag": _("Glittering grey-white needles of metal grow on the {where}."),
        "Zn": _("A dull grey coat of metal grows on the {where}."),
        "Ni": _("A silvery coat of metal grows on the {where}."),
        "I2": _("The liquid round the {where} turns brown, and blue-black with starch."),
        "Br2": _("The liquid round the {where} turns orange, and so does a little hexane shaken with it."),
    }


def _arm(setup: Setup, electrode: Electrode) -> str:
    if setup.indicator is None or electrode.colour is None or "colour" not in electrode.fair:
        return ""
    return _("With {indicator} the liquid of this arm is {colour} at the end.").format(
        indicator=_(setup.indicator), colour=colours.name(electrode.colour)
    )


def one_form(electrode: Electrode) -> bool:
    """True where every accepted half-reaction is the same one, up to the medium it is written for.

    Iodide counts too: a question names the product there.
    """
    if "half_reaction" not in electrode.fair or electrode.half_reaction is None:
        return False
    return _is_one(electrode.accepted) or electrode.products[0].plain == "I2"


def either_medium(electrode: Electrode) -> bool:
    """True where the form for the other medium is accepted as well."""
    return len(electrode.accepted) > 1 and _is_one(electrode.accepted)


def _is_one(accepted: tuple[Equation, ...]) -> bool:
    return len(accepted) == 1 or _is_one_in_acid(accepted)


@lru_cache(maxsize=256)
def _is_one_in_acid(accepted: tuple[Equation, ...]) -> bool:
    return len({in_acid(each) for each in accepted}) == 1


def iodine_note(electrode: Electrode) -> str:
    """The sentence that settles how iodine is written, where it is made."""
    if electrode.products[0].plain != "I2":
        return ""
    return _("Write the halogen as a free two-atom molecule.")


def answerable(cell: Evidence) -> list[Electrode]:
    """The electrodes whose half-reaction has one right answer."""
    return [electrode for electrode in cell.electrodes if one_form(electrode)]


def half(electrode: Electrode) -> Equation:
    """The half-reaction of an electrode that has one; raises ValueError in a mixed zone."""
    if electrode.half_reaction is None:
        raise ValueError("Two things are discharged at this electrode: it has no half-reaction.")
    return electrode.half_reaction


def overall(cell: Evidence) -> Equation:
    """The overall equation of a cell that has one; raises ValueError elsewhere."""
    if cell.overall is None:
        raise ValueError("This cell has no overall equation.")
    return cell.overall


def gas(electrode: Electrode) -> Formula:
    """The gas of an electrode that makes one; raises ValueError elsewhere."""
    if electrode.gas is None:
        raise ValueError("No gas forms at this electrode.")
    return electrode.gas
