"""What students sent in: one list over all classes, a reply, a decision, one or all alike."""

import uuid
from datetime import timedelta

import pytest
from django.urls import reverse
from pytest_django import DjangoAssertNumQueries

from accounts.models import SchoolClass, User
from problems.generators.setups import SHOWCASE
from quizzes.answering import submit
from quizzes.models import Answer, Ruling, Run, SentIn, StandingRuling
from quizzes.practice.sending import send
from quizzes.runs import start_homework, start_run
from tests.conftest import Cast
from tests.factories import HomeworkSetFactory, UserFactory
from tests.quizzes.conftest import NOW, ask_on
from tests.quizzes.test_rule_answer import WRONG


def sent_by(student: User, note: str = "", run: Run | None = None, finished: bool = True) -> SentIn:
    """An answer that the student sent in."""
    question = ask_on(run or start_run(student, NOW, SHOWCASE))
    submit(question, 0, WRONG, uuid.uuid4(), NOW)
    if finished:
        question.finish(NOW)
    return send(question, 0, note, NOW)


def page_of(cast: Cast, person: str = "teacher") -> str:
    return cast.client(person).get(reverse("sent_in")).content.decode()


def reply(cast: Cast, sent: SentIn, person: str = "teacher", **fields: str) -> str:
    url = reverse("look_at", args=[sent.public_id])
    return cast.client(person).post(url, fields, follow=True).content.decode()


def test_the_list_shows_question_answer_verdict_and_note(cast: Cast) -> None:
    sent = sent_by(cast.student, "We write it with chlorine.")
    prompt = sent.question.snapshot.parts[0].prompt.split()[0]
    for person in ("teacher", "co_teacher"):
        page = page_of(cast, person)
        for text in ("Ines", "We write it with chlorine.", "2 Cl^- -&gt; Cl2", "✗ Not right.", prompt):
            assert text in page
    assert "We write it" not in page_of(cast, "outsider")


def test_the_menu_tells_how_many_wait(cast: Cast) -> None:
    url = reverse("classes")
    assert "not looked at yet" not in cast.client("teacher").get(url).content.decode()
    sent_by(cast.student)
    sent = sent_by(cast.classmate)
    assert "<strong>2</strong>" in cast.client("teacher").get(url).content.decode()
    assert "not looked at yet" not in cast.client("outsider").get(url).content.decode()
    sent.close("", cast.teacher, NOW)
    assert "<strong>1</strong>" in cast.client("co_teacher").get(url).content.decode()


def test_it_is_one_list_over_all_present_classes(cast: Cast) -> None:
    other = SchoolClass.objects.start(cast.teacher, "5 C")
    student = UserFactory(display_name="Kim")
    other.add_student(student)
    sent_by(cast.student)
    sent_by(student)
    page = page_of(cast)
    assert "Ines" in page
    assert "Kim" in page
    other.archive(NOW)
    assert "Kim" not in page_of(cast)


def test_a_student_of_two_classes_of_hers_stands_once(cast: Cast) -> None:
    SchoolClass.objects.start(cast.teacher, "5 C").add_student(cast.student)
    sent_by(cast.student)
    assert page_of(cast).count("Ines: ") == 1
    assert SentIn.objects.for_teacher(cast.teacher).open().count() == 1


def test_ruled_right_it_is_closed_and_counts(cast: Cast) -> None:
    sent = sent_by(cast.student)
    page = reply(cast, sent, decision="right", note="You are right.")
    assert "Your decision counts" in page
    sent.refresh_from_db()
    assert (sent.is_open, sent.closed_by, sent.reply) == (False, cast.teacher, "You are right.")
    assert Ruling.objects.get().score == 1
    assert "Nothing is waiting." in page


def test_a_word_without_a_decision(cast: Cast) -> None:
    sent = sent_by(cast.student)
    assert "looked at it" in reply(cast, sent, decision="", note="Count the charges.")
    assert not Ruling.objects.exists()
    assert "Count the charges." in page_of(cast)


def test_while_its_question_is_open_only_a_word_is_possible(cast: Cast) -> None:
    sent = sent_by(cast.student, finished=False)
    assert "still open" in page_of(cast)
    assert "still open" in reply(cast, sent, decision="right")
    sent.refresh_from_db()
    assert sent.is_open
    reply(cast, sent, note="Look at the cathode.")
    sent.refresh_from_db()
    assert not sent.is_open


def test_all_alike_and_later_ones_too(cast: Cast) -> None:
    homework = HomeworkSetFactory(
        author=cast.teacher, classes=[cast.school_class], opens_at=NOW, due_at=NOW + timedelta(days=1)
    )
    sent = sent_by(cast.student, run=start_homework(cast.student, homework, NOW))
    sent_by(cast.classmate, run=start_homework(cast.classmate, homework, NOW))
    assert "and one other answer that was read the same" in page_of(cast)
    page = reply(cast, sent, decision="right", reach="later")
    assert "1 more that is alike, and later ones until you withdraw it" in " ".join(page.split())
    assert Ruling.objects.count() == 2
    standing = StandingRuling.objects.get()
    assert reverse("withdraw_ruling", args=[standing.public_id]) in page
    assert "Withdraw it, and put 2 answers back" in page


def test_a_decision_on_all_alike_replies_to_everyone_who_asked(cast: Cast) -> None:
    homework = HomeworkSetFactory(
        author=cast.teacher, classes=[cast.school_class], opens_at=NOW, due_at=NOW + timedelta(days=1)
    )
    first = sent_by(cast.student, run=start_homework(cast.student, homework, NOW))
    second = sent_by(cast.classmate, run=start_homework(cast.classmate, homework, NOW))
    elsewhere = sent_by(cast.classmate)
    reply(cast, first, decision="right", reach="alike", note="Both of you are right.")
    second.refresh_from_db()
    assert (second.is_open, second.reply) == (False, "Both of you are right.")
    elsewhere.refresh_from_db()
    assert elsewhere.is_open


def test_a_second_reply_changes_nothing(cast: Cast) -> None:
    sent = sent_by(cast.student)
    reply(cast, sent, note="first")
    assert "looked at already" in reply(cast, sent, "co_teacher", decision="right", note="second")
    sent.refresh_from_db()
    assert sent.reply == "first"
    assert not Ruling.objects.exists()


@pytest.mark.parametrize("fields", [{"decision": "splendid"}, {"note": "x" * 301}, {"decision": "withdrawn"}])
def test_nonsense_is_no_reply(cast: Cast, fields: dict[str, str]) -> None:
    sent = sent_by(cast.student)
    assert "Choose one of the decisions" in reply(cast, sent, **fields)
    sent.refresh_from_db()
    assert sent.is_open


@pytest.mark.parametrize("person", ["outsider", "student", "classmate", "staff", "anonymous"])
def test_nobody_else_looks_at_it(cast: Cast, person: str) -> None:
    sent = sent_by(cast.student)
    reply(cast, sent, person, decision="right")
    sent.refresh_from_db()
    assert sent.is_open
    assert not Ruling.objects.exists()


@pytest.mark.parametrize("number", [2, 20])
def test_the_queries_do_not_grow_with_the_list(
    cast: Cast, number: int, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    for _ in range(number):
        student = UserFactory()
        cast.school_class.add_student(student)
        sent_by(student)
    assert Answer.objects.count() == number
    client, url = cast.client("teacher"), reverse("sent_in")
    with django_assert_max_num_queries(12):
        client.get(url)
