"""A student disputes a verdict: sent in after the feedback, looked at and overruled, and read again."""

import pytest
from playwright.sync_api import expect
from pytest_django.live_server_helper import LiveServer

from problems.generators.setups import SHOWCASE
from quizzes.models import Ruling, SentIn
from quizzes.runs import start_run
from tests.conftest import Cast
from tests.e2e.conftest import Check, SignIn
from tests.quizzes.conftest import NOW, ask_on

pytestmark = pytest.mark.django_db(transaction=True)
TYPED = "4 H2O + 4 e- -> 2 H2 + 4 OH-"


def test_from_the_feedback_to_the_teachers_decision(
    cast: Cast, sign_in: SignIn, live_server: LiveServer, check_access: Check
) -> None:
    run = start_run(cast.student, NOW, SHOWCASE)
    ask_on(run)
    here = f"{live_server.url}/runs/{run.public_id}/"
    page = sign_in(cast.student)
    page.goto(here)
    page.locator("#answer-0").fill(TYPED)
    page.keyboard.press("Enter")
    expect(page.locator("#feedback-0")).to_contain_text("Partly right.")
    page.get_by_text("Ask my teacher to look at this").press("Enter")
    check_access()
    page.get_by_label("What would you like to say?").fill("It is balanced, is it not?")
    page.get_by_role("button", name="Send to my teacher").press("Enter")
    expect(page.get_by_text("not looked at yet")).to_be_visible()
    check_access()
    page.get_by_role("button", name="End this run").press("Enter")
    assert SentIn.objects.get().answer is not None

    page.context.clear_cookies()
    page = sign_in(cast.teacher)
    page.goto(live_server.url)
    page.get_by_role("link", name="Sent in").click()
    sent = page.get_by_role("article", name="Ines")
    expect(sent).to_contain_text("It is balanced, is it not?")
    expect(sent).to_contain_text(TYPED)
    check_access()
    sent.get_by_label("right", exact=True).check()
    sent.get_by_label("Reply").fill("Balanced it is; halve it next time.")
    sent.get_by_role("button").first.click()
    expect(page.get_by_text("Nothing is waiting.")).to_be_visible()
    check_access()
    assert Ruling.objects.get().decision == Ruling.Decision.RIGHT

    page.context.clear_cookies()
    page = sign_in(cast.student)
    page.goto(here)
    page.get_by_role("link", name="Half-reaction").click()
    expect(page.locator(".question")).to_contain_text("Ms Vera looked at it")
    expect(page.locator(".question")).to_contain_text("halve it next time")
    check_access()
    page.get_by_role("link", name="Progress").click()
    page.get_by_role("link", name="All past questions").click()
    page.get_by_role("link", name="What you sent to your teacher").click()
    expect(page.get_by_role("listitem").filter(has_text="halve it next time")).to_contain_text("right")
    check_access()


def test_what_waits_is_not_sent_twice(cast: Cast, sign_in: SignIn, live_server: LiveServer) -> None:
    run = start_run(cast.student, NOW, SHOWCASE)
    ask_on(run)
    page = sign_in(cast.student)
    page.goto(f"{live_server.url}/runs/{run.public_id}/")
    page.locator("#show-0").click()
    page.get_by_text("Ask my teacher to look at this").click()
    page.get_by_role("button", name="Send to my teacher").click()
    expect(page.get_by_text("not looked at yet")).to_be_visible()
    expect(page.get_by_role("button", name="Send to my teacher")).to_have_count(0)
    assert SentIn.objects.count() == 1
