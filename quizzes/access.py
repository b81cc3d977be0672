"""One door to each run, question and homework set: the object this person has a right to, or 404."""

from __future__ import annotations

import uuid
from typing import TYPE_CHECKING

from django.shortcuts import get_object_or_404

from quizzes.models import HomeworkSet, Question, Run

if TYPE_CHECKING:
    from accounts.models import User


def own_run(user: User, public_id: uuid.UUID) -> Run:
    """A student's own run."""
    return get_object_or_404(Run.objects.select_related("homework_set"), student=user, public_id=public_id)


def own_question(user: User, public_id: uuid.UUID) -> Question:
    """A question of a student's own run."""
    questions = Question.objects.select_related("run__homework_set", "run__student")
    return get_object_or_404(questions, run__student=user, public_id=public_id)


def set_to_do(user: User, public_id: uuid.UUID) -> HomeworkSet:
    """A homework set assigned to a class the student is in."""
    return get_object_or_404(HomeworkSet.objects.for_student(user), public_id=public_id)


def set_of_teacher(user: User, public_id: uuid.UUID) -> HomeworkSet:
    """A homework set of a class that the user teaches."""
    sets = HomeworkSet.objects.filter(
        classes__memberships__user=user, classes__memberships__role="teacher"
    ).distinct()
    return get_object_or_404(sets, public_id=public_id)
