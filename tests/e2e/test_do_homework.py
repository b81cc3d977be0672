"""A homework set as its student does it: from the list to handed in, with leaving and coming back."""

from datetime import timedelta

import pytest
from django.utils import timezone
from playwright.sync_api import Page, expect
from pytest_django.live_server_helper import LiveServer

from quizzes.models import HomeworkSet, Question, Run
from tests.conftest import Cast
from tests.e2e.conftest import Check, SignIn
from tests.factories import HomeworkSetFactory

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def homework(cast: Cast) -> HomeworkSet:
    made: HomeworkSet = HomeworkSetFactory(
        title="Halves",
        author=cast.teacher,
        classes=[cast.school_class],
        number=2,
        skills=["redox.half_reaction"],
    )
    return made


def answer(page: Page, question: Question) -> None:
    page.locator("#answer-0").fill(str(question.snapshot.parts[0].grading["expected"]))
    page.keyboard.press("Enter")
    expect(page.locator("#feedback-0")).to_contain_text("Right.")


def last_question(cast: Cast) -> Question:
    question = Run.objects.get(student=cast.student).current_question()
    assert question is not None
    return question


def row(page: Page, title: str = "Halves") -> str:
    return page.get_by_role("row", name=title).inner_text()


def test_from_the_list_to_handed_in(
    cast: Cast, homework: HomeworkSet, sign_in: SignIn, live_server: LiveServer, check_access: Check
) -> None:
    page = sign_in(cast.student)
    page.goto(live_server.url)
    assert "0 of 2" in row(page)
    assert "later is accepted and marked late" in row(page)
    check_access()
    page.get_by_role("button", name="Begin").click()
    expect(page.get_by_text("Homework: Halves, due")).to_be_visible()
    page.locator("#next").click()
    expect(page.locator("#question-heading")).to_contain_text("Question 1 of 2")
    answer(page, last_question(cast))

    page.get_by_role("link", name="Practice").click()
    assert "1 of 2" in row(page)
    page.get_by_role("button", name="Go on").click()
    expect(page.locator("#feedback-0")).to_contain_text("Right.")
    check_access()
    page.locator("#next").click()
    expect(page.locator("#question-heading")).to_contain_text("Question 2 of 2")
    answer(page, last_question(cast))
    page.get_by_role("button", name="Hand in").click()
    expect(page.get_by_role("heading", name="Handed in")).to_be_focused()
    check_access()

    page.get_by_role("link", name="To the start page").click()
    assert "2 of 2" in row(page)
    page.get_by_role("link", name="handed in").click()
    page.get_by_role("link", name="Half-reaction").first.click()
    expect(page.get_by_role("heading", name="Worked solution")).to_be_visible()
    check_access()


def test_handing_in_before_the_end_is_said_to_be_final(
    cast: Cast, homework: HomeworkSet, sign_in: SignIn, live_server: LiveServer, check_access: Check
) -> None:
    page = sign_in(cast.student)
    page.goto(live_server.url)
    page.get_by_role("button", name="Begin").click()
    page.locator("#next").click()
    expect(page.get_by_role("button", name="Hand in now")).to_be_hidden()
    page.get_by_text("Hand in before the end").click()
    expect(page.get_by_text("what is left counts as not answered")).to_be_visible()
    check_access()
    page.get_by_role("button", name="Hand in now").click()
    expect(page.get_by_role("heading", name="Handed in")).to_be_visible()
    expect(page.locator("form.answer")).to_have_count(0)
    page.goto(live_server.url)
    assert "0 of 2" in row(page)
    expect(page.get_by_role("button", name="Go on")).to_have_count(0)


def test_a_set_that_closes_while_it_is_being_done_says_so(
    cast: Cast, homework: HomeworkSet, sign_in: SignIn, live_server: LiveServer
) -> None:
    page = sign_in(cast.student)
    page.goto(live_server.url)
    page.get_by_role("button", name="Begin").click()
    page.locator("#next").click()
    past = timezone.now() - timedelta(minutes=1)
    HomeworkSet.objects.update(due_at=past, late=HomeworkSet.Late.REFUSED)
    page.locator("#answer-0").fill("2 H2O + 2 e- -> H2 + 2 OH-")
    page.keyboard.press("Enter")
    expect(page.get_by_role("status").filter(has_text="This set is closed by now")).to_be_visible()
    assert not last_question(cast).answers.exists()
    page.get_by_role("link", name="Practice").click()
    assert "closed" in row(page)
