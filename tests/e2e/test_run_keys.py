"""The keys under an answer box: by touch on a small phone, and by keyboard."""

from collections.abc import Iterator

import pytest
from django.conf import settings
from django.test import Client
from playwright.sync_api import Browser, Page, expect
from pytest_django.live_server_helper import LiveServer

from problems.generators.setups import SHOWCASE
from quizzes.models import Answer
from quizzes.runs import start_run
from tests.conftest import Cast
from tests.e2e.conftest import Check, SignIn
from tests.quizzes.conftest import NOW, ask_on

pytestmark = pytest.mark.django_db(transaction=True)
LEAST = 44
"""Height and width of what is touched [px]."""


@pytest.fixture
def phone(cast: Cast, browser: Browser, live_server: LiveServer) -> Iterator[Page]:
    """A phone of 375 px with touch and a dark screen, at an open question."""
    run = start_run(cast.student, NOW, SHOWCASE)
    ask_on(run)
    context = browser.new_context(
        viewport={"width": 375, "height": 740}, has_touch=True, is_mobile=True, color_scheme="dark"
    )
    client = Client()
    client.force_login(cast.student)
    name = settings.SESSION_COOKIE_NAME
    context.add_cookies([{"name": name, "value": client.cookies[name].value, "url": live_server.url}])
    page = context.new_page()
    page.goto(f"{live_server.url}/runs/{run.public_id}/")
    yield page
    context.close()


def test_an_equation_by_touch_and_letters(phone: Page) -> None:
    box = phone.locator("#answer-0")
    box.tap()
    for piece in ("2H", "x₂", "2", "x₂", "O+2", "e⁻", "→", "H", "x₂", "2", "+2OH", "x²", "-"):
        key = phone.locator(".keys button", has_text=piece)
        if key.count() == 1:
            key.tap()
        else:
            phone.keyboard.type(piece)
        expect(box).to_be_focused()
    expect(box).to_have_value("2H₂O+2e⁻ → H₂+2OH⁻")
    expect(phone.locator("#reading-0")).to_contain_text("2 H₂O + 2 e⁻ → H₂ + 2 OH⁻")
    assert not Answer.objects.exists()


def test_keys_are_large_enough_and_nothing_scrolls_sideways(phone: Page) -> None:
    for key in phone.locator(".keys button").all():
        place = key.bounding_box()
        assert place is not None
        assert min(place["width"], place["height"]) >= LEAST
    assert phone.evaluate("document.documentElement.scrollWidth") <= 375


def test_a_sign_goes_to_the_caret_and_a_selection_is_raised(phone: Page) -> None:
    box = phone.locator("#answer-0")
    box.fill("Cu2+ Cu")
    box.evaluate("box => box.setSelectionRange(2, 4)")
    phone.get_by_role("button", name="write digits and signs above the line").tap()
    expect(box).to_have_value("Cu²⁺ Cu")
    box.evaluate("box => box.setSelectionRange(4, 5)")
    phone.get_by_role("button", name="arrow").tap()
    expect(box).to_have_value("Cu²⁺ → Cu")


def test_a_letter_lets_the_key_rise(phone: Page) -> None:
    key = phone.get_by_role("button", name="write digits below the line")
    phone.locator("#answer-0").tap()
    key.tap()
    expect(key).to_have_attribute("aria-pressed", "true")
    phone.keyboard.type("2O3")
    expect(key).to_have_attribute("aria-pressed", "false")
    expect(phone.locator("#answer-0")).to_have_value("₂O3")


def test_by_keyboard_the_row_is_one_stop_with_arrows_inside(
    cast: Cast, sign_in: SignIn, live_server: LiveServer, check_access: Check
) -> None:
    run = start_run(cast.student, NOW, SHOWCASE)
    ask_on(run)
    page = sign_in(cast.student)
    page.goto(f"{live_server.url}/runs/{run.public_id}/")
    page.locator("#answer-0").focus()
    page.keyboard.type("Ag")
    page.keyboard.press("Tab")
    expect(page.get_by_role("button", name="arrow")).to_be_focused()
    page.keyboard.press("ArrowRight")
    page.keyboard.press("ArrowLeft")
    page.keyboard.press("ArrowLeft")
    expect(page.get_by_role("button", name="dissolved in water")).to_be_focused()
    check_access()
    page.keyboard.press("Enter")
    expect(page.locator("#answer-0")).to_be_focused()
    expect(page.locator("#answer-0")).to_have_value("Ag(aq)")
    assert not Answer.objects.exists()
