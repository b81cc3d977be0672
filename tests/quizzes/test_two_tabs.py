"""One student answers in two tabs at once: both answers are kept, and the strength counts both."""

import threading
import uuid
from concurrent.futures import ThreadPoolExecutor

import pytest
from django.db import connection
from django.test import Client
from django.urls import reverse

from problems.generators.setups import SHOWCASE
from quizzes.answering import ClosedError, submit
from quizzes.models import Answer, Question, Run, Strength
from quizzes.recompute import recompute
from quizzes.runs import start_run
from tests.conftest import Cast
from tests.quizzes.conftest import NOW, ask_on, fields, key_of

pytestmark = pytest.mark.django_db(transaction=True)

ROUNDS = 5


def in_two_tabs(cast: Cast, sent: list[tuple[Question, dict[str, object]]]) -> list[str]:
    """Post at the same moment, each from a thread with a connection of its own; the pages."""
    meet = threading.Barrier(len(sent))
    clients = [cast.client("student") for _ in sent]

    def post(client: Client, question: Question, given: dict[str, object]) -> str:
        meet.wait(timeout=10)
        try:
            url = reverse("answer", args=[question.public_id])
            return client.post(url, given, headers={"HX-Request": "true"}).content.decode()
        finally:
            connection.close()

    with ThreadPoolExecutor(len(sent)) as tabs:
        tasks = [tabs.submit(post, client, *each) for client, each in zip(clients, sent, strict=True)]
        return [task.result(timeout=30) for task in tasks]


def two_runs(cast: Cast) -> list[Run]:
    return [start_run(cast.student, NOW, SHOWCASE) for _ in range(2)]


def test_answers_to_two_questions_at_once_are_both_kept_and_counted(cast: Cast) -> None:
    runs = two_runs(cast)
    for place in range(1, ROUNDS + 1):
        questions = [ask_on(run, seed=place, position=place) for run in runs]
        pages = in_two_tabs(cast, [(each, fields(key_of(each))) for each in questions])
        assert all('class="feedback correct"' in page for page in pages)
    numbers = list(
        Answer.objects.filter(student=cast.student).order_by("number").values_list("number", flat=True)
    )
    assert numbers == list(range(1, 2 * ROUNDS + 1))
    row = Strength.objects.get(student=cast.student)
    assert (row.numbered, row.answers) == (2 * ROUNDS, 2 * ROUNDS)
    before = bytes(row.state)
    recompute(cast.student)
    row.refresh_from_db()
    assert bytes(row.state) == before


def test_the_same_submit_twice_at_once_is_one_answer(cast: Cast) -> None:
    [run, _] = two_runs(cast)
    question = ask_on(run)
    given = fields(key_of(question))
    pages = in_two_tabs(cast, [(question, given), (question, given)])
    assert all('class="feedback correct"' in page for page in pages)
    assert Answer.objects.filter(student=cast.student).count() == 1


def test_what_another_tab_has_finished_meanwhile_is_finished_here_too(cast: Cast) -> None:
    """Both read the question before either answer was kept."""
    made, token = ask_on(two_runs(cast)[0]), uuid.uuid4()
    here, there = (Question.objects.select_related("run").get(pk=made.pk) for _ in range(2))
    answer = submit(here, 0, key_of(made), token, NOW)
    assert submit(there, 0, key_of(made), token, NOW) == answer
    assert there.is_finished
    with pytest.raises(ClosedError):
        submit(there, 0, key_of(made), uuid.uuid4(), NOW)


def test_the_next_question_asked_for_twice_at_once_is_one(cast: Cast) -> None:
    [run, _] = two_runs(cast)
    url, meet = reverse("next_question", args=[run.public_id]), threading.Barrier(2)
    clients = [cast.client("student") for _ in range(2)]

    def ask(client: Client) -> int:
        meet.wait(timeout=10)
        try:
            return client.post(url, headers={"HX-Request": "true"}).status_code
        finally:
            connection.close()

    with ThreadPoolExecutor(2) as tabs:
        assert list(tabs.map(ask, clients)) == [200, 200]
    assert run.questions.count() == 1


def test_two_tries_at_once_are_a_first_and_a_second_one(cast: Cast) -> None:
    [run, _] = two_runs(cast)
    question = ask_on(run)
    in_two_tabs(cast, [(question, fields("2 H2O -> H2")), (question, fields("H2O -> 3 H2"))])
    answers = Answer.objects.filter(student=cast.student).order_by("number")
    assert [each.is_retry for each in answers if each.score is not None] == [False, True]


def test_a_token_of_another_question_gives_the_first_answer_back(cast: Cast) -> None:
    """Tokens are unique for a student: what was sent with one is never stored a second time."""
    questions = [ask_on(run) for run in two_runs(cast)]
    token = uuid.uuid4()
    client = cast.client("student")
    for question in questions:
        url = reverse("answer", args=[question.public_id])
        assert client.post(url, fields(key_of(question), token=token), follow=True).status_code == 200
    assert [each.question_id for each in Answer.objects.all()] == [questions[0].pk]
