"""The demo school: invented people, and six weeks of practice through the same code as the pages."""

from __future__ import annotations

import uuid
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from math import exp
from random import Random

from django.db import transaction

from accounts.models import SchoolClass, User
from problems.generators.setups import OFFERED, SHOWCASE
from problems.question import Part
from quizzes import answering, runs
from quizzes.demo.typist import Typed, typed_answer
from quizzes.models import HomeworkSet, Question, Run
from quizzes.steering import skill_map

PASSWORD = "graphite-rods"
TEACHER = "linden"
STUDENT = "basil"
WEEKS = 6
RUNS_EACH = 9
CHOOSES_THE_CELL = 0.8
"""How often a student picks the cell; else the one that is proposed is taken."""
SET = ("acid_base.arm_colour", "redox.half_reaction", "balancing.overall", "stoichiometry.gas_ratio")
LEVEL_STEP = {"first_year": -0.6, "second_year": 0.6}
CLASSES = (("First year, group A", "first_year", 21), ("Second year, group B", "second_year", 20))
NAMES = (
    *("Ada", "Basil", "Cleo", "Dario", "Edda", "Falk", "Gitta", "Hanno", "Ilka", "Jona", "Kaja", "Lorin"),
    *("Mika", "Nele", "Ole", "Pia", "Quirin", "Rike", "Sanna", "Till", "Ulla", "Vito", "Wanda", "Xenia"),
    *("Yuri", "Zoe", "Anouk", "Bela", "Cosma", "Dunja", "Emre", "Fenja", "Goran", "Hedda", "Ivo", "Juna"),
    *("Kimo", "Leda", "Marek", "Nilo", "Oona"),
)


@dataclass(frozen=True, slots=True)
class Nature:
    """What a simulated student really is like: strength by skill, and what an answer teaches."""

    strengths: dict[str, float]
    gain: float

    def chance(self, skill: str, level: str) -> float:
        """The true chance of getting a question of this skill right."""
        return 0.03 + 0.94 / (1 + exp(LEVEL_STEP[level] - self.strengths[skill]))


@dataclass(frozen=True, slots=True)
class School:
    """Its teacher, and what each student is really like in the end, by the student's key."""

    teacher: User
    natures: dict[int, Nature]


def fill(at: datetime, seed: int, step: Callable[[int], object]) -> School:
    """Make the school as it stands at `at`; `step` is told of every answer."""
    rng = Random(f"demo/{seed}")
    with transaction.atomic():
        teacher = User.objects.create_user(TEACHER, PASSWORD, display_name="Ms Linden", is_teacher=True)
        groups = [_group(teacher, name, level, at) for name, level, _ in CLASSES]
        students = _students(groups, teacher.password)
    class_leanings = [_leaning(rng) for _ in CLASSES]
    natures: dict[int, Nature] = {}
    for place, student in enumerate(students):
        nature = natures[student.pk] = _nature(class_leanings[place >= CLASSES[0][2]], rng)
        with transaction.atomic():
            _practise(student, nature, at, Random(f"demo/{seed}/{place}"), step)
    for group in groups:
        with transaction.atomic():
            _homework(teacher, group, natures, at, Random(f"demo/{seed}/set"), step)
    return School(teacher, natures)


def _group(teacher: User, name: str, level: str, at: datetime) -> SchoolClass:
    exam = (at + timedelta(weeks=3)).date()
    return SchoolClass.objects.start(teacher, name, level=level, exam_date=exam)


def _students(groups: list[SchoolClass], password_hash: str) -> list[User]:
    """One hash for all: forty argon2 hashes would take longer than a week of their practice."""
    made = []
    sizes = [size for _, _, size in CLASSES]
    for place, name in enumerate(NAMES[: sum(sizes)]):
        user = User(username=name.casefold(), display_name=name, password=password_hash)
        user.save()
        groups[place >= sizes[0]].add_student(user)
        made.append(user)
    return made


def _leaning(rng: Random) -> dict[str, float]:
    """What a whole class is better or worse at."""
    return {topic: rng.gauss(0, 0.45) for topic in skill_map().topic_names}


def _nature(leaning: dict[str, float], rng: Random) -> Nature:
    overall = 0.3 + rng.gauss(0, 0.9)
    own = {topic: shift + rng.gauss(0, 0.6) for topic, shift in leaning.items()}
    known = skill_map()
    strengths = {
        skill: overall + own[topic] + rng.gauss(0, 0.5)
        for skill, topic in zip(known.skills, known.topics, strict=True)
    }
    return Nature(strengths, 0.06)


def _practise(
    student: User, nature: Nature, end: datetime, rng: Random, step: Callable[[int], object]
) -> None:
    days = sorted(rng.sample(range(1, 7 * WEEKS), RUNS_EACH), reverse=True)
    for day in days:
        at = end - timedelta(days=day) + timedelta(minutes=rng.randrange(0, 300))
        chosen = rng.choice(list(OFFERED.values())) if rng.random() < CHOOSES_THE_CELL else None
        run = runs.start_run(student, at, chosen)
        _do(run, nature, at, rng, step)


def _homework(
    teacher: User,
    group: SchoolClass,
    natures: dict[int, Nature],
    at: datetime,
    rng: Random,
    step: Callable[[int], object],
) -> None:
    """A set on the showcase cell, due in two days; every other student has done it."""
    homework = HomeworkSet.objects.create(
        author=teacher, title="Gas and colours", skills=[*SET], level=group.level, number=len(SET),
        setup_json=SHOWCASE.as_json(), seed=rng.randrange(2**31), opens_at=at - timedelta(days=3),
        due_at=at + timedelta(days=2), made_at=at - timedelta(days=3),
    )  # fmt: skip
    homework.classes.add(group)
    for student in list(User.objects.students_of(group))[::2]:
        begun = at - timedelta(hours=20) + timedelta(minutes=rng.randrange(0, 600))
        _do(runs.start_homework(student, homework, begun), natures[student.pk], begun, rng, step)


def _do(run: Run, nature: Nature, at: datetime, rng: Random, step: Callable[[int], object]) -> None:
    while (question := runs.next_question(run, at)) is not None:
        at = _answer(question, nature, at, rng, step)
        at += timedelta(seconds=rng.randrange(15, 60))


def _answer(
    question: Question, nature: Nature, at: datetime, rng: Random, step: Callable[[int], object]
) -> datetime:
    """Answer each part as this student would, trying again now and then, until all are settled."""
    for index, part in enumerate(question.snapshot.parts):
        skill = part.skill or question.skill
        while True:
            at += timedelta(seconds=rng.randrange(20, 90))
            answer = answering.submit(
                question, index, _typed(part, skill, question.level, nature, rng), _token(rng), at
            )
            step(1)
            nature.strengths[skill] += nature.gain
            if answer.settles:
                break
            if answer.score is not None and rng.random() < 0.5:
                answering.show(question, _token(rng), at)
                return at
    return at


def _typed(part: Part, skill: str, level: str, nature: Nature, rng: Random) -> Typed:
    """Right as often as this student's strength makes it, under the simulated truth."""
    return typed_answer(part, rng.random() < nature.chance(skill, level), rng)


def _token(rng: Random) -> uuid.UUID:
    return uuid.UUID(int=rng.getrandbits(128), version=4)
