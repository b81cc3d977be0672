"""What the run page shows, made ready for its templates."""

from __future__ import annotations

import uuid
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache
from typing import Any

from django.db.models import Prefetch
from django.template.loader import render_to_string
from django.utils.safestring import SafeString

from accounts.prepared import Prepared
from problems import words
from problems.cell.evidence import evidence
from problems.cell.picture import NOTHING, Hidden, Picture, picture
from problems.cell.setup import Setup
from problems.chain import Carried, carried
from problems.conventions import Conventions
from problems.conventions import current as current_conventions
from problems.question import Option, Part
from quizzes import steering
from quizzes.adaptive.report import Chance
from quizzes.answering import attempts_allowed, results_before
from quizzes.courses import course_of
from quizzes.models import Answer, Question, Ruling, Run, SentIn, judged
from quizzes.practice.facts import setup_facts, setup_title
from quizzes.practice.keys import Key, keys_for
from quizzes.practice.reasons import reason_sentence
from quizzes.topics import topic_title

RULED = Prepared(
    lambda question: (
        Ruling.objects.filter(answer__question=question).order_by().values_list("answer__part", flat=True)
    )
)
SENT = Prepared(
    lambda question: SentIn.objects.filter(question=question).order_by().values_list("part", flat=True)
)


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
    """A question with its parts up to the open one."""

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
    svg: SafeString
    minute: float
    minutes: float
    facts: Sequence[tuple[str, str]]
    cautions: Sequence[str]


def hidden_by(question: Question | None) -> frozenset[Hidden]:
    """What the drawing keeps to itself while a question that asks for just that is open."""
    return NOTHING if question is None or question.is_over else seen_on_drawing(question)


def seen_on_drawing(question: Question) -> frozenset[Hidden]:
    """What a question asks that the drawing would show."""
    return seen_on(question.skill)


def seen_on(skill: str) -> frozenset[Hidden]:
    """What questions of a step ask that the drawing would show."""
    asked: set[Hidden] = set()
    if skill == "acid_base.arm_colour":
        asked.add("colour")
    if skill.startswith("stoichiometry."):
        asked.add("gas")
    return frozenset(asked)


def shown_cell(setup: Setup, at: float, hidden: frozenset[Hidden] = NOTHING) -> ShownCell:
    """The cell after `at` [s] of current."""
    return _shown_cell(setup, at, hidden, words.current_language(), current_conventions())


@lru_cache(maxsize=256)
def _shown_cell(
    setup: Setup, at: float, hidden: frozenset[Hidden], language: str, written: Conventions
) -> ShownCell:
    drawn = picture(setup, at, hidden)
    title, facts, told = _told(setup, language, written)
    svg = render_to_string("parts/cell.svg", {"picture": drawn})
    return ShownCell(title, drawn, svg, drawn.time / 60, setup.time / 60, facts, told)


@lru_cache(maxsize=256)
def _told(
    setup: Setup, language: str, written: Conventions
) -> tuple[str, Sequence[tuple[str, str]], Sequence[str]]:
    """Title, facts and cautions, which stay as they are while the current flows."""
    return setup_title(setup), setup_facts(setup), evidence(setup).cautions


def shown_question(question: Question, at: datetime, taken: Answer | None = None) -> ShownQuestion:
    """`taken` is the answer that has just come in: where it moved the topics need not be read again."""
    answers = question.so_far
    open_part = question.first_open({each.part for each in answers if each.settles})
    ruled, sent = _by_teachers(question, taken) if answers else (set(), set())
    up_to_open = slice(None if open_part is None else open_part + 1)
    parts = [
        _shown_part(question, index, part, index == open_part, index in ruled, index in sent)
        for index, part in enumerate(question.snapshot.parts[up_to_open])
    ]
    return ShownQuestion(
        question,
        topic_title(question.topic),
        reason_sentence(question.reason),
        parts,
        _moved(question, at, taken) if any(each.score is not None for each in answers) else None,
        question.position >= question.run.length,
    )


def _by_teachers(question: Question, taken: Answer | None) -> tuple[set[int], set[int]]:
    """The parts that a teacher decided on, and those that were sent in: none where the first answer has
    just come in, unless a decision was waiting for it."""
    if taken and question.so_far == [taken] and not taken.met_a_decision:
        return set(), set()
    return {*RULED(question.pk)}, {*SENT(question.pk)}


def _shown_part(
    question: Question, index: int, part: Part, is_open: bool, ruled: bool, sent: bool
) -> ShownPart:
    answers = [each for each in question.so_far if each.part == index]
    last = answers[-1] if answers else None
    typed = last.typed if last else ""
    counted = sum(1 for each in answers if each.score is not None)
    over = question.is_over
    seen = question.hints_seen
    return ShownPart(
        index,
        part,
        is_open=is_open,
        last=last,
        is_latest=last is not None and last is question.so_far[-1],
        options=[ShownOption(option, option.key in typed.split()) for option in part.options],
        several=part.several,
        keys=keys_for(part.grading) if is_open else (),
        typed=typed,
        tries_left=attempts_allowed(question) - counted,
        hints=part.hints[:seen] if is_open or over else (),
        hints_left=len(part.hints) - seen,
        solution=part.solution if over else (),
        token=uuid.uuid4(),
        carried=carried(question.snapshot.parts, index, results_before(question, index)),
        is_ruled=ruled,
        may_be_sent=bool(answers) or over,
        may_have_been_sent=sent or not answers,
    )


def _moved(question: Question, at: datetime, taken: Answer | None) -> Moved:
    before = question.reason.get("chance")
    now = _chances_now(question, at, taken)[question.topic]
    return Moved(topic_title(question.topic), before[0] if before else None, now)


def _chances_now(question: Question, at: datetime, taken: Answer | None) -> Mapping[str, Chance]:
    not_taught = frozenset(question.reason.get("not_taught", ()))
    if taken and taken.chances and not not_taught:
        return taken.chances
    known = steering.within(steering.current(), not_taught)
    return steering.chances(question.run.student, at, known)


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
    """How a question went: right where the first answer to each part was, which tells most."""
    first: dict[int, float] = {}
    best: dict[int, float] = {}
    for each in answers:
        if each.final is not None:
            first.setdefault(each.part, each.final)
            best[each.part] = max(best.get(each.part, 0), each.final)
    if not first:
        return "unanswered"
    if min(first.values()) == 1:
        return "right"
    if min(best.values()) == 1:
        return "right_later"
    return "partly" if max(best.values()) > 0 else "not_right"
