"""The same run without JavaScript: slower, and complete."""

import re
from collections.abc import Iterator

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.conf import settings
from django.test import Client
from playwright.sync_api import Browser, Page, expect
from pytest_django.live_server_helper import LiveServer

from problems.generators.setups import SHOWCASE
from quizzes.runs import start_run
from tests.conftest import Cast
from tests.e2e.conftest import Check
from tests.quizzes.conftest import NOW, ask_on, key_of

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def plain_page(cast: Cast, browser: Browser, live_server: LiveServer) -> Iterator[Page]:
    """A browser with JavaScript off, in which the student is signed in."""
    context = browser.new_context(java_script_enabled=False)
    client = Client()
    client.force_login(cast.student)
    name = settings.SESSION_COOKIE_NAME
    context.add_cookies([{"name": name, "value": client.cookies[name].value, "url": live_server.url}])
    yield context.new_page()
    context.close()


@pytest.fixture
def check(page: Page, plain_page: Page) -> Check:
    """What axe, which needs JavaScript itself, finds in the page as it is shown without."""

    def checked() -> None:
        shown = re.sub(r"<script.*?</script>|</?noscript>", "", plain_page.content(), flags=re.S)
        page.route(
            plain_page.url.partition("#")[0],
            lambda route: route.fulfill(body=shown, content_type="text/html"),
        )
        page.goto(plain_page.url)
        found = Axe().run(page).response["violations"]
        assert [f"{rule['id']}: {[node['target'] for node in rule['nodes']]}" for rule in found] == []

    return checked


def test_answer_hint_and_next_without_javascript(
    cast: Cast, plain_page: Page, live_server: LiveServer, check: Check
) -> None:
    page = plain_page
    run = start_run(cast.student, NOW, SHOWCASE)
    question = ask_on(run)
    page.goto(f"{live_server.url}/runs/{run.public_id}/")
    check()
    expect(page.locator(".keys")).to_be_hidden()
    page.get_by_role("button", name="A hint").click()
    expect(page.get_by_role("heading", name="Hints")).to_be_visible()
    page.get_by_label("Your equation").fill("2 Cl- -> Cl2 + 2 e-")
    page.get_by_role("button", name="Check my answer").click()
    expect(page.locator(".feedback")).to_contain_text("Not right.")
    check()
    page.get_by_label("Your equation").fill(key_of(question))
    page.get_by_role("button", name="Check my answer").click()
    expect(page.locator(".feedback")).to_contain_text("Right.")
    page.get_by_role("button", name="Next question").click()
    expect(page.locator("#question-heading")).to_contain_text("Question 2 of 10")
    page.get_by_role("button", name="End this run").click()
    expect(page.get_by_role("heading", name="The run is over")).to_be_visible()
    check()


def test_help_reads_and_progress_shows_without_javascript(plain_page: Page, live_server: LiveServer) -> None:
    page = plain_page
    page.goto(f"{live_server.url}/help/")
    page.get_by_label("Try it: Formulas of substances and ions").fill("PO43-")
    page.locator("form.try:has(#answer-formula)").get_by_role("button", name="Read it").click()
    expect(page.locator("#reading-formula")).to_contain_text("PO₄³⁻")
    page.get_by_role("link", name="Progress").click()
    expect(page.locator(".chart").first).to_be_visible()
    page.get_by_role("button", name="Practise: ").first.click()
    expect(page.locator("#question-heading")).to_contain_text("Question 1 of 1")
