"""A set tried out: the questions that a student would get, answered on the page and kept nowhere.

Nothing here writes to the database. What was typed so far travels with the page, and is judged anew
each time, as the questions are made anew from the same numbers.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from problems import chain
from problems.chain import Carried, carried
from problems.question import Part
from quizzes import runs
from quizzes.answering import attempts_allowed
from quizzes.models import Answer, HomeworkSet, Question, Run
from quizzes.models.runs import REMEMBERED
from quizzes.practice.keys import Key, keys_for
from quizzes.practice.reasons import reason_sentence
from quizzes.practice.shown import ShownOption
from quizzes.snapshots import Snapshot
from quizzes.topics import topic_title

if TYPE_CHECKING:
    from accounts.models import User


@dataclass(frozen=True, slots=True)
class Example:
    """A question of the set as this student would get it; its row is stored nowhere."""

    question: Question
    title: str
    reason: str


@dataclass(frozen=True, slots=True)
class Tried:
    """What was typed for a part."""

    part: int
    typed: str


@dataclass(frozen=True, slots=True)
class TrialPart:
    """One part as it stands after what was tried, with the names that the feedback template reads."""

    index: int
    part: Part
    is_open: bool
    last: Answer | None
    options: Sequence[ShownOption]
    keys: Sequence[Key]
    typed: str
    tries_left: int
    hints: Sequence[str]
    hints_left: int
    solution: Sequence[str]
    carried: Sequence[Carried]


def examples(homework: HomeworkSet, student: User, at: datetime) -> Iterator[Example]:
    """The questions of the set in their order; where they are chosen for each student, as if each had
    been answered without telling anything new."""
    run = runs.trial_run(student, homework, at)
    recent = runs.skills_lately(student)
    for position in range(1, homework.number + 1):
        with run.as_written():
            made, reason = runs.what_to_ask(run, position, at, recent[-REMEMBERED:])
        recent.append(made.skill)
        question = Question(
            run=run,
            position=position,
            skill=made.skill,
            level=made.level,
            version=made.version,
            seed=made.seed,
            parts=len(made.parts),
            snapshot_bytes=Snapshot.of(made, run.setup_json).pack(),
        )
        yield Example(question, topic_title(made.topic), reason_sentence(reason))


def example(homework: HomeworkSet, student: User, position: int, at: datetime) -> Example:
    """The question at one position [1 to the set's number]."""
    return next(each for each in examples(homework, student, at) if each.question.position == position)


class Trial:
    """The answers tried on one question, judged in their order."""

    def __init__(self, question: Question, tried: Sequence[Tried], hints: int, shown: bool) -> None:
        self.question, self.hints, self.shown = question, hints, shown
        self.parts = question.snapshot.parts
        self.allowed = attempts_allowed(question)
        self.answers: list[Answer] = []
        for each in tried:
            if each.part == self.open_part():
                self.answers.append(self._judged(each))

    @property
    def run(self) -> Run:
        return self.question.run

    def open_part(self) -> int | None:
        """The part to answer now; None when the question is over."""
        settled = {answer.part for answer in self.answers if answer.settles}
        return None if self.shown else self.question.first_open(settled)

    def _judged(self, tried: Tried) -> Answer:
        part = self.parts[tried.part]
        typed = tried.typed.split() if part.options else tried.typed
        verdict = chain.judge(self.parts, tried.part, typed, self._earlier(tried.part)).verdict
        answer = Answer(question=self.question, part=tried.part, typed=tried.typed)
        answer.take(verdict)
        tries = sum(each.score is not None for each in self._of(tried.part))
        answer.settles = answer.is_right or (verdict.counts and tries + 1 >= self.allowed)
        return answer

    def _of(self, part: int) -> list[Answer]:
        return [answer for answer in self.answers if answer.part == part]

    def _earlier(self, part: int) -> dict[int, str]:
        carries = self.parts[part].carries
        counted = [answer for answer in self.answers if answer.score is not None]
        return {answer.part: answer.typed for answer in counted if answer.part in carries}

    def shown_parts(self) -> list[TrialPart]:
        """The parts reached so far; all of them when the question is over."""
        now = self.open_part()
        return [self._part(index) for index in range(len(self.parts)) if now is None or index <= now]

    def _part(self, index: int) -> TrialPart:
        part, answers, now = self.parts[index], self._of(index), self.open_part()
        last = answers[-1] if answers else None
        typed = last.typed if last else ""
        return TrialPart(
            index,
            part,
            index == now,
            last,
            [ShownOption(option, option.key in typed.split()) for option in part.options],
            keys_for(part.grading),
            typed,
            self.allowed - sum(answer.score is not None for answer in answers),
            part.hints[: self.hints] if index == now or now is None else (),
            len(part.hints) - self.hints,
            part.solution if now is None else (),
            carried(self.parts, index, self._earlier(index)),
        )
