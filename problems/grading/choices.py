"""Choices: the options a student ticked against the right ones, as sets."""

from collections.abc import Iterable
from dataclasses import dataclass

from problems.grading import fields
from problems.grading.codes import sentence
from problems.grading.typed import LONGEST
from problems.grading.verdict import Verdict
from problems.words import _


@dataclass(frozen=True, slots=True)
class ChoiceKey:
    """The right options, and the wrong sets that a known mistake leads to, by code."""

    right: frozenset[str]
    slips: tuple[tuple[str, frozenset[str]], ...] = ()

    def __post_init__(self) -> None:
        if not self.right:
            raise fields.CaseError(_("The field “expected” names no right option."))

    @classmethod
    def from_case(cls, case: fields.Case) -> "ChoiceKey":
        slips = fields.slips(case)
        return cls(
            frozenset(fields.texts(case, "expected")),
            tuple((code, frozenset(fields.texts(slips, code))) for code in slips),
        )


def grade_choice(answer: Iterable[str], key: ChoiceKey) -> Verdict:
    """Judge the chosen options.

    >>> grade_choice(["a"], ChoiceKey(frozenset({"a", "c"}))).codes
    ('incomplete',)
    """
    chosen = frozenset(answer)
    reading = ", ".join(sorted(chosen))
    if not chosen:
        return Verdict("unreadable", ("unreadable",), message=sentence("choice", "unreadable"))
    if any(len(option) > LONGEST for option in chosen):
        message = _("At most {limit} characters are read.").format(limit=LONGEST)
        return Verdict("unreadable", ("unreadable",), message=message)
    if chosen == key.right:
        return Verdict("correct", (), reading, _("Right."))
    for code, slip in key.slips:
        if chosen == slip:
            return Verdict("wrong", (code,), reading, sentence("choice", code))
    if chosen < key.right:
        return Verdict("partly", ("incomplete",), reading, sentence("choice", "incomplete"))
    return Verdict("wrong", ("off_choice",), reading, sentence("choice", "off_choice"))
