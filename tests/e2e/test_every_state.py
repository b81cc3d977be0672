"""Every page of a student in every state: wide and narrow, light and dark."""

from collections.abc import Iterator
from itertools import groupby

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page
from pytest_django.live_server_helper import LiveServer

from tests.conftest import Cast
from tests.e2e.conftest import SignIn
from tests.e2e.states import STATES, State

pytestmark = pytest.mark.django_db(transaction=True)

WIDTHS = (320, 375, 768, 1280)
"""320 CSS pixels: WCAG 2.2, 1.4.10 (reflow); the others are a phone, a tablet and a laptop."""
LEAST_CONTRAST = 4.5
"""WCAG 2.2, 1.4.3 (contrast, minimum), for text of ordinary size."""
AXE = Axe().axe_script
COLOURS = "color-contrast"
RUN_AXE = "options => axe.run(document, {resultTypes: ['violations'], ...options})"
CHECKS: dict[int, dict[str, object]] = {375: {}, 1280: {"rules": {COLOURS: {"enabled": False}}}}
"""Colours are the same at every width, so they are measured once in light and once in dark."""

# What a word of the drawing stands on: the shape painted last under its middle, else the page behind it.
# The formulas are those of WCAG 2.2 (relative luminance, contrast ratio).
WORDS_OF_DRAWINGS = """() => {
  const channels = (colour) => colour.match(/[\\d.]+/g).map(Number);
  const light = (colour) => channels(colour).slice(0, 3)
    .map((c) => c / 255).map((c) => (c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4))
    .reduce((sum, c, place) => sum + c * [0.2126, 0.7152, 0.0722][place], 0);
  const solid = (colour) => colour.startsWith("rgb") && (channels(colour)[3] ?? 1) > 0.5;
  const painted = (element) => element.closest("svg") && element.tagName !== "svg"
    ? getComputedStyle(element).fill : getComputedStyle(element).backgroundColor;
  const under = (text) => {
    text.scrollIntoView({ block: "center" });
    const box = text.getBoundingClientRect();
    const stack = document.elementsFromPoint(box.x + box.width / 2, box.y + box.height / 2);
    return stack.filter((element) => !element.closest("text")).map(painted).find(solid);
  };
  return [...document.querySelectorAll("svg text")].filter((text) => text.textContent.trim()).map((text) => {
    const pair = [getComputedStyle(text).fill, under(text)].map(light).sort((a, b) => b - a);
    return [text.textContent.trim(), (pair[0] + 0.05) / (pair[1] + 0.05)];
  });
}"""


def troubles_of(page: Page, state: State) -> Iterator[str]:
    """What is wrong with the page that is open, each with where."""
    # With motion, a button would be measured halfway between its two colours.
    page.emulate_media(color_scheme="light", reduced_motion="reduce")
    page.evaluate(AXE)
    for width in WIDTHS:
        page.set_viewport_size({"width": width, "height": 800})
        if page.evaluate("document.documentElement.scrollWidth") > width:
            yield f"{state.name}: scrolls sideways at {width}"
        if width in CHECKS:
            yield from (f"{state.name}: {told} at {width}" for told in violations(page, CHECKS[width]))
    yield from (f"{state.name}: {told} in light" for told in faint_words(page))
    page.emulate_media(color_scheme="dark")
    yield from (f"{state.name}: {told} in dark" for told in faint_words(page))
    yield from (f"{state.name}: {told} in dark" for told in violations(page, {"runOnly": [COLOURS]}))


def violations(page: Page, options: dict[str, object]) -> list[str]:
    found = page.evaluate(RUN_AXE, options)["violations"]
    return [f"{rule['id']} {[node['target'] for node in rule['nodes']]}" for rule in found]


def faint_words(page: Page) -> list[str]:
    """Words of drawings that stand out too little, which axe does not look at."""
    measured = page.evaluate(WORDS_OF_DRAWINGS)
    return [f"{word!r} has contrast {ratio:.1f}" for word, ratio in measured if ratio < LEAST_CONTRAST]


def test_every_state(
    cast: Cast, page: Page, sign_in: SignIn, live_server: LiveServer, complaints: list[str]
) -> None:
    found: list[str] = []
    for who, states in groupby(STATES, key=lambda state: state.who):
        if who != "anonymous":
            sign_in(getattr(cast, who))
        for state in states:
            reply = page.goto(live_server.url + state.reach(cast))
            assert reply is not None
            assert reply.status == state.status, state.name
            for summary in page.locator("main summary").all():
                summary.click()
            found += troubles_of(page, state)
            found += [f"{state.name}: {told}" for told in complaints if state.status == 200]
            complaints.clear()
    assert "\n".join(found) == ""
