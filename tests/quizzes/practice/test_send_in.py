"""A student asks the teacher to look at an answer, and sees what became of it."""

import uuid
from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from quizzes.answering import show, submit
from quizzes.models import Question, Run, SentIn
from quizzes.practice import sending
from quizzes.rulings import rule
from tests.conftest import Cast
from tests.quizzes.conftest import NOW, ask_on
from tests.quizzes.test_rule_answer import WRONG


@pytest.fixture
def answered(question: Question) -> Question:
    submit(question, 0, WRONG, uuid.uuid4(), NOW)
    return question


def post(cast: Cast, question: Question, person: str = "student", **fields: object) -> str:
    url = reverse("send_in", args=[question.public_id])
    return cast.client(person).post(url, {"part": 0, **fields}, follow=True).content.decode()


def past_page(cast: Cast, question: Question) -> str:
    return cast.client("student").get(reverse("past_question", args=[question.public_id])).content.decode()


def test_an_answer_of_practice_is_sent_from_the_run_page_with_a_note(cast: Cast, answered: Question) -> None:
    page = cast.client("student").get(reverse("run", args=[answered.run.public_id])).content.decode()
    assert "Ask my teacher to look at this" in page
    page = post(cast, answered, note="We write it with chlorine.")
    assert "Sent to your teacher." in page
    assert "not looked at yet" in page
    sent = SentIn.objects.get()
    assert (sent.student, sent.note) == (cast.student, "We write it with chlorine.")
    assert sent.answer == answered.answers.get()


def test_nothing_is_offered_before_an_answer(cast: Cast, question: Question) -> None:
    page = cast.client("student").get(reverse("run", args=[question.run.public_id])).content.decode()
    assert "Ask my teacher" not in page
    assert "answer first" in post(cast, question)
    assert not SentIn.objects.exists()


def test_a_question_left_unanswered_can_be_sent_in_when_the_run_is_over(
    cast: Cast, question: Question
) -> None:
    question.run.end(NOW)
    assert "Ask my teacher to look at this" in past_page(cast, question)
    post(cast, question, note="Which electrode is meant?")
    assert SentIn.objects.get().answer is None
    assert "not looked at yet" in past_page(cast, question)


def test_the_solution_that_was_shown_can_be_asked_about(cast: Cast, question: Question) -> None:
    answer = show(question, uuid.uuid4(), NOW)
    post(cast, question, note="Why water?")
    assert SentIn.objects.get().answer == answer


def test_twice_is_once_until_it_was_looked_at(cast: Cast, answered: Question) -> None:
    post(cast, answered, note="first")
    post(cast, answered, note="second")
    assert [sent.note for sent in SentIn.objects.all()] == ["first"]
    SentIn.objects.get().close("Look at the charges.", cast.teacher, NOW)
    answered.finish(NOW)
    page = past_page(cast, answered)
    assert "Ms Vera looked at it on" in page
    assert "Look at the charges." in page
    post(cast, answered, note="third")
    assert SentIn.objects.count() == 2


def test_the_students_list_shows_state_reply_and_decision(cast: Cast, answered: Question) -> None:
    url = reverse("my_sent_in")
    assert "Nothing yet" in cast.client("student").get(url).content.decode()
    post(cast, answered, note="Is this not the same?")
    assert "not looked at yet" in cast.client("student").get(url).content.decode()
    answered.finish(NOW)
    rule(answered.answers.get(), "partly", "", cast.teacher, NOW)
    SentIn.objects.get().close("Half of it.", cast.teacher, NOW)
    page = cast.client("student").get(url).content.decode()
    for text in ("Is this not the same?", "Half of it.", "<strong>partly right</strong>"):
        assert text in page
    assert "Half of it." not in cast.client("classmate").get(url).content.decode()


def test_a_decision_on_practice_is_seen_beside_the_answer(cast: Cast, answered: Question) -> None:
    answered.finish(NOW)
    assert "decided" not in past_page(cast, answered)
    rule(answered.answers.get(), "right", "As we write it.", cast.teacher, NOW)
    assert "As we write it." in past_page(cast, answered)


@pytest.mark.parametrize("fields", [{"note": "x" * 501}, {"part": "-1"}, {"part": "x"}, {"part": "7"}])
def test_nonsense_is_not_sent(cast: Cast, answered: Question, fields: dict[str, str]) -> None:
    assert "notice error" in post(cast, answered, **fields)
    assert not SentIn.objects.exists()


def test_without_a_present_class_there_is_nobody_to_send_it_to(cast: Cast, answered: Question) -> None:
    cast.school_class.archive(NOW)
    assert "You are in no class" in post(cast, answered)
    assert not SentIn.objects.exists()


def test_what_waits_is_bounded(
    cast: Cast, run: Run, answered: Question, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sending, "OPEN_AT_MOST", 1)
    second = ask_on(run, seed=2, position=2)
    submit(second, 0, WRONG, uuid.uuid4(), NOW)
    post(cast, answered)
    assert "Wait until some of it was looked at" in post(cast, second)
    SentIn.objects.get().close("", cast.teacher, NOW)
    post(cast, second)
    assert SentIn.objects.count() == 2


@pytest.mark.parametrize("person", ["classmate", "outsiders_student", "teacher", "staff", "anonymous"])
def test_nobody_sends_for_another(cast: Cast, answered: Question, person: str) -> None:
    post(cast, answered, person)
    assert not SentIn.objects.exists()


def test_the_start_page_tells_of_replies_of_the_last_week(cast: Cast, answered: Question) -> None:
    def start_page() -> str:
        return cast.client("student").get(reverse("home")).content.decode()

    post(cast, answered)
    assert "looked at something you sent in" not in start_page()
    sent = SentIn.objects.get()
    sent.close("Yes.", cast.teacher, timezone.now())
    assert "looked at something you sent in" in start_page()
    SentIn.objects.filter(pk=sent.pk).update(closed_at=timezone.now() - timedelta(days=8))
    assert "looked at something you sent in" not in start_page()
