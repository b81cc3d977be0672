"""Large text, zoom, forced colours, less motion, and the order in which a screen reader reads."""

import re
from itertools import pairwise

import pytest
from playwright.sync_api import Page, expect
from pytest_django.live_server_helper import LiveServer

from accounts.models import User
from problems.generators.setups import SHOWCASE
from quizzes.runs import start_run
from tests.conftest import Cast
from tests.e2e.conftest import Check, SignIn
from tests.quizzes.conftest import NOW, ask_on

pytestmark = pytest.mark.django_db(transaction=True)

PATHS = ("/", "/progress/", "/help/", "/account/", "/account/join/")
# An element whose text is wider or higher than the box that cuts it off.
CLIPPED = """() => [...document.querySelectorAll("main *")].filter((element) => {
  const style = getComputedStyle(element);
  const hides = [style.overflowX, style.overflowY].some((each) => ["hidden", "clip"].includes(each));
  const heardOnly = element.closest(".only-heard, thead");
  return hides && !heardOnly && element.matches(":not(input, svg, svg *)")
    && (element.scrollWidth > element.clientWidth + 1 || element.scrollHeight > element.clientHeight + 1);
}).map((element) => element.outerHTML.slice(0, 80))"""


SIZE = "parseFloat(getComputedStyle(document.body).fontSize)"


@pytest.fixture
def run_path(cast: Cast) -> str:
    run = start_run(cast.student, NOW, SHOWCASE)
    ask_on(run)
    return f"/runs/{run.public_id}/"


def fits(page: Page, width: int) -> None:
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert page.evaluate(CLIPPED) == []


def test_at_a_zoom_of_400_per_cent_nothing_scrolls_sideways(
    cast: Cast, sign_in: SignIn, live_server: LiveServer, run_path: str
) -> None:
    # WCAG 2.2, 1.4.10: 1280 px at 400 % and 640 px at 200 % are both 320 CSS pixels.
    page = sign_in(cast.student)
    page.set_viewport_size({"width": 320, "height": 256})
    for path in (*PATHS, run_path):
        page.goto(live_server.url + path)
        fits(page, 320)
        assert page.locator("main").evaluate("main => getComputedStyle(main).position") == "static"


@pytest.mark.parametrize("width", [640, 1280])
def test_text_of_twice_the_size_is_not_cut(
    cast: Cast, sign_in: SignIn, live_server: LiveServer, run_path: str, width: int
) -> None:
    # WCAG 2.2, 1.4.4 (resize text): 200 % without loss; every size on the page follows the root's.
    page = sign_in(cast.student)
    page.set_viewport_size({"width": width, "height": 800})
    session = page.context.new_cdp_session(page)
    session.send("Page.enable")
    for path in (*PATHS, run_path):
        page.goto(live_server.url + path)
        before = page.evaluate(SIZE)
        session.send("Page.setFontSizes", {"fontSizes": {"standard": 32, "fixed": 26}})
        page.reload()
        after = page.evaluate(SIZE)
        assert after == pytest.approx(2 * before)
        fits(page, width)
        session.send("Page.setFontSizes", {"fontSizes": {"standard": 16, "fixed": 13}})


def test_in_forced_colours_the_parts_still_stand_apart(
    cast: Cast, sign_in: SignIn, live_server: LiveServer, run_path: str, check_access: Check
) -> None:
    page = sign_in(cast.student)
    page.goto(live_server.url + run_path)
    liquids = page.locator(".drawing path[fill]")
    painted = "paths => paths.map((path) => getComputedStyle(path).fill)"
    ordinary = liquids.evaluate_all(painted)
    page.emulate_media(forced_colors="active")
    assert liquids.evaluate_all(painted) == ordinary
    assert len(set(ordinary)) == 2
    glass = page.locator(".drawing .glass").evaluate("path => getComputedStyle(path).stroke")
    paper = page.evaluate("getComputedStyle(document.body).backgroundColor")
    assert glass != paper
    words = page.locator(".drawing text").first.evaluate("text => getComputedStyle(text).fill")
    assert words != paper
    page.locator("#answer-0").fill("2 Cl- -> Cl2 + 2 e-")
    page.keyboard.press("Enter")
    expect(page.locator("#feedback-0")).to_be_focused()
    bar = page.locator("#feedback-0").evaluate("each => getComputedStyle(each).borderInlineStartWidth")
    assert bar == "4px"
    check_access()


def test_with_less_motion_nothing_moves(
    cast: Cast, sign_in: SignIn, live_server: LiveServer, run_path: str
) -> None:
    page = sign_in(cast.student)
    page.emulate_media(reduced_motion="reduce")
    moving = """() => [...document.querySelectorAll("*")].filter((element) => {
      const style = getComputedStyle(element);
      return style.animationName !== "none" || parseFloat(style.transitionDuration) > 0;
    }).length"""
    for path in (*PATHS, run_path):
        page.goto(live_server.url + path)
        assert page.evaluate(moving) == 0
        assert page.evaluate("getComputedStyle(document.documentElement).scrollBehavior") == "auto"


def test_a_screen_reader_hears_the_page_in_the_order_of_the_task(
    cast: Cast, sign_in: SignIn, live_server: LiveServer, run_path: str
) -> None:
    page = sign_in(cast.student)
    page.goto(live_server.url + run_path)
    heard = page.locator("main").aria_snapshot()
    order = [
        'heading "Potassium nitrate, phenol red, graphite" [level=1]',
        'heading "The setup" [level=2]',
        "img ",
        'slider "Minutes of current"',
        'heading "Question 1 of 10',
        "Write the half-reaction",
        'textbox "Your equation"',
        "toolbar",
        'button "Check my answer"',
        'button "A hint"',
        'button "Show me the answer"',
        'button "End this run"',
    ]
    places = [heard.find(words) for words in order]
    assert -1 not in places, (order[places.index(-1)], heard)
    assert places == sorted(places)


def test_headings_never_skip_a_level(
    cast: Cast, sign_in: SignIn, live_server: LiveServer, run_path: str
) -> None:
    page = sign_in(cast.student)
    for path in (*PATHS, "/progress/questions/", run_path):
        page.goto(live_server.url + path)
        tags = page.locator("h1, h2, h3, h4").evaluate_all("all => all.map((each) => each.tagName)")
        levels = [int(re.sub(r"\D", "", tag)) for tag in tags]
        assert levels[0] == 1
        assert all(after <= before + 1 for before, after in pairwise(levels))


OUTSIDE = """drawing => {
  const all = drawing.getBoundingClientRect();
  return [...drawing.querySelectorAll("text")].filter((words) => {
    const box = words.getBoundingClientRect();
    return box.left < all.left || box.right > all.right || box.bottom > all.bottom;
  }).map((words) => words.textContent);
}"""


@pytest.mark.parametrize("language", ["en", "de"])
def test_no_word_of_the_drawing_is_cut_off(
    cast: Cast, sign_in: SignIn, live_server: LiveServer, language: str
) -> None:
    User.objects.filter(pk=cast.student.pk).update(language=language)
    run = start_run(cast.student, NOW, SHOWCASE)
    ask_on(run, "acid_base.arm_colour")
    page = sign_in(cast.student)
    page.goto(f"{live_server.url}/runs/{run.public_id}/")
    assert page.locator("svg.drawing").evaluate(OUTSIDE) == []


EDGES = "element => [element.getBoundingClientRect().top, element.getBoundingClientRect().bottom]"


def test_each_chosen_option_stands_on_a_line_of_its_own(
    cast: Cast, sign_in: SignIn, live_server: LiveServer
) -> None:
    run = start_run(cast.student, NOW, SHOWCASE)
    ask_on(run, "reaction_types.driven")
    page = sign_in(cast.student)
    page.goto(f"{live_server.url}/runs/{run.public_id}/")
    for box in page.get_by_role("checkbox").all()[:2]:
        box.check()
    page.get_by_role("button", name="Check my answer").click()
    chosen = page.locator(".feedback .chosen")
    expect(chosen).to_have_count(2)
    tops, bottoms = zip(*(each.evaluate(EDGES) for each in chosen.all()), strict=True)
    assert tops[1] >= bottoms[0]
