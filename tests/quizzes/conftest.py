"""A run of the student, begun and with its first question, for tests that answer."""

import uuid
from collections.abc import Callable
from datetime import UTC, datetime

import pytest

from problems.generators.setups import SHOWCASE
from problems.registry import make_question
from quizzes.models import Answer, Question, Run
from quizzes.runs import start_run
from quizzes.snapshots import Snapshot
from tests.conftest import Cast

NOW = datetime(2026, 5, 4, 9, 30, tzinfo=UTC)
SKILL = "redox.half_reaction"

Ask = Callable[..., Question]


def ask_on(run: Run, skill: str = SKILL, seed: int = 1, position: int = 1) -> Question:
    """A question of a chosen skill on a run, as the steering would have stored it."""
    made = make_question(skill, "first_year", seed, run.setup)
    return Question.objects.create(
        run=run,
        position=position,
        skill=skill,
        level="first_year",
        version=made.version,
        seed=seed,
        snapshot_bytes=Snapshot.of(made).pack(),
        reason={"code": "assigned", "topic": made.topic},
        made_at=NOW,
    )


@pytest.fixture
def run(cast: Cast) -> Run:
    return start_run(cast.student, NOW, SHOWCASE)


@pytest.fixture
def question(run: Run) -> Question:
    return ask_on(run)


def key_of(question: Question, part: int = 0) -> str:
    """What a student who knows would type."""
    expected: str = question.snapshot.parts[part].grading["expected"]
    return expected


def fields(typed: str, part: int = 0, token: uuid.UUID | None = None) -> dict[str, object]:
    """The form as the run page sends it."""
    return {"answer": typed, "part": part, "token": token or uuid.uuid4()}


def answers_of(question: Question) -> list[Answer]:
    return list(question.answers.order_by("number"))
