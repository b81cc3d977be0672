"""The demo school: filled by the real code, in a file of its own that alone may be deleted."""

import os
import sqlite3
import subprocess
import sys
from datetime import timedelta
from pathlib import Path
from random import Random

import pytest
from django.utils import timezone

from accounts.models import SchoolClass, User
from problems.grading.case import grade
from problems.registry import SKILLS, make_question
from quizzes.answering import judge
from quizzes.demo import database, school
from quizzes.demo.typist import typed_answer
from quizzes.models import Answer, HomeworkSet, Question, Run, StrengthDay
from quizzes.recompute import recompute

ROOT = Path(__file__).resolve().parents[3]


@pytest.fixture
def small_school(db: None, monkeypatch: pytest.MonkeyPatch) -> User:
    """The same school with one run for each student."""
    monkeypatch.setattr(school, "RUNS_EACH", 1)
    monkeypatch.setattr(school, "CLASSES", (("Group A", "first_year", 3), ("Group B", "second_year", 2)))
    return school.fill(timezone.now(), 1, lambda answers: None).teacher


def test_the_school_is_filled_by_answers_that_were_typed_and_judged(small_school: User) -> None:
    assert SchoolClass.objects.taught_by(small_school).count() == 2
    assert Answer.objects.count() > 5 * 10
    assert Answer.objects.values("verdict").distinct().count() >= 3
    for answer in Answer.objects.exclude(verdict="shown").select_related("question__run")[:40]:
        part = answer.question.snapshot.parts[answer.part]
        typed = answer.typed.split() if part.options else answer.typed
        assert judge(answer.question, answer.part, typed).verdict == answer.verdict


def test_every_strength_follows_from_the_answers(small_school: User) -> None:
    for student in User.objects.taught_by(small_school).select_related("strength"):
        assert student.strength.answers == Answer.objects.counted().filter(student=student).count()
        assert not recompute(student)


def test_each_class_has_a_set_that_is_open_and_that_some_have_done(small_school: User) -> None:
    now = timezone.now()
    for homework in HomeworkSet.objects.all():
        assert homework.opens_at < now < homework.due_at
        done = Run.objects.filter(homework_set=homework).exclude(ended_at=None).count()
        assert 0 < done <= homework.students_of(small_school).count()
    assert HomeworkSet.objects.count() == 2


def test_the_weeks_lie_in_the_past(small_school: User) -> None:
    now = timezone.now()
    moments = Answer.objects.values_list("at", flat=True)
    assert all(now - timedelta(weeks=6, days=1) < at < now for at in moments)
    assert StrengthDay.objects.exists()
    assert not Question.objects.filter(run__ended_at=None, finished_at=None).exists()


@pytest.mark.parametrize("name", sorted(SKILLS))
def test_simulated_students_can_be_right_and_wrong_on_every_skill(name: str) -> None:

    level = SKILLS[name].levels[0]
    judged = {True: set(), False: set()}
    for seed in range(6):
        for part in make_question(name, level, seed).parts:
            for knows, verdicts in judged.items():
                typed = typed_answer(part, knows, Random(seed))
                verdicts.add(grade({**part.grading, "answer": typed}).verdict)
    assert judged[True] == {"correct"}
    assert judged[False] & {"wrong", "partly"}


def demo(folder: Path, *options: str) -> "subprocess.CompletedProcess[str]":
    command = [sys.executable, "manage.py", "demo", "--no-serve", *options]
    env = {**os.environ, "DATA_DIR": str(folder), "DJANGO_SETTINGS_MODULE": "quizzes.settings"}
    return subprocess.run(command, cwd=ROOT, env=env, capture_output=True, text=True, check=False)


def test_a_database_of_somebody_else_is_never_deleted(tmp_path: Path) -> None:
    path = tmp_path / "demo.sqlite3"
    with sqlite3.connect(path) as link:
        link.execute("CREATE TABLE precious (thing TEXT)")
    done = demo(tmp_path, "--reset")
    assert done.returncode != 0
    assert "was not made by the demo" in done.stderr
    assert "Traceback" not in done.stderr
    with sqlite3.connect(path) as link:
        assert link.execute("SELECT count(*) FROM precious").fetchone() == (0,)


def test_a_half_filled_demo_is_not_taken_for_a_full_one(tmp_path: Path) -> None:
    path = tmp_path / "demo.sqlite3"
    database.start_over(path)
    assert not database.is_filled(path)
    database.set_filled(path)
    assert database.is_filled(path)
    database.start_over(path)
    assert not database.is_filled(path)


def test_a_second_start_changes_nothing_and_a_later_one_brings_new_tables(tmp_path: Path) -> None:
    path = tmp_path / "demo.sqlite3"
    database.start_over(path)
    database.set_filled(path)
    assert demo(tmp_path).returncode == 0
    before = contents(path)
    assert any("quizzes_answer" in line for line in before)
    done = demo(tmp_path)
    assert "linden" in done.stdout
    assert contents(path) == before
    assert database.is_filled(path)


def contents(path: Path) -> list[str]:
    with sqlite3.connect(path) as link:
        return list(link.iterdump())
