"""Submitting an answer: judged, stored and counted once, with the feedback on the page."""

import uuid

import pytest
from django.urls import reverse

from quizzes.models import Answer, Question, Run, Strength, StrengthDay
from quizzes.recompute import recompute
from tests.conftest import Cast
from tests.quizzes.conftest import answers_of, ask_on, fields, key_of


def url(question: Question) -> str:
    return reverse("answer", args=[question.public_id])


def test_a_right_answer_is_stored_counted_and_ends_the_question(cast: Cast, question: Question) -> None:
    response = cast.client("student").post(url(question), fields(key_of(question)), follow=True)
    question.refresh_from_db()
    (answer,) = answers_of(question)
    assert (answer.verdict, answer.score, answer.number) == ("correct", 1, 1)
    assert question.is_finished
    assert Strength.objects.get(student=cast.student).answers == 1
    assert StrengthDay.objects.get(student=cast.student).answers == 1
    assert "Right." in response.content.decode()
    assert "Worked solution" in response.content.decode()


def test_a_wrong_answer_leaves_the_question_open_and_says_why(cast: Cast, question: Question) -> None:
    typed = " -> ".join(reversed(key_of(question).split(" -> ")))
    response = cast.client("student").post(url(question), fields(typed), follow=True)
    question.refresh_from_db()
    (answer,) = answers_of(question)
    assert (answer.verdict, answer.codes[0]) == ("wrong", "reversed")
    assert not question.is_finished
    assert "Not right" in response.content.decode()
    assert key_of(question) not in response.content.decode()


def test_an_unreadable_answer_costs_nothing_and_shows_where_reading_stopped(
    cast: Cast, question: Question
) -> None:
    client = cast.client("student")
    response = client.post(url(question), fields("2 H2O + 2 e^- -> H2 + 2 OH^- + (Zz"), follow=True)
    (answer,) = answers_of(question)
    assert (answer.verdict, answer.score) == ("unreadable", None)
    assert answer.position is not None
    assert "<mark>" in response.content.decode()
    assert Strength.objects.get(student=cast.student).answers == 0
    client.post(url(question), fields(key_of(question)))
    assert not answers_of(question)[-1].is_retry


def test_the_same_token_again_changes_nothing_and_shows_the_same_feedback(
    cast: Cast, question: Question
) -> None:
    client, token = cast.client("student"), uuid.uuid4()
    first = client.post(
        url(question), fields("Cu^2+ + 2 e^- -> Cu", token=token), headers={"HX-Request": "true"}
    )
    before = bytes(Strength.objects.get(student=cast.student).state)
    again = client.post(url(question), fields(key_of(question), token=token), headers={"HX-Request": "true"})
    assert Answer.objects.count() == 1
    assert bytes(Strength.objects.get(student=cast.student).state) == before
    assert feedback(first.content.decode()) == feedback(again.content.decode())


def feedback(page: str) -> str:
    start = page.index('class="feedback')
    return page[start : page.index("</div>", start)]


def test_a_stale_answer_to_a_finished_question_changes_nothing(cast: Cast, question: Question) -> None:
    client = cast.client("student")
    client.post(url(question), fields(key_of(question)))
    response = client.post(url(question), fields("2 H2O -> 2 H2 + O2"), follow=True)
    assert Answer.objects.count() == 1
    assert "nothing was changed" in response.content.decode()


def test_after_the_last_try_the_solution_is_shown(cast: Cast, question: Question) -> None:
    client = cast.client("student")
    for typed in ("Cu^2+ + 2 e^- -> Cu", "Ag^+ + e^- -> Ag", "2 Cl^- -> Cl2 + 2 e^-"):
        client.post(url(question), fields(typed))
    question.refresh_from_db()
    assert question.is_finished
    assert [answer.is_retry for answer in answers_of(question)] == [False, True, True]


def test_strength_equals_what_recompute_gives(cast: Cast, run: Run) -> None:
    client = cast.client("student")
    for position in range(1, 4):
        question = ask_on(run, seed=position, position=position)
        client.post(url(question), fields("2 Cl^- -> Cl2 + 2 e^-"))
        client.post(url(question), fields(key_of(question)))
    before = Strength.objects.get(student=cast.student)
    assert not recompute(cast.student)
    row = Strength.objects.get(student=cast.student)
    assert row.answers == before.answers == 6
    assert bytes(row.state) == bytes(before.state)


def test_right_answers_raise_the_chance_and_wrong_ones_lower_it(cast: Cast, run: Run) -> None:
    client = cast.client("student")
    client.post(url(ask_on(run, seed=1)), fields("2 Cl^- -> Cl2 + 2 e^-"))
    low = Strength.objects.get(student=cast.student).redox_mean
    question = ask_on(run, seed=2, position=2)
    client.post(url(question), fields(key_of(question)))
    assert Strength.objects.get(student=cast.student).redox_mean > low


@pytest.mark.parametrize("person", ["classmate", "outsiders_student"])
def test_another_students_question_is_not_there(cast: Cast, question: Question, person: str) -> None:
    response = cast.client(person).post(url(question), fields(key_of(question)))
    assert response.status_code == 404
    assert not Answer.objects.exists()


def test_a_question_that_does_not_exist_is_not_there(cast: Cast) -> None:
    response = cast.client("student").post(reverse("answer", args=[uuid.uuid4()]), fields("e"))
    assert response.status_code == 404


@pytest.mark.parametrize(
    "broken", [{"token": "x"}, {"part": "7"}, {"part": "-1"}, {"part": "²"}, {"token": ""}]
)
def test_a_form_that_no_page_made_is_refused(cast: Cast, question: Question, broken: dict[str, str]) -> None:
    response = cast.client("student").post(url(question), {**fields("H2"), **broken})
    assert response.status_code == 400
    assert not Answer.objects.exists()


def test_looking_at_a_question_by_get_is_not_answering(cast: Cast, question: Question) -> None:
    assert cast.client("student").get(url(question)).status_code == 405


@pytest.mark.parametrize("typed", ["", " ", "\x00", "<script>alert(1)</script>", "9**9**9", "(" * 500])
def test_hostile_text_gets_an_answer_and_never_runs(cast: Cast, question: Question, typed: str) -> None:
    response = cast.client("student").post(url(question), fields(typed), follow=True)
    assert response.status_code in (200, 400)
    assert "<script>alert" not in response.content.decode()
