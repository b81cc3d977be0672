"""Signing in and joining a class in a real browser, by keyboard."""

import pytest
from playwright.sync_api import Page, expect
from pytest_django.live_server_helper import LiveServer

from tests.conftest import Cast
from tests.e2e.conftest import Check, SignIn
from tests.factories import PASSWORD

pytestmark = pytest.mark.django_db(transaction=True)


def focused(page: Page) -> str:
    return page.evaluate("document.activeElement.id || document.activeElement.textContent.trim()")


def test_sign_in_by_keyboard(
    cast: Cast, page: Page, complaints: list[str], live_server: LiveServer, check_access: Check
) -> None:
    page.goto(f"{live_server.url}/account/")
    expect(page.get_by_role("heading", level=1)).to_have_text("Sign in")
    check_access()
    page.keyboard.press("Tab")
    assert focused(page) == "Skip to the page"
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    page.keyboard.type("ines")
    page.keyboard.press("Tab")
    page.keyboard.type("wrong")
    page.keyboard.press("Enter")
    expect(page.get_by_text("do not belong together")).to_be_visible()
    check_access()
    page.get_by_label("Password").focus()
    page.keyboard.type(PASSWORD)
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", level=1)).to_have_text("Your account")
    assert page.url.split("#")[0] == f"{live_server.url}/account/"


@pytest.mark.parametrize("path", ["/account/", "/account/join/", "/account/password/"])
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_account_pages_read_well(
    cast: Cast, sign_in: SignIn, live_server: LiveServer, check_access: Check, path: str, scheme: str
) -> None:
    page = sign_in(cast.student)
    page.emulate_media(color_scheme=scheme)
    page.goto(f"{live_server.url}{path}")
    expect(page.get_by_role("banner")).to_contain_text("Ines")
    check_access()


def test_nothing_is_cut_off_on_a_small_phone(
    cast: Cast, page: Page, complaints: list[str], live_server: LiveServer
) -> None:
    # 320 CSS pixels. Source: WCAG 2.2, success criterion 1.4.10 (reflow).
    page.set_viewport_size({"width": 320, "height": 640})
    for path in ("/account/sign-in/", "/account/join/"):
        page.goto(f"{live_server.url}{path}")
        assert page.evaluate("document.documentElement.scrollWidth") <= 320
        small = [box for box in targets(page) if box["height"] < 44]
        assert small == []


def targets(page: Page) -> list[dict[str, float]]:
    """The boxes of what can be pressed, links within running text apart."""
    found = page.locator("button:visible, input:visible, select:visible, nav a:visible, .name").all()
    return [box for box in (one.bounding_box() for one in found) if box]


def test_a_form_left_open_too_long_says_so(
    cast: Cast, page: Page, complaints: list[str], live_server: LiveServer
) -> None:
    page.goto(f"{live_server.url}/account/sign-in/")
    page.context.clear_cookies()
    page.get_by_label("Sign-in name").fill("ines")
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("This page was open too long")
    complaints.clear()


def test_what_cannot_be_sent_is_said(
    cast: Cast, sign_in: SignIn, live_server: LiveServer, complaints: list[str], check_access: Check
) -> None:
    page = sign_in(cast.student)
    page.goto(f"{live_server.url}/account/")
    ask = "htmx.ajax('GET', '/account/sign-out/', '#classes').catch(() => null)"
    page.evaluate(ask)
    expect(page.get_by_role("alert")).to_contain_text("did not take this")
    check_access()
    page.context.set_offline(True)
    page.evaluate(ask)
    expect(page.get_by_role("alert")).to_contain_text("could not be sent")
    page.context.set_offline(False)
    page.evaluate("htmx.ajax('GET', '/account/', {target: '#classes', select: 'h2', swap: 'innerHTML'})")
    expect(page.get_by_role("alert")).to_be_empty()
    complaints.clear()
