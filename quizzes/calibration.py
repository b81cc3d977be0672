"""All stored answers as the calibration takes them, and its result kept as a new row."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from django.db import transaction

from quizzes import steering
from quizzes.adaptive import calibrate as fitting
from quizzes.adaptive.history import Answered
from quizzes.models import Answer, Calibration
from quizzes.recompute import counted_in_order


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
    """Refit to all answers; where that moved anything, answers from now on are judged under it."""
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
        _keep(found, at)
    return found


@transaction.atomic
def _keep(found: fitting.Calibration, at: datetime) -> None:
    last = Calibration.objects.select_for_update().order_by("-number").first()
    Calibration.objects.create(
        number=last.number + 1 if last else 1,
        made_at=at,
        answers=found.answers,
        parameters=found.parameters.to_dict(),
        items=found.items.rows(),
    )
