"""Every page that a teacher may open, narrow and dark: nothing sticks out, and all can be read."""

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page
from pytest_django.live_server_helper import LiveServer

from tests.conftest import Cast
from tests.e2e.conftest import SignIn
from tests.site_map import address, ids, rules

pytestmark = pytest.mark.django_db(transaction=True)

NAMES = [rule.name for rule in rules() if rule.method == "GET" and rule.expected["teacher"] == 200]


def pages(cast: Cast) -> dict[str, str]:
    """Their addresses by name; files to be taken home are no pages."""
    client, parts = cast.client("teacher"), ids(cast)
    found = {name: address(name, parts) for name in NAMES}
    return {
        name: url
        for name, url in found.items()
        if client.get(url).get("Content-Type", "").startswith("text/html")
    }


def sticks_out(page: Page) -> list[str]:
    """What is wider than the window and not in a box that scrolls."""
    wide: list[str] = page.evaluate(
        """() => document.documentElement.scrollWidth <= innerWidth ? [] :
            [...document.querySelectorAll("main *")]
            .filter((each) => each.getBoundingClientRect().right > innerWidth && !each.closest(".scroll"))
            .map((each) => each.outerHTML.slice(0, 80))"""
    )
    return wide or (["page"] if page.evaluate("document.documentElement.scrollWidth > innerWidth") else [])


def hard_to_read(page: Page) -> list[object]:
    """Where axe finds too little contrast."""
    found = Axe().run(page, options={"runOnly": ["color-contrast"]}).response["violations"]
    return [node["target"] for rule in found for node in rule["nodes"]]


def test_no_page_scrolls_sideways_and_all_of_it_can_be_read_in_the_dark(
    cast: Cast, sign_in: SignIn, live_server: LiveServer
) -> None:
    found = pages(cast)
    assert len(found) > 20
    page = sign_in(cast.teacher)
    page.emulate_media(color_scheme="dark")
    page.set_viewport_size({"width": 320, "height": 800})
    wrong = {}
    for name, url in found.items():
        page.goto(live_server.url + url)
        wrong[name] = [*sticks_out(page), *hard_to_read(page)]
    assert {name: faults for name, faults in wrong.items() if faults} == {}
