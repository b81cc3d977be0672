"""What the run page shows, made ready for its templates."""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db.models import Exists, OuterRef, Prefetch, QuerySet

from problems.cell.evidence import evidence
from problems.cell.picture import NOTHING, Hidden, Picture, picture
from problems.cell.setup import Setup
from problems.chain import Carried, carried
from problems.question import Option, Part
from quizzes import steering
from quizzes.adaptive.report import Chance
from quizzes.answering import attempts_allowed, earlier_results
from quizzes.courses import course_of
from quizzes.models import Answer, Question, Ruling, Run, SentIn, judged
from quizzes.practice.facts import setup_facts, setup_title
from quizzes.practice.keys import Key, keys_for
from quizzes.practice.reasons import reason_sentence
from quizzes.topics import topic_title


@dataclass(frozen=True, slots=True)
class ShownOption:
    option: Option
    chosen: bool


@dataclass(frozen=True, slots=True)
class ShownPart:
    """One part of a question as it stands: its box, or what was answered and the solution."""

    index: int
    part: Part
    is_open: bool
    is_next: bool
    last: Answer | None
    is_latest: bool
    options: Sequence[ShownOption]
    several: bool
    keys: Sequence[Key]
    typed: str
    tries_left: int
    hints: Sequence[str]
    hints_left: int
    solution: Sequence[str]
    token: uuid.UUID
    carried: Sequence[Carried]
    is_ruled: bool
    may_be_sent: bool
    may_have_been_sent: bool


@dataclass(frozen=True, slots=True)
class Moved:
    """A topic's chance before this question and now."""

    title: str
    before: float | None
    now: Chance


@dataclass(frozen=True, slots=True)
class ShownQuestion:
    question: Question
    title: str
    reason: str
    parts: Sequence[ShownPart]
    moved: Moved | None
    is_last: bool


@dataclass(frozen=True, slots=True)
class ShownCell:
    """The drawing at one moment, and the facts and cautions of the setup; times in minutes."""

    title: str
    picture: Picture
    minute: float
    minutes: float
    facts: Sequence[tuple[str, str]]
    cautions: Sequence[str]


def hidden_by(question: Question | None) -> frozenset[Hidden]:
    """What the drawing keeps to itself while a question that asks for just that is open."""
    if question is None or question.is_over:
        return NOTHING
    asked: set[Hidden] = set()
    if question.skill == "acid_base.arm_colour":
        asked.add("colour")
    if question.topic == "stoichiometry":
        asked.add("gas")
    return frozenset(asked)


def shown_cell(setup: Setup, at: float, hidden: frozenset[Hidden] = NOTHING) -> ShownCell:
    """The cell after `at` [s] of current."""
    drawn = picture(setup, at, hidden)
    facts, told = setup_facts(setup), evidence(setup).cautions
    return ShownCell(setup_title(setup), drawn, drawn.time / 60, setup.time / 60, facts, told)


def shown_question(question: Question, at: datetime) -> ShownQuestion:
    answers = list(with_teachers(question.answers.order_by("number")))
    open_part = question.open_part()
    latest = answers[-1].number if answers else 0
    parts = [
        _shown_part(
            question, index, part, [each for each in answers if each.part == index], open_part, latest
        )
        for index, part in enumerate(question.snapshot.parts)
    ]
    return ShownQuestion(
        question,
        topic_title(question.topic),
        reason_sentence(question.reason),
        parts,
        _moved(question, at) if any(each.score is not None for each in answers) else None,
        question.position >= question.run.length,
    )


def with_teachers(answers: QuerySet[Answer]) -> QuerySet[Any]:
    """Answers with `ruled` and `sent`: whether a teacher decided on them, whether their part was sent in."""
    sent = SentIn.objects.filter(question=OuterRef("question"), part=OuterRef("part"))
    return answers.annotate(ruled=Exists(Ruling.objects.filter(answer=OuterRef("pk"))), sent=Exists(sent))


def _shown_part(
    question: Question, index: int, part: Part, answers: Sequence[Any], open_part: int | None, latest: int
) -> ShownPart:
    last = answers[-1] if answers else None
    typed = last.typed if last else ""
    counted = sum(1 for each in answers if each.score is not None)
    over = question.is_over
    seen = question.hints_seen
    return ShownPart(
        index,
        part,
        is_open=open_part == index,
        is_next=open_part is not None and index > open_part,
        last=last,
        is_latest=last is not None and last.number == latest,
        options=[ShownOption(option, option.key in typed.split()) for option in part.options],
        several=part.several,
        keys=keys_for(part.grading),
        typed=typed,
        tries_left=attempts_allowed(question) - counted,
        hints=part.hints[:seen] if open_part == index or over else (),
        hints_left=len(part.hints) - seen,
        solution=part.solution if over else (),
        token=uuid.uuid4(),
        carried=carried(question.snapshot.parts, index, earlier_results(question, index)),
        is_ruled=any(each.ruled for each in answers),
        may_be_sent=bool(answers) or over,
        may_have_been_sent=any(each.sent for each in answers) or not answers,
    )


def _moved(question: Question, at: datetime) -> Moved:
    known = steering.within(steering.current(), frozenset(question.reason.get("not_taught", ())))
    now = steering.chances(question.run.student, at, known)[question.topic]
    before = question.reason.get("chance")
    return Moved(topic_title(question.topic), before[0] if before else None, now)


@dataclass(frozen=True, slots=True)
class ShownSummary:
    """The end of a run: each question with how it went, and where the topics stand now."""

    questions: Sequence[tuple[Question, str]]
    topics: Sequence[tuple[str, Chance]]


@dataclass(frozen=True, slots=True)
class Try:
    """One answer to a part, with the chosen options in their own words."""

    verdict: str
    typed: str
    message: str


def tries_of(question: Question) -> Sequence[Try]:
    """Every answer to a question, in the order in which they were given."""
    return [
        _try(answer, question.snapshot.parts[answer.part]) for answer in question.answers.order_by("number")
    ]


def _try(answer: Answer, part: Part) -> Try:
    keys = answer.typed.split()
    chosen = "; ".join(option.text for option in part.options if option.key in keys)
    return Try(
        answer.verdict, chosen if part.options else answer.typed, answer.message if answer.codes else ""
    )


def shown_summary(run: Run, at: datetime) -> ShownSummary:
    questions = run.questions.order_by("position").prefetch_related(judged_answers())
    known = steering.within(steering.current(), course_of(run.student).not_taught)
    chances = steering.chances(run.student, at, known)
    return ShownSummary(
        [(question, outcome_of(list(question.answers.all()))) for question in questions],
        [(topic_title(topic), chance) for topic, chance in chances.items()],
    )


def judged_answers() -> Prefetch[Any]:
    """The answers of questions with the score that stands, in order, for `outcome_of`."""
    return Prefetch("answers", queryset=judged(Answer.objects.order_by("number")))


def outcome_of(answers: Sequence[Any]) -> str:
    """How a question went: by its first answer that counts, which is the one that tells most."""
    finals = [each.final for each in answers if each.final is not None]
    if not finals:
        return "unanswered"
    if finals[0] == 1:
        return "right"
    return "right_later" if max(finals) == 1 else "partly" if max(finals) > 0 else "not_right"
