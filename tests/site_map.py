"""The addresses of the site, and the written policy about who may open them.

`policy.csv` has one row for each address and method: the name of the address, GET or POST, and the
status that each person of the cast is to get. POST is tried with an empty form. The parts of an
address are filled from `ids`: `class_id`, `student_id` and so on always mean the teacher's class
and the student's own things, so the columns say what others may do with them.
"""

import csv
import uuid
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path

from django.urls import URLPattern, URLResolver, get_resolver, reverse
from django.utils import timezone

from accounts.models import Change, Invitation, User
from problems.generators.setups import SHOWCASE
from quizzes.models import Answer, HomeworkSet, Question, SentIn, StandingRuling
from quizzes.runs import next_question, start_homework, start_run
from tests.conftest import PEOPLE, Cast
from tests.factories import HomeworkSetFactory

POLICY = Path(__file__).parent / "policy.csv"


@dataclass(frozen=True)
class Rule:
    name: str
    method: str
    expected: dict[str, int]

    def __str__(self) -> str:
        return f"{self.method} {self.name}"


def rules() -> list[Rule]:
    with POLICY.open(newline="") as file:
        return [
            Rule(row["address"], row["method"], {person: int(row[person]) for person in PEOPLE})
            for row in csv.DictReader(file)
        ]


def routes() -> dict[str, list[str]]:
    """Each address by its full name, with the names of its changing parts."""
    return dict(_walk(get_resolver().url_patterns, "", []))


def _walk(
    patterns: list[URLPattern | URLResolver], prefix: str, parts: list[str]
) -> Iterator[tuple[str, list[str]]]:
    for pattern in patterns:
        here = [*parts, *pattern.pattern.converters]
        if isinstance(pattern, URLResolver):
            inner = f"{prefix}{pattern.namespace}:" if pattern.namespace else prefix
            yield from _walk(pattern.url_patterns, inner, here)
        else:
            yield f"{prefix}{pattern.name or pattern.pattern}", here


def ids(cast: Cast) -> dict[str, object]:
    """What the changing parts of addresses stand for in the policy."""
    run = start_run(cast.student, timezone.now(), SHOWCASE)
    question = next_question(run, timezone.now())
    assert question is not None
    homework = HomeworkSetFactory(author=cast.teacher, classes=[cast.school_class])
    answer = answered(homework, cast.student, question)
    return {
        "class_id": cast.school_class.public_id,
        "student_id": cast.student.public_id,
        "run_id": run.public_id,
        "question_id": question.public_id,
        "set_id": homework.public_id,
        "number": answer.number,
        "sent_id": SentIn.objects.create(
            student=cast.student, question=answer.question, answer=answer, note="Why?", at=timezone.now()
        ).public_id,
        "ruling_id": StandingRuling.objects.create(
            likeness=1, answer=answer, decision="right", by=cast.teacher, at=timezone.now()
        ).public_id,
        "change_id": Change.objects.record(cast.teacher, "nothing", timezone.now(), {}, {}).public_id,
        "secret": Invitation.objects.issue(timezone.now(), timedelta(days=1)),
    }


def answered(homework: HomeworkSet, student: User, like: Question) -> Answer:
    """An answer of the student to the set, on a question like another that was made before."""
    run = start_homework(student, homework, timezone.now())
    copy = Question.objects.get(pk=like.pk)
    copy.pk, copy.public_id, copy.run, copy.finished_at = None, uuid.uuid4(), run, timezone.now()
    copy.save()
    return Answer.objects.create(
        student=student, question=copy, number=1, token=uuid.uuid4(), typed="H2", verdict="wrong", score=0,
        at=timezone.now(),
    )  # fmt: skip


def address(name: str, parts: dict[str, object]) -> str:
    return reverse(name, kwargs={part: parts[part] for part in routes()[name]})
