"""One door to each run, question and homework set: the object this person has a right to, or 404."""

from __future__ import annotations

import uuid
from typing import TYPE_CHECKING

from django.http import Http404
from django.shortcuts import get_object_or_404

from accounts.prepared import Prepared
from quizzes.models import Answer, HomeworkSet, Question, Run, SentIn, StandingRuling

if TYPE_CHECKING:
    from accounts.models import User

RUN_OF = Prepared(lambda student, public_id: Run.objects.filter(student=student, public_id=public_id))
QUESTION_OF = Prepared(
    lambda student, public_id: Question.objects.select_related("run").filter(
        run__student=student, public_id=public_id
    )
)
RUN_TO_CHANGE = Prepared(
    lambda student, public_id: Run.objects.select_for_update().filter(student=student, public_id=public_id)
)


def own_run(user: User, public_id: uuid.UUID, *, lock: bool = False) -> Run:
    """A student's own run; with `lock`, inside a transaction, no other request changes it meanwhile."""
    run = (RUN_TO_CHANGE if lock else RUN_OF).first(user.pk, public_id)
    if run is None:
        raise Http404
    run.student = user
    return run


def own_question(user: User, public_id: uuid.UUID) -> Question:
    """A question of a student's own run."""
    question = QUESTION_OF.first(user.pk, public_id)
    if question is None:
        raise Http404
    question.run.student = user
    return question


def set_to_do(user: User, public_id: uuid.UUID) -> HomeworkSet:
    """A homework set assigned to a class the student is in."""
    return get_object_or_404(HomeworkSet.objects.for_student(user), public_id=public_id)


def set_of_teacher(user: User, public_id: uuid.UUID) -> HomeworkSet:
    """A homework set of a class that the user teaches."""
    sets = HomeworkSet.objects.filter(
        classes__memberships__user=user, classes__memberships__role="teacher"
    ).distinct()
    return get_object_or_404(sets, public_id=public_id)


def student_of_set(user: User, set_id: uuid.UUID, student_id: uuid.UUID) -> tuple[HomeworkSet, User]:
    """A set that the user assigns, and one of the user's own students who is to do it."""
    homework = set_of_teacher(user, set_id)
    return homework, get_object_or_404(homework.students_of(user), public_id=student_id)


def answer_to_set(user: User, set_id: uuid.UUID, student_id: uuid.UUID, number: int) -> Answer:
    """An answer that one of the user's own students gave to a set of the user's."""
    homework, student = student_of_set(user, set_id, student_id)
    answers = Answer.objects.select_related("question__run", "student")
    return get_object_or_404(answers, student=student, number=number, question__run__homework_set=homework)


def sent_in_to_teacher(user: User, public_id: uuid.UUID) -> SentIn:
    """What a student of one of the user's present classes sent in."""
    mine = SentIn.objects.for_teacher(user).select_related("question__run", "answer__student")
    return get_object_or_404(mine.select_related("answer__question__run"), public_id=public_id)


def standing_of_teacher(user: User, public_id: uuid.UUID) -> StandingRuling:
    """A decision for later answers that the user gave."""
    return get_object_or_404(StandingRuling, by=user, public_id=public_id)
