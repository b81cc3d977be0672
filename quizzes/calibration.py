"""All stored answers as the calibration takes them, and its result kept as a new row."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import datetime, timedelta

from quizzes import steering
from quizzes.adaptive import calibrate as fitting
from quizzes.adaptive.history import Answered
from quizzes.models import Answer, Calibration, Strength
from quizzes.recompute import counted_in_order, judge_anew

REST, NEW_ANSWERS = timedelta(hours=20), 100
"""A calibration is due once a day, when so many answers have come in since the last."""


def stored_answers() -> Iterator[Answered]:
    """Every answer that counts, rulings applied, to a skill of today; each student's in order."""
    start, known = steering.start_values(), set(steering.skill_map().skills)
    for answer in counted_in_order(Answer.objects.all()):
        told = _answered(answer, start)
        if told.skill in known:
            yield told


def _answered(answer: Answer, start: steering.Frozen) -> Answered:
    question = answer.question
    part = question.snapshot.parts[answer.part]
    told = steering.observation(answer, question, start.items, start.parameters)
    return Answered(
        student=answer.student_id,
        skill=told.skill,
        level=steering.level_asked(told.skill, question.level),
        score=told.score,
        day=told.day,
        guess=1 / len(part.options) if part.options else None,
        weight=told.weight,
        shift=told.shift,
    )


def calibrate(at: datetime) -> fitting.Calibration:
    """Refit to all answers; where that moved anything, answers from now on are judged under it.

    `judge_all_anew` lets those given so far follow.
    """
    known = steering.current()
    found = fitting.calibrate(
        stored_answers(),
        steering.skill_map(),
        steering.offered_levels(),
        known.parameters,
        known.items,
        steering.start_values().parameters,
    )
    if not found.refused:
        _keep(found, known.number + 1, at)
    return found


def _keep(found: fitting.Calibration, number: int, at: datetime) -> None:
    """Keep what was found, unless another process came first with the same number."""
    values = {
        "made_at": at,
        "answers": found.answers,
        "parameters": found.parameters.to_dict(),
        "items": found.items.rows(),
    }
    Calibration.objects.get_or_create(number=number, defaults=values)


def is_due(at: datetime) -> bool:
    """Whether the last calibration is a day old and enough has been answered since."""
    last = Calibration.objects.order_by("-number").first()
    answers = Answer.objects.counted()
    if last is None:
        return answers.count() >= fitting.ENOUGH_ANSWERS
    return at - last.made_at >= REST and answers.since(last.made_at).count() >= NEW_ANSWERS


def judge_all_anew(step: Callable[[], object] = lambda: None) -> int:
    """Every student's answers so far, counted by the newest calibration; how many students there were.

    A class nobody knew is read much better so: its first answers were judged by guesses. One short
    transaction a student, so that whoever is answering waits for nobody else.
    """
    number = steering.current().number
    rows = list(Strength.objects.select_related("student").order_by("student"))
    for row in rows:
        judge_anew(row.student, number)
        step()
    return len(rows)
