"""A run from its first question to its last: the setup, and what is asked next."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache
from typing import TYPE_CHECKING, Any

import numpy as np
from django.db import transaction

from accounts.prepared import PreparedInsert
from problems import words
from problems.cell.setup import Setup
from problems.generators.setups import propose_setup, setup_and_evidence
from problems.question import LEVELS, Level, Skill
from problems.question import Question as Made
from problems.registry import SKILLS, make_question, skills_for
from quizzes import steering
from quizzes.adaptive.choice import Candidate, Choice, choose
from quizzes.adaptive.choice_run import choose_setup, plan_run
from quizzes.adaptive.state import Strength as Belief
from quizzes.calendar import day_of, day_of_date, local_date
from quizzes.courses import Course, conventions_for_set, course_of, levels_upto
from quizzes.models import HomeworkSet, Question, Run
from quizzes.snapshots import Snapshot

if TYPE_CHECKING:
    from accounts.models import User

RUN_LENGTH = 10
ASK = PreparedInsert(Question)
SETUPS_COMPARED = 4

Asked = tuple[Made, Mapping[str, object]]
"""A made question, and the reason that is kept with it."""


PLANNED = {"weakest": "planned", "next_weakest": "planned"}
"""In a planned run the topic was drawn when the run was begun, not now."""


class NothingToAskError(Exception):
    """No skill of this run can be asked on its setup."""


@dataclass(frozen=True, slots=True)
class Outlook:
    """What the steering goes by: what is in play, the belief, the skills asked lately, the days."""

    known: steering.Frozen
    belief: Belief
    recent: Sequence[str]
    day: float
    exam_day: float | None


def start_run(student: User, at: datetime, setup: Setup | None = None) -> Run:
    """A new run of practice; without a setup, the one that reaches most of what is weak."""
    begun = Run.objects.of(student).count()
    seed = steering.seed_of("run", student.public_id, begun)
    course = course_of(student)
    outlook = _outlook(student, course, course.not_taught, at, skills_lately(student))
    chosen = setup or _proposed_setup(outlook, course, seed)
    run = Run(
        student=student,
        setup_json=chosen.as_json(),
        conventions=course.conventions.as_json(),
        level=course.level,
        length=RUN_LENGTH,
        seed=seed,
        started_at=at,
    )
    run.plan = _plan(run, outlook, course.not_taught)
    with transaction.atomic():
        steering.locked(student)
        run.save()
    return run


def start_homework(student: User, homework: HomeworkSet, at: datetime) -> Run:
    """The student's one run of a homework set; begun before, it is the same run again."""
    run, _ = Run.objects.get_or_create(
        student=student,
        homework_set=homework,
        defaults={
            **_of_set(student, homework, at),
            "plan": lambda: trial_run(student, homework, at).plan,
        },
    )
    return run


def trial_run(student: User, homework: HomeworkSet, at: datetime) -> Run:
    """The run that the set would give this student; stored nowhere."""
    run = Run(student=student, homework_set=homework, **_of_set(student, homework, at))
    if homework.mode == HomeworkSet.Mode.STEERED:
        # A set asks what its teacher chose, practice what is in play.
        outlook = _outlook(student, course_of(student), frozenset(), at, skills_lately(student))
        run.plan = _plan(run, outlook, frozenset())
    return run


def _of_set(student: User, homework: HomeworkSet, at: datetime) -> dict[str, Any]:
    return {
        "setup_json": homework.setup_json,
        "conventions": conventions_for_set(student, homework).as_json(),
        "level": homework.level,
        "length": homework.number,
        "seed": steering.seed_of("set", homework.seed, student.public_id),
        "started_at": at,
    }


def _outlook(
    student: User, course: Course, not_taught: frozenset[str], at: datetime, recent: Sequence[str]
) -> Outlook:
    known, belief = steering.stands(student, at, not_taught)
    exam = course.next_exam(local_date(at, student.time_zone or "UTC"))
    return Outlook(
        known,
        belief,
        recent,
        day_of(at),
        day_of_date(exam) if exam else None,
    )


def skills_lately(student: User) -> list[str]:
    """The skills of the student's last questions, the newest last."""
    return [each.skill for each in Question.objects.lately(student)]


def _plan(run: Run, outlook: Outlook, not_taught: frozenset[str]) -> list[str]:
    """The topics of a run in the order of the chain, from what is seen to what is weighed."""
    known, rng = outlook.known, steering.rng_of(run.seed, "plan")
    choices = plan_run(
        outlook.belief,
        _offered(run, not_taught, known),
        outlook.recent,
        known.items,
        known.parameters,
        rng,
        outlook.day,
        run.length,
        outlook.exam_day,
    )
    return [choice.topic for choice in choices]


def _proposed_setup(outlook: Outlook, course: Course, seed: int) -> Setup:
    """Among a few setups drawn at random, the one on which the weakest skills can be asked."""
    rng = steering.rng_of(seed, "setup")
    draws = [propose_setup(steering.random_of(seed, "setup", place)) for place in range(SETUPS_COMPARED)]
    offers = {str(place): _in_play(setup, course) for place, setup in enumerate(draws)}
    if not any(offers.values()):
        return _setup_for_one(course, seed)
    known = outlook.known
    choice = choose_setup(
        outlook.belief, offers, outlook.recent, known.items, known.parameters, rng, outlook.day
    )
    return draws[int(choice.name)]


def _in_play(setup: Setup, course: Course) -> list[str]:
    steps = {*course.skills}
    return [name for name in askable(setup) if name in steps]


def _setup_for_one(course: Course, seed: int) -> Setup:
    """Where hardly anything is in play: a setup drawn for one of these steps."""
    rng = steering.random_of(seed, "setup for one")
    return setup_and_evidence(SKILLS[rng.choice(course.skills or [*SKILLS])], rng)[0]


def next_question(run: Run, at: datetime) -> Question | None:
    """The question to answer now: the open one, or a new one; None when the run is over.

    Two requests at once make one question: (run, position) is unique and the row of the run is locked.
    """
    with transaction.atomic():
        run.lock()
        return next_of_locked(run, at)


def next_of_locked(run: Run, at: datetime) -> Question | None:
    """The same for a run whose row was read and locked in this transaction."""
    lately = Question.objects.lately(run.student)
    position, finished_at = run.last_made(lately)
    if position and not finished_at:
        return run.current_question()
    position += 1
    if not run.is_open or position > run.length:
        run.end(at)
        return None
    with run.as_written():
        return _make(run, position, at, [each.skill for each in lately])


def _make(run: Run, position: int, at: datetime, recent: Sequence[str]) -> Question:
    made, reason = what_to_ask(run, position, at, recent)
    question = store(run, position, made, reason, at)
    question.so_far = []
    return question


def what_to_ask(run: Run, position: int, at: datetime, recent: Sequence[str]) -> Asked:
    """The question at a position of a run, stored nowhere, and why it is asked. Raises NothingToAskError.

    `recent` are the skills that the student was asked last, the newest last.
    """
    homework = run.homework_set
    if homework is None or homework.mode == HomeworkSet.Mode.STEERED:
        return _steered(run, position, at, recent)
    skills = _allowed(run)
    if not skills:
        raise NothingToAskError(f"Nothing can be asked on {run.setup.electrolyte} in this run.")
    skill = skills[(position - 1) % len(skills)]
    numbers = homework.seed if homework.mode == HomeworkSet.Mode.ONE else run.seed
    made = make_question(
        skill.name, homework_level(skill, homework), steering.seed_of(numbers, position), run.setup
    )
    return made, {"code": "assigned", "topic": skill.topic}


def homework_level(skill: Skill, homework: HomeworkSet) -> Level:
    """The set's level where the skill has it, else the skill's own."""
    wanted = next(level for level in LEVELS if level == homework.level)
    return wanted if wanted in skill.levels else skill.levels[0]


def _steered(run: Run, position: int, at: datetime, recent: Sequence[str]) -> Asked:
    course = course_of(run.student)
    not_taught = frozenset[str]() if run.homework_set else course.not_taught
    outlook = _outlook(run.student, course, not_taught, at, recent)
    offered = _offered(run, not_taught, outlook.known)
    if not offered:
        raise NothingToAskError(f"Nothing can be asked on {run.setup.electrolyte} in this run.")
    planned = _of_plan(run, position, offered)
    choice = _chosen(outlook, planned or offered, steering.rng_of(run.seed, "choice", position))
    level = next(level for level in LEVELS if level == choice.candidate.level)
    made = make_question(choice.candidate.skill, level, steering.seed_of(run.seed, position), run.setup)
    chance = steering.chances_of(outlook.belief, outlook.known)[choice.topic]
    reason = {**steering.reason_of(choice, chance), "not_taught": sorted(not_taught)}
    return made, {**reason, "code": PLANNED.get(reason["code"], reason["code"])} if planned else reason


def _chosen(outlook: Outlook, offered: Sequence[Candidate], rng: np.random.Generator) -> Choice:
    known = outlook.known
    return choose(
        outlook.belief,
        offered,
        outlook.recent,
        known.items,
        known.parameters,
        rng,
        outlook.day,
        outlook.exam_day,
    )


def _offered(run: Run, not_taught: frozenset[str], known: steering.Frozen) -> list[Candidate]:
    """Every question that this run could ask, at its level if there is any."""
    allowed = [skill for skill in _allowed(run) if skill.name not in not_taught]
    at_level = steering.candidates(allowed, levels_upto(run.level), known)
    return at_level or steering.candidates(allowed, LEVELS, known)


def _of_plan(run: Run, position: int, offered: Sequence[Candidate]) -> list[Candidate]:
    """Those of the topic that the plan holds for this position."""
    topics = run.plan[position - 1 : position]
    return [each for each in offered if SKILLS[each.skill].topic in topics]


def _allowed(run: Run) -> list[Skill]:
    wanted = run.homework_set.skills if run.homework_set else None
    return [SKILLS[name] for name in askable(run.setup) if wanted is None or name in wanted]


@lru_cache(maxsize=1024)
def askable(setup: Setup) -> tuple[str, ...]:
    """The names of the skills that can be asked on a setup; the same whatever the language."""
    return tuple(skill.name for skill in skills_for(setup))


def store(run: Run, position: int, made: Made, reason: Mapping[str, object], at: datetime) -> Question:
    """Keep a made question as the run's question at `position`."""
    question = Question(
        run=run,
        position=position,
        skill=made.skill,
        level=made.level,
        version=made.version,
        seed=made.seed,
        language=words.current_language(),
        parts=len(made.parts),
        snapshot_bytes=Snapshot.of(made, run.setup_json).pack(),
        reason=reason,
        made_at=at,
    )
    ASK(question)
    return question
