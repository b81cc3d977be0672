"""The rules for oxidation numbers, applied in their order to one formula or known part of it."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import Any

from problems.chemistry.formula import Formula
from problems.chemistry.notation import as_unicode
from problems.chemistry.parts import nonmetals, table
from problems.errors import ProblemError
from problems.words import _

METAL_LIMITS = (-4, 8)
OXYGEN_RULES = {
    Fraction(-2): "oxygen",
    Fraction(-1): "peroxide",
    Fraction(-1, 2): "superoxide",
    Fraction(-1, 3): "ozonide",
}


class OpenOxidationNumber(ProblemError):  # noqa: N818  (a plain trade word reads better here)
    """The rules do not settle the oxidation numbers in `formula`; `reason` says why."""

    def __init__(self, formula: Formula, reason: str) -> None:
        self.formula, self.reason = formula, reason
        sentence = _("The rules leave the oxidation numbers in {formula} open: {reason}.")
        super().__init__(sentence.format(formula=as_unicode(formula), reason=reason))


@dataclass(frozen=True, slots=True)
class Step:
    """One rule applied: the number of each atom of an element, or their average."""

    number: Fraction
    rule: str


@dataclass(frozen=True, slots=True)
class Known:
    """The atoms of one element, one by one, where a table gives them."""

    element: str
    atoms: tuple[Fraction, ...]
    also: tuple[tuple[Fraction, ...], ...]

    @property
    def average(self) -> Fraction:
        return sum(self.atoms, Fraction()) / len(self.atoms)


def known(formula: Formula) -> Known | None:
    """What the table knows of just this spelling."""
    return _known_by_spelling().get(formula.plain)


def climb(formula: Formula, *, alone: bool = True) -> dict[str, Step]:
    """The oxidation numbers by element, in the order in which the rules give them.

    `alone` is False for what known groups have left of a formula. Raises OpenOxidationNumber where the
    rules leave more than one element open, or contradict one another.
    """
    return _Ladder(formula).climb(alone)


class _Ladder:
    def __init__(self, formula: Formula) -> None:
        self.formula = formula
        self.steps: dict[str, Step] = {}
        self.elements = formula.elements
        self.metals = self.elements - nonmetals()

    def climb(self, alone: bool) -> dict[str, Step]:
        if alone and len(self.elements) == 1:
            return self.one_element()
        self.refuse_open_formulas()
        for element, step in self.fixed():
            self.steps.setdefault(element, step)
        while len(self.missing) > 1:
            self.take_most_electronegative()
        for element in self.missing:
            self.steps[element] = self.from_sum(element)
        self.check()
        return self.steps

    @property
    def missing(self) -> list[str]:
        return [symbol for symbol, _count in self.formula.atoms if symbol not in self.steps]

    def one_element(self) -> dict[str, Step]:
        """An element, or the charge of an ion shared by its atoms."""
        ((symbol, count),) = self.formula.atoms
        number = Fraction(self.formula.charge, count)
        rule = "element" if not number else "monatomic_ion" if count == 1 else "shared_charge"
        if symbol == "O" and count > 1:
            rule = OXYGEN_RULES.get(number, rule)
        return {symbol: Step(number, rule)}

    def refuse_open_formulas(self) -> None:
        if len(self.metals) > 1 and self.metals == self.elements and not self.formula.charge:
            raise self.open(_("an alloy has none"))
        for pair in table()["open"]["pairs"]:
            if self.elements.issuperset(pair) and "O" not in self.elements:
                raise self.open(_("texts differ on {one} beside {other}").format(one=pair[0], other=pair[1]))

    def fixed(self) -> Iterator[tuple[str, Step]]:
        """What does not depend on the other numbers, in the order of the rules."""
        special = known(self.formula)
        if special:
            yield special.element, Step(special.average, "known")
        if "F" in self.elements:
            yield "F", Step(Fraction(-1), "fluorine")
        for row in table()["fixed"]:
            yield from (
                (each, Step(Fraction(row["number"]), row["rule"]))
                for each in self.elements & set(row["elements"])
            )
        if "H" in self.elements:
            others = self.elements - {"H"}
            hydride = bool(others) and others <= self.metals | {"B"}
            yield "H", Step(Fraction(-1 if hydride else 1), "hydride" if hydride else "hydrogen")
        if "O" in self.elements and not self.oxygen_is_worked_out():
            yield "O", Step(Fraction(-2), "oxygen")

    def oxygen_is_worked_out(self) -> bool:
        """True where peroxides are usual, and beside fluorine alone."""
        peroxides = {each for row in table()["fixed"] if row["peroxides"] for each in row["elements"]}
        return self.elements <= peroxides | {"H", "O"} or self.elements <= {"H", "O", "F"}

    def take_most_electronegative(self) -> None:
        """Give the most electronegative of the open elements its usual number."""
        for row in table()["negative"]:
            if row["element"] in self.missing and self.may_take_usual(row):
                self.steps[row["element"]] = Step(Fraction(row["usual"]), row["rule"])
                return
        raise self.open(_("{elements} cannot be told apart").format(elements=_(" and ").join(self.missing)))

    def may_take_usual(self, row: Mapping[str, Any]) -> bool:
        """A halogen beside oxygen still can; the others are then bound to oxygen, as in sulfate."""
        if row["rule"] != "halogen" and "O" in self.elements:
            return False
        return row["metals"] or not self.metals

    def from_sum(self, element: str) -> Step:
        """The last open element: all numbers together add up to the charge."""
        number = (self.formula.charge - self.sum()) / self.formula.count(element)
        if element == "O":
            rule = "oxygen_with_fluorine" if "F" in self.elements else OXYGEN_RULES.get(number, "impossible")
            return Step(number, rule)
        rows = [row for row in table()["negative"] if row["element"] == element]
        return Step(number, rows[0]["rule"] if rows and number == rows[0]["usual"] else "sum")

    def sum(self) -> Fraction:
        """What the numbers found so far add up to, over all their atoms."""
        return sum((step.number * self.formula.count(each) for each, step in self.steps.items()), Fraction())

    def check(self) -> None:
        """Refuse numbers that do not add up or that no such atom has."""
        if self.sum() != self.formula.charge:
            raise self.open(_("the usual numbers do not add up to the charge"))
        for element, step in self.steps.items():
            lowest, highest = table()["limits"].get(element, METAL_LIMITS)
            if not lowest <= step.number <= highest or step.rule == "impossible":
                raise self.open(
                    _("{element} would have a number that it does not take").format(element=element)
                )

    def open(self, reason: str) -> OpenOxidationNumber:
        return OpenOxidationNumber(self.formula, reason)


@cache
def _known_by_spelling() -> Mapping[str, Known]:
    return {
        row["formula"]: Known(
            row["element"],
            tuple(map(Fraction, row["atoms"])),
            tuple(tuple(map(Fraction, other)) for other in row.get("also", ())),
        )
        for row in table()["known"]
    }
