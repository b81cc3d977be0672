"""One step practised by itself: the step of a past question with new numbers, or any step by name.

A run of one question each: the setup is the old one where it gives another question, else a fitting one.
"""

from __future__ import annotations

import uuid
from datetime import datetime

from django.db import transaction
from django.http import Http404, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.http import require_POST

from accounts.guards import reader_of, students_only
from accounts.models import User
from accounts.requests import PageRequest
from problems.conventions import written
from problems.question import Part, Skill
from problems.question import Question as Made
from problems.registry import SKILLS, NotApplicableError, make_question
from quizzes import runs, steering
from quizzes.access import own_question
from quizzes.courses import Course, course_of, levels_upto
from quizzes.models import Question, Run

DRAWS = 6
"""So often another question is looked for."""


@students_only
@require_POST
def same_step(request: PageRequest, question_id: uuid.UUID) -> HttpResponse:
    question = own_question(reader_of(request), question_id)
    if not question.is_over:
        return redirect("run", question.run.public_id)
    student = question.run.student
    course = course_of(student)
    skill = _taught(question.skill, course)
    with written(course.conventions):
        run = _run_of(student, course, _another(question, skill), timezone.now())
    return redirect("run", run.public_id)


@students_only
@require_POST
def one_step(request: PageRequest) -> HttpResponse:
    """A question of a named step, at the student's level as far as the step has it."""
    student = reader_of(request)
    course = course_of(student)
    skill = _taught(request.POST.get("skill", ""), course)
    upto = levels_upto(course.level)
    level = next((level for level in reversed(upto) if level in skill.levels), skill.levels[0])
    with written(course.conventions):
        made = make_question(skill.name, level, _fresh_seed(student, 0))
    return redirect("run", _run_of(student, course, made, timezone.now()).public_id)


def _taught(name: str, course: Course) -> Skill:
    if not course.teaches(name):
        raise Http404
    return SKILLS[name]


def _fresh_seed(student: User, draw: int) -> int:
    """Another number for every run that the student has begun."""
    return steering.seed_of("step", student.public_id, Run.objects.of(student).count(), draw)


def _another(question: Question, skill: Skill) -> Made:
    """The same step with other numbers than `question` had: on its setup if that can be, else on another."""
    level = next((level for level in skill.levels if level == question.level), skill.levels[0])
    student, asked = question.run.student, _essence(question.snapshot.parts)
    made = None
    for draw in range(DRAWS):
        setup = question.run.setup if draw < DRAWS // 2 else None
        try:
            made = make_question(skill.name, level, _fresh_seed(student, draw), setup)
        except NotApplicableError:
            continue
        if _essence(made.parts) != asked:
            return made
    return made or make_question(skill.name, level, _fresh_seed(student, DRAWS))


def _essence(parts: tuple[Part, ...]) -> list[tuple[str, str]]:
    """What makes a question another one to a student: what is asked and what is right."""
    return [(part.prompt, str(part.grading["expected"])) for part in parts]


@transaction.atomic
def _run_of(student: User, course: Course, made: Made, at: datetime) -> Run:
    """A run of this one question, which the student can answer at once; one begun before and left ends."""
    steering.locked(student)
    Run.objects.of(student).of_one_step().open().update(ended_at=at)
    known = steering.within(steering.current(), course.not_taught)
    chance = steering.chances(student, at, known)[made.topic]
    run = Run.objects.create(
        student=student,
        setup_json=made.setup.as_json(),
        conventions=course.conventions.as_json(),
        level=course.level,
        length=1,
        seed=made.seed,
        started_at=at,
    )
    reason = {
        "code": "chosen",
        "topic": made.topic,
        "chance": [chance.mean, chance.low, chance.high],
        "not_taught": sorted(course.not_taught),
    }
    runs.store(run, 1, made, reason, at)
    return run
