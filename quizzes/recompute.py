"""Strengths rebuilt from the stored answers, in the order of their numbers, never of the clock."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from django.db import transaction

from quizzes import steering
from quizzes.adaptive.state import Strength as Belief
from quizzes.models import Answer, Calibration

if TYPE_CHECKING:
    from accounts.models import User


def recompute(student: User) -> bool:
    """Rebuild one student's strength row; True where that changed it."""
    with transaction.atomic():
        row = steering.locked(student)
        before = bytes(row.state)
        belief, counted = rebuilt(student)
        if not counted:
            return False
        row.answers = counted
        steering.keep(row, belief, steering.current())
        row.save()
        return bytes(row.state) != before


def rebuilt(student: User) -> tuple[Belief, int]:
    """The belief that the student's answers lead to, and how many of them counted."""
    calibrations = {row.number: steering.frozen(row) for row in Calibration.objects.all()}
    start = steering.start_values()
    belief, counted = Belief.prior(steering.skill_map(), start.parameters), 0
    for answer in _answers(student):
        belief = steering.moved(belief, answer, calibrations.get(answer.calibration_number, start))
        counted += 1
    return belief, counted


def _answers(student: User) -> Iterator[Answer]:
    answers = Answer.objects.filter(student=student).counted().select_related("question").order_by("number")
    return answers.iterator(chunk_size=500)
