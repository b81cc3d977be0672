"""Strengths rebuilt from the stored answers, in the order of their numbers, never of the clock."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from django.db import transaction

from quizzes import steering
from quizzes.adaptive.state import Strength as Belief
from quizzes.models import Answer, Calibration, Strength, judged
from quizzes.models.answers import AnswerQuerySet

if TYPE_CHECKING:
    from accounts.models import User


def recompute(student: User) -> bool:
    """Rebuild one student's strength row; True where that changed it."""
    with transaction.atomic():
        row = steering.locked(student)
        before = bytes(row.state)
        belief, counted = rebuilt(student)
        if counted:
            steering.keep(row, belief, steering.current())
        else:
            _forget(row)
        row.answers = counted
        row.save()
        return bytes(row.state) != before


def _forget(row: Strength) -> None:
    """Back to the row of a student of whom nothing counts."""
    row.state = b""
    for topic in steering.skill_map().topic_names:
        setattr(row, f"{topic}_mean", None)
        setattr(row, f"{topic}_variance", None)


def rebuilt(student: User) -> tuple[Belief, int]:
    """The belief that the student's answers lead to, and how many of them counted."""
    calibrations = {row.number: steering.frozen(row) for row in Calibration.objects.all()}
    start = steering.start_values()
    belief, counted = Belief.prior(steering.skill_map(), start.parameters), 0
    for answer in counted_in_order(Answer.objects.filter(student=student)):
        belief = steering.moved(belief, answer, calibrations.get(answer.calibration_number, start))
        counted += 1
    return belief, counted


def counted_in_order(answers: AnswerQuerySet) -> Iterator[Answer]:
    """Those that count by the rulings of today, each student's in order of number.

    What a ruling makes count is the first try it was.
    """
    final = judged(answers).filter(final__isnull=False).select_related("question")
    tried: set[tuple[int, int]] = set()
    for answer in final.order_by("student", "number").iterator(chunk_size=500):
        place = (answer.question_id, answer.part)
        answer.score, answer.is_retry = answer.final, place in tried
        tried.add(place)
        yield answer
