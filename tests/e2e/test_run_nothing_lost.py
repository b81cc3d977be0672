"""What is typed survives a reload and a lost connection, and counts once."""

import pytest
from playwright.sync_api import BrowserContext, Page, Route, expect
from pytest_django.live_server_helper import LiveServer

from problems.generators.setups import SHOWCASE
from quizzes.models import Answer, Question
from quizzes.runs import start_run
from tests.conftest import Cast
from tests.e2e.conftest import Check, SignIn
from tests.quizzes.conftest import NOW, ask_on, key_of

pytestmark = pytest.mark.django_db(transaction=True)
WRONG = "2 Cl- -> Cl2 + 2 e-"


@pytest.fixture
def question(cast: Cast) -> Question:
    return ask_on(start_run(cast.student, NOW, SHOWCASE))


@pytest.fixture
def page_of(question: Question, cast: Cast, sign_in: SignIn, live_server: LiveServer) -> Page:
    page = sign_in(cast.student)
    page.goto(f"{live_server.url}/runs/{question.run.public_id}/")
    return page


def test_the_box_keeps_its_text_over_a_reload_and_the_back_button(page_of: Page) -> None:
    page_of.locator("#answer-0").press_sequentially("2H2O + 2e-")
    page_of.reload()
    expect(page_of.locator("#answer-0")).to_have_value("2H2O + 2e-")
    page_of.get_by_role("link", name="Practice").click()
    page_of.go_back()
    expect(page_of.locator("#answer-0")).to_have_value("2H2O + 2e-")
    assert not Answer.objects.exists()


def test_cut_between_typing_and_submitting(
    page_of: Page,
    question: Question,
    context: BrowserContext,
    complaints: list[str],
    check_access: Check,
) -> None:
    page_of.locator("#answer-0").fill(key_of(question))
    page_of.wait_for_timeout(400)
    context.set_offline(True)
    page_of.locator("#answer-0").press("Enter")
    expect(page_of.locator(".unsent")).to_contain_text("sent again by itself")
    expect(page_of.locator("#answer-0")).to_have_value(key_of(question))
    check_access()
    assert not Answer.objects.exists()
    context.set_offline(False)
    expect(page_of.locator("#feedback-0")).to_contain_text("Right.")
    expect(page_of.locator("#feedback-0")).to_be_focused()
    assert Answer.objects.count() == 1
    complaints.clear()


def test_when_only_the_reply_is_lost_the_answer_counts_once(
    page_of: Page, question: Question, complaints: list[str]
) -> None:
    lost: list[int] = []

    def lose_the_first_reply(route: Route) -> None:
        reply = route.fetch()
        if lost:
            route.fulfill(response=reply)
            return
        lost.append(reply.status)
        route.abort()

    page_of.route("**/answer/", lose_the_first_reply)
    page_of.locator("#answer-0").fill(WRONG)
    page_of.locator("#submit-0").click()
    expect(page_of.locator(".unsent")).to_contain_text("No connection")
    assert Answer.objects.count() == 1
    expect(page_of.locator("#feedback-0")).to_contain_text("Not right.", timeout=9000)
    assert lost == [200]
    assert Answer.objects.count() == 1
    page_of.locator("#answer-0").fill(key_of(question))
    page_of.locator("#submit-0").click()
    expect(page_of.locator("#feedback-0")).to_contain_text("Right.")
    assert [answer.verdict for answer in Answer.objects.order_by("number")] == ["wrong", "correct"]
    complaints.clear()


def test_a_reload_while_cut_off_sends_with_the_same_token(
    page_of: Page, question: Question, context: BrowserContext, complaints: list[str]
) -> None:
    token = page_of.locator("form.answer [name=token]").input_value()
    page_of.locator("#answer-0").fill(WRONG)
    page_of.route("**/answer/", lambda route: route.abort())
    page_of.locator("#submit-0").click()
    expect(page_of.locator(".unsent")).to_contain_text("No connection")
    page_of.unroute("**/answer/")
    page_of.reload()
    expect(page_of.locator("#answer-0")).to_have_value(WRONG)
    expect(page_of.locator("form.answer [name=token]")).to_have_value(token)
    page_of.locator("#submit-0").click()
    expect(page_of.locator("#feedback-0")).to_contain_text("Not right.")
    assert [str(answer.token) for answer in Answer.objects.all()] == [token]
    page_of.reload()
    expect(page_of.locator("form.answer [name=token]")).not_to_have_value(token)
    complaints.clear()


def test_a_double_click_counts_once(page_of: Page) -> None:
    page_of.locator("#answer-0").fill(WRONG)
    page_of.locator("#submit-0").dblclick()
    expect(page_of.locator("#feedback-0")).to_contain_text("Not right.")
    page_of.wait_for_timeout(500)
    assert Answer.objects.count() == 1
