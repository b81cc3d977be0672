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


def kept(page: Page) -> int:
    """How many answers the tab holds."""
    found: int = page.evaluate(
        "Object.keys(sessionStorage).filter(name => name.startsWith('answer/')).length"
    )
    return found


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
    expect(page_of.locator("#trouble")).to_be_empty()
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


def test_a_site_that_is_just_being_restarted_is_tried_again(
    page_of: Page, question: Question, complaints: list[str]
) -> None:
    tries: list[int] = []

    def away_at_first(route: Route) -> None:
        tries.append(1)
        if len(tries) == 1:
            route.fulfill(status=503, body="away")
        else:
            route.continue_()

    page_of.route("**/answer/", away_at_first)
    page_of.locator("#answer-0").fill(key_of(question))
    page_of.locator("#submit-0").click()
    expect(page_of.locator(".unsent")).to_contain_text("No connection")
    expect(page_of.locator("#feedback-0")).to_contain_text("Right.", timeout=9000)
    assert (len(tries), Answer.objects.count()) == (2, 1)
    complaints.clear()


def test_typing_while_cut_off_is_not_interrupted(
    page_of: Page, context: BrowserContext, complaints: list[str]
) -> None:
    context.set_offline(True)
    page_of.locator("#answer-0").press_sequentially("2H2O")
    page_of.wait_for_timeout(600)
    expect(page_of.locator("#trouble")).to_be_empty()
    expect(page_of.locator("#answer-0")).to_be_focused()
    context.set_offline(False)
    complaints.clear()


def test_a_choice_is_kept_too_and_gone_once_taken(
    cast: Cast, sign_in: SignIn, live_server: LiveServer
) -> None:
    run = start_run(cast.student, NOW, SHOWCASE)
    question = ask_on(run, "reaction_types.driven")
    page = sign_in(cast.student)
    page.goto(f"{live_server.url}/runs/{run.public_id}/")
    page.locator("input[name=option]").nth(1).check()
    page.reload()
    expect(page.locator("input[name=option]").nth(1)).to_be_checked()
    assert kept(page) == 1
    page.locator("#submit-0").click()
    expect(page.locator("#feedback-0")).to_be_visible()
    assert kept(page) == 0
    assert question.answers.count() == 1


def test_signing_out_leaves_nothing_in_the_tab(page_of: Page) -> None:
    page_of.locator("#answer-0").fill("2H2O")
    assert kept(page_of) == 1
    page_of.get_by_role("button", name="Sign out").click()
    expect(page_of.get_by_label("Sign-in name")).to_be_visible()
    assert kept(page_of) == 0
