"""What a bench shows besides the numbers, and what the numbers set aside."""

from problems.cell import arm
from problems.cell.run import ROLES, Run
from problems.chemistry.formula import Formula
from problems.words import _

HYDROGEN, OXYGEN = Formula.parse("H2"), Formula.parse("O2")


def remarks(run: Run) -> tuple[str, ...]:
    """The sentences that belong to a run, in the order of what is seen."""
    return tuple(
        sentence
        for sentence in (_ratio(run), _graphite(run), _start(run), _ph(run), _traces(run))
        if sentence
    )


def _first(run: Run, index: int) -> tuple[Formula, ...]:
    return run.periods[ROLES[index]][0].choice.products


def _ratio(run: Run) -> str:
    if HYDROGEN in _first(run, 0) and OXYGEN in _first(run, 1) and not _mixed(run):
        return _("The ratio read is a little above 2 : 1, because more oxygen than hydrogen stays dissolved.")
    return ""


def _graphite(run: Run) -> str:
    if run.setup.anode == "graphite" and OXYGEN in _first(run, 1):
        return _("A graphite anode crumbles a little, and some carbon dioxide comes with the oxygen.")
    return ""


def _start(run: Run) -> str:
    if run.setup.indicator and run.setup.row.start_ph is not None:
        return _("The solution is first brought to pH 7: carbon dioxide of the air makes it pH 5.6 to 6.5.")
    return ""


def _ph(run: Run) -> str:
    if all(arm.ph(run, role, run.end) is None for role in ROLES):
        return ""
    return _(
        "Each pH is a limit, for arms that do not mix: the current carries some ions through the plug; "
        "activities are set aside, and pKw is 14.00."
    )


def _traces(run: Run) -> str:
    if len(run.periods["cathode"]) > 1 or len(run.periods["anode"]) > 1:
        return _("Where one ion is used up the next reaction takes over little by little, not at once.")
    return ""


def _mixed(run: Run) -> bool:
    return any(run.periods[role][0].choice.mixed for role in ROLES)
