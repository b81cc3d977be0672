"""Prepared statements give what the querysets they were made of give, for every set of values.

Source: Django's own querysets, asked beside them.
"""

import uuid
from collections.abc import Callable
from datetime import date
from threading import Thread

import pytest
from django.contrib.auth.models import AnonymousUser
from django.db import IntegrityError, connection, transaction
from django.db.models import QuerySet
from django.utils import timezone

from accounts.models import User
from accounts.prepared import Prepared, PreparedInsert, PreparedUpdate
from problems.generators.setups import SHOWCASE
from quizzes.models import Answer, Question, Strength, StrengthDay
from quizzes.runs import next_question, start_run
from quizzes.steering import MOVED_FIELDS
from tests.conftest import Cast
from tests.factories import UserFactory
from tests.quizzes.conftest import NOW

NAMED = Prepared(lambda name: User.objects.filter(username=name))
QUESTIONS: dict[str, Callable[..., QuerySet]] = {
    "joined": lambda student, key: Question.objects.select_related("run__student").filter(
        run__student=student, public_id=key
    ),
    "one column": lambda student, key: (
        Question.objects.filter(run__student=student).exclude(public_id=key).values_list("skill", flat=True)
    ),
    "columns": lambda student, key: Question.objects.filter(run__student=student, public_id=key).values_list(
        "public_id", "reason", "made_at", "run__ended_at", "snapshot_bytes"
    ),
    "the last": lambda student, key: Question.objects.filter(run__student=student).order_by("-pk")[:1],
    "later": lambda student, at: Question.objects.filter(run__student=student, made_at__lte=at),
    "none": lambda student, at: Question.objects.filter(run__student=student, made_at__gt=at),
}


def asked(student: User) -> Question:
    question = next_question(start_run(student, NOW, SHOWCASE), NOW)
    assert question is not None
    return question


@pytest.mark.parametrize("name", QUESTIONS)
def test_the_rows_are_those_of_the_queryset(cast: Cast, name: str) -> None:
    build = QUESTIONS[name]
    prepared = Prepared(build)
    for student in (cast.student, cast.classmate):
        asked(student)
        question = asked(student)
        value = question.public_id if "key" in build.__code__.co_varnames else NOW
        expected = list(build(student.pk, value))
        with connection.execute_wrapper(_counting := Counting()):
            found = prepared(student.pk, value)
        assert found == expected
        assert _counting.number == 1
        assert prepared.first(student.pk, value) == (expected[0] if expected else None)


class Counting:
    number = 0

    def __call__(self, execute, sql, params, many, context):  # type: ignore[no-untyped-def]
        self.number += 1
        return execute(sql, params, many, context)


def test_joined_rows_need_no_further_query(cast: Cast, django_assert_num_queries: Callable) -> None:
    question = asked(cast.student)
    prepared = Prepared(QUESTIONS["joined"])
    with django_assert_num_queries(1):
        [found] = prepared(cast.student.pk, question.public_id)
        assert found.run.student.display_name == "Ines"
    assert found.snapshot.parts == question.snapshot.parts
    assert found.made_at == NOW


def test_the_queryset_is_built_once(db: None) -> None:
    built = []

    def build(name: object) -> QuerySet:
        built.append(name)
        return User.objects.filter(username=name)

    prepared, people = Prepared(build), [UserFactory(), UserFactory()]
    assert [prepared.first(each.username) for each in people] == people
    assert prepared("nobody") == []
    assert len(built) == 1


@pytest.mark.django_db(transaction=True)
def test_each_thread_asks_on_its_own_connection() -> None:
    people = [UserFactory() for _ in range(6)]
    found: dict[str, set[str]] = {}

    def ask(name: str) -> None:
        found[name] = {user.username for _ in range(50) for user in NAMED(name)}
        connection.close()

    threads = [Thread(target=ask, args=[each.username]) for each in people]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert found == {each.username: {each.username} for each in people}


def test_a_row_locks_only_inside_a_transaction(cast: Cast) -> None:
    asked(cast.student)
    locked = Prepared(lambda student: Strength.objects.select_for_update().filter(student=student))
    with transaction.atomic():
        assert locked(cast.student.pk) == list(Strength.objects.filter(student=cast.student))
    has_locks = connection.features.has_select_for_update
    assert ("FOR UPDATE" in locked.made.here()[-1].sql) == has_locks


def test_an_update_writes_every_kind_of_field(cast: Cast) -> None:
    asked(cast.student)
    asked(cast.classmate)
    row, other = (Strength.objects.get(student=each) for each in (cast.student, cast.classmate))
    move = PreparedUpdate(lambda key: Strength.objects.filter(pk=key), *MOVED_FIELDS)
    for state, mean in ((b"\x00\xff one", 0.25), (b"two", None)):
        new = dict.fromkeys(MOVED_FIELDS, mean) | {"state": state, "answers": 7, "numbered": 9}
        assert move(row.pk, **new) == 1
        row.refresh_from_db()
        assert {name: getattr(row, name) for name in MOVED_FIELDS} == new | {"state": row.state}
        assert bytes(row.state) == state
    kept = Strength.objects.get(pk=other.pk)
    assert [getattr(kept, name) for name in MOVED_FIELDS] == [getattr(other, name) for name in MOVED_FIELDS]
    assert move(row.pk + other.pk, **new) == 0


def test_an_update_leaves_what_the_filter_leaves(cast: Cast) -> None:
    question = asked(cast.student)
    finish = PreparedUpdate(lambda key: Question.objects.filter(pk=key, finished_at=None), "finished_at")
    later = timezone.now()
    assert finish(question.pk, finished_at=NOW) == 1
    assert finish(question.pk, finished_at=later) == 0
    question.refresh_from_db()
    assert question.finished_at == NOW


def answer_to(question: Question, number: int) -> Answer:
    return Answer(
        student=question.run.student,
        question=question,
        number=number,
        token=uuid.uuid4(),
        typed='2 H₂O → "O2" \\ %s',
        verdict="partly",
        score=0.5,
        codes=["unbalanced_atoms"],
        likeness=-(2**62),
        at=NOW,
    )


def test_an_insert_keeps_every_field_and_tells_the_key(cast: Cast) -> None:
    question, give = asked(cast.student), PreparedInsert(Answer)
    for number in (1, 2):
        answer = answer_to(question, number)
        give(answer)
        kept = Answer.objects.get(pk=answer.pk)
        names = [field.attname for field in Answer._meta.concrete_fields]
        assert {name: getattr(kept, name) for name in names} == {
            name: getattr(answer, name) for name in names
        }
        answer.typed = "changed"
        answer.save()
    assert Answer.objects.count() == 2


def test_an_insert_twice_is_refused(cast: Cast) -> None:
    question, give = asked(cast.student), PreparedInsert(Answer)
    give(answer_to(question, 1))
    with pytest.raises(IntegrityError), transaction.atomic():
        give(answer_to(question, 1))
    assert Answer.objects.count() == 1


def test_an_insert_may_change_the_row_that_is_there(cast: Cast) -> None:
    keep = PreparedInsert(StrengthDay, unique=["student", "date"], update=["answers"])
    day = date(2026, 11, 2)
    for answers in (1, 2):
        keep(StrengthDay(student=cast.student, date=day, answers=answers, topics={"redox": [answers]}))
        keep(StrengthDay(student=cast.classmate, date=day, answers=9, topics={}))
    rows = StrengthDay.objects.filter(student=cast.student).values_list("answers", "topics")
    assert list(rows) == [(2, {"redox": [1]})]


def test_who_signs_out_is_nobody(cast: Cast) -> None:
    client = cast.client("student")
    assert client.get("/account/").wsgi_request.user == cast.student
    session = client.session.session_key
    client.post("/account/sign-out/")
    client.cookies["session"] = session
    assert isinstance(client.get("/account/").wsgi_request.user, AnonymousUser)


def test_a_person_put_out_of_use_is_signed_out(cast: Cast) -> None:
    client = cast.client("student")
    User.objects.filter(pk=cast.student.pk).update(is_active=False)
    assert isinstance(client.get("/account/").wsgi_request.user, AnonymousUser)
