"""Answers are alike where the same was asked, read and judged; whatever differs parts them."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from problems.generators.setups import SHOWCASE
from problems.question import Part
from problems.registry import SKILLS, make_question, skills_for
from quizzes.likeness import likeness
from quizzes.snapshots import Snapshot

SKILL = "redox.half_reaction"
CHOICE = next(skill.name for skill in skills_for(SHOWCASE) if skill.kind == "choice")


def snapshot(skill: str = SKILL, seed: int = 1) -> Snapshot:
    return Snapshot.of(make_question(skill, SKILLS[skill].levels[0], seed, SHOWCASE))


def like(asked: Snapshot, said: str = "2 Cl⁻ → Cl₂ + 2 e⁻", verdict: str = "wrong") -> int:
    return likeness(asked, 0, said, verdict)


def test_it_is_the_same_for_the_same_and_fits_the_column() -> None:
    assert like(snapshot()) == like(Snapshot.unpack(snapshot().pack())) == like(snapshot(seed=2))
    assert 0 <= like(snapshot()) < 2**63


def with_part(change: Callable[[Part], Part]) -> Callable[[Snapshot], Snapshot]:
    return lambda asked: replace(asked, parts=(change(asked.parts[0]), *asked.parts[1:]))


@pytest.mark.parametrize(
    "change",
    [
        lambda asked: replace(asked, setup={**asked.setup, "current": "0.200 A"}),
        lambda asked: replace(asked, lead="Another cell."),
        with_part(lambda part: replace(part, prompt="Write it for the other electrode.")),
        with_part(lambda part: replace(part, grading={**part.grading, "expected": "H2 -> 2 H^+ + 2 e^-"})),
    ],
)
def test_another_question_is_not_alike(change: Callable[[Snapshot], Snapshot]) -> None:
    assert like(change(snapshot())) != like(snapshot())


def test_options_in_another_order_are_another_question() -> None:
    """Their letters are what is stored of a choice."""
    asked = snapshot(CHOICE)
    first, second, *others = asked.parts[0].options
    swapped = (replace(first, text=second.text), replace(second, text=first.text), *others)
    other = replace(asked, parts=(_with_options(asked.parts[0], swapped), *asked.parts[1:]))
    assert likeness(other, 0, "a", "wrong") != likeness(asked, 0, "a", "wrong")


def _with_options(part: Part, options: object) -> Part:
    copy = replace(part)
    object.__setattr__(copy, "options", options)
    return copy


@pytest.mark.parametrize(("said", "verdict"), [("2 Br⁻ → Br₂ + 2 e⁻", "wrong"), (None, "partly")])
def test_another_reading_or_verdict_is_not_alike(said: str | None, verdict: str) -> None:
    assert like(snapshot(), said or "2 Cl⁻ → Cl₂ + 2 e⁻", verdict) != like(snapshot())
