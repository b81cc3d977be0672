"""What a teacher's and a student's pages take with ten thousand and with a million answers in the database.

All answers are those of one class of 40, spread over two years; they share a thousand questions, most of
them of practice. The class page reads one row a student, so its time must not grow with the answers; the
others are printed beside it.
Run it on both: `pytest tests/benchmarks/test_class_page.py -m benchmark -s`, and again with DATABASE_URL.
"""

import uuid
from statistics import median
from time import perf_counter

import pytest
from django.db import connection
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from accounts.models import User
from problems.generators.setups import SHOWCASE
from problems.registry import SKILLS, make_question, skills_for
from quizzes.models import Answer, HomeworkSet, Run
from quizzes.runs import store
from tests.conftest import Cast
from tests.factories import HomeworkSetFactory, UserFactory
from tests.quizzes.teaching.test_class_page import practise

STUDENTS, QUESTIONS, FEW, MANY = 40, 1_000, 10_000, 1_000_000
TIMES = 7
MOST_GROWTH = 1.5
"""Times that the class page may take with a hundred times the answers: room for noise, not for growth."""


def fill(cast: Cast, homework: HomeworkSet) -> None:
    """The class with its strengths, its runs and a thousand questions with one answer each."""
    students = [cast.student, cast.classmate]
    students += [UserFactory(username=f"pupil{place}") for place in range(STUDENTS - 2)]
    of_set, of_practice = homework.number, QUESTIONS // STUDENTS - homework.number
    for place, student in enumerate(students):
        if place > 1:
            cast.school_class.add_student(student)
        practise(student, {}, 60, place)
        ask(student, of_practice, None, 1)
        ask(student, of_set, homework, of_practice + 1)


def ask(student: User, count: int, homework: HomeworkSet | None, number: int) -> None:
    """A run that is over; every third answer is wrong."""
    at, skills = timezone.now(), [skill.name for skill in skills_for(SHOWCASE)]
    run = Run.objects.create(
        student=student, homework_set=homework, setup_json=SHOWCASE.as_json(), level="first_year",
        length=count, seed=1, started_at=at, ended_at=at,
    )  # fmt: skip
    for position in range(1, count + 1):
        skill = skills[position % len(skills)]
        made = make_question(skill, SKILLS[skill].levels[0], position, SHOWCASE)
        question = store(run, position, made, {}, at)
        question.finish(at)
        judged = ("wrong", 0, ["wrong_species"]) if position % 3 == 0 else ("correct", 1, [])
        verdict, score, codes = judged
        Answer.objects.create(
            student=student, question=question, number=number, token=uuid.uuid4(), typed="x",
            verdict=verdict, score=score, codes=codes, at=at,
        )  # fmt: skip
        number += 1


def multiply(upto: int) -> None:
    """More answers to the questions of practice, copied by the database, spread over the time before."""
    with connection.cursor() as cursor:
        while (there := Answer.objects.count()) < upto:
            cursor.execute(_copying(there, min(there, upto - there)))
        cursor.execute("ANALYZE")


def _copying(there: int, more: int) -> str:
    """The statement that copies at most so many answers, to further back the more there are."""
    names = ["student_id", "question_id", "part", "typed", "verdict", "score", "codes", "reading", "message"]
    names += ["position", "length", "is_retry", "settles", "hints_seen", "calibration_number", "likeness"]
    back = 730 * there / MANY
    token, at = "gen_random_uuid()", f"at - interval '{back:.6f} days'"
    if connection.vendor == "sqlite":
        token, at = "lower(hex(randomblob(16)))", f"datetime(at, '-{back:.6f} days')"
    kept, practice = ", ".join(names), "SELECT id FROM quizzes_run WHERE homework_set_id IS NULL"
    return (
        f"INSERT INTO quizzes_answer ({kept}, number, token, at) "
        f"SELECT {kept}, number + (SELECT max(number) FROM quizzes_answer), {token}, {at} "
        "FROM quizzes_answer "
        f"WHERE question_id IN (SELECT id FROM quizzes_question WHERE run_id IN ({practice})) LIMIT {more}"
    )


def pages(cast: Cast, homework: HomeworkSet) -> dict[str, tuple[Client, str]]:
    teacher, student = cast.client("teacher"), cast.client("student")
    of_class = [cast.school_class.public_id]
    return {
        "class page": (teacher, reverse("class_page", args=of_class)),
        "class page, steps": (teacher, reverse("class_page", args=of_class) + "?open=redox"),
        "in the lesson": (teacher, reverse("lesson", args=of_class)),
        "what goes wrong": (teacher, reverse("mistakes", args=of_class)),
        "marks": (teacher, reverse("marks", args=of_class)),
        "a set": (teacher, reverse("homework_set", args=[homework.public_id])),
        "progress": (student, reverse("progress")),
        "past questions": (student, reverse("past_questions")),
    }


def took(client: Client, url: str) -> float:
    """The median time of a page [ms], after one that fills the caches."""
    times = []
    for _time in range(TIMES + 1):
        begun = perf_counter()
        assert client.get(url).status_code == 200
        times.append((perf_counter() - begun) * 1000)
    return median(times[1:])


@pytest.mark.django_db
def test_the_class_page_does_not_grow_with_the_answers(cast: Cast) -> None:
    homework = HomeworkSetFactory(author=cast.teacher, classes=[cast.school_class], number=5)
    fill(cast, homework)
    found = {}
    for count in (FEW, MANY):
        multiply(count)
        assert Answer.objects.count() == count
        opened = pages(cast, homework)
        for each in opened.values():  # the rows just written are still on their way through the caches
            took(*each)
        found[count] = {name: took(*each) for name, each in opened.items()}
    print(f"\n{connection.vendor}: {FEW} and {MANY} answers of {STUDENTS} students")
    for name, few in found[FEW].items():
        many = found[MANY][name]
        print(f"  {name}: {few:.0f} ms and {many:.0f} ms, ratio {many / few:.2f}")
    assert found[MANY]["class page"] < MOST_GROWTH * found[FEW]["class page"]
