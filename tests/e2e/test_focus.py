"""Where the keys go just after an exchange: to what has the focus, with no moment in which they are lost."""

import pytest
from playwright.sync_api import Page, expect
from pytest_django.live_server_helper import LiveServer

from problems.generators.setups import SHOWCASE
from quizzes.runs import start_run
from tests.conftest import Cast
from tests.e2e.conftest import SignIn
from tests.quizzes.conftest import NOW, ask_on

pytestmark = pytest.mark.django_db(transaction=True)

JUDGED = "typed => document.querySelector('#feedback-0 code')?.textContent === typed"
SLOW = 6
"""So many times slower the browser computes: a cheap phone beside this machine."""

# Notes what has the focus as soon as the code that put the new question in has returned: before any key.
WATCH = """() => {
  window.focused = [];
  new MutationObserver((changes) => {
    if (changes.some(({ addedNodes }) => [...addedNodes].some((node) => node.id === "question")))
      window.focused.push(document.activeElement.id);
  }).observe(document.body, { childList: true, subtree: true });
}"""


@pytest.fixture
def slow_page(cast: Cast, sign_in: SignIn, live_server: LiveServer) -> Page:
    run = start_run(cast.student, NOW, SHOWCASE)
    ask_on(run)
    page = sign_in(cast.student)
    page.goto(f"{live_server.url}/runs/{run.public_id}/")
    page.context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": SLOW})
    return page


def focused(page: Page) -> list[str]:
    found: list[str] = page.evaluate("window.focused")
    return found


def test_the_focus_moves_in_the_same_moment_as_the_question(slow_page: Page) -> None:
    page = slow_page
    page.evaluate(WATCH)
    page.locator("#answer-0").fill("2 Cl- -> Cl2 + 2 e-")
    page.keyboard.press("Enter")
    expect(page.locator("#feedback-0")).to_contain_text("Not right.")
    page.locator("#hint-0").click()
    expect(page.locator("#hints-0")).to_be_visible()
    page.locator("#show-0").click()
    expect(page.locator("#next")).to_be_visible()
    page.locator("#next").click()
    expect(page.locator("#question-heading")).to_contain_text("Question 2")
    assert focused(page) == ["feedback-0", "hints-0", "feedback-0", "question-heading"]


def test_what_is_typed_at_once_is_all_there(slow_page: Page) -> None:
    page = slow_page
    for typed in ("Xe + F2 -> XeF2", "2 Cl- -> Cl2 + 2 e-"):
        page.locator("#answer-0").fill(typed)
        page.keyboard.press("Enter")
        # No pause: the way back to the box is taken as soon as the verdict is in the page.
        while not page.evaluate(JUDGED, typed):
            pass
        page.keyboard.press("Tab")
        page.keyboard.press("Enter")
        expect(page.locator("#answer-0")).to_be_focused()
        page.keyboard.press("Control+A")
        page.keyboard.type("K+ + e-")
        assert page.locator("#answer-0").input_value() == "K+ + e-"
