"""A run on a phone of 375 px, by touch, and one in the dark: the same tasks with other hands and eyes."""

from collections.abc import Callable, Iterator

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.conf import settings
from django.test import Client
from playwright.sync_api import Browser, Locator, Page, expect
from pytest_django.live_server_helper import LiveServer

from accounts.models import User
from problems.generators.setups import SHOWCASE
from quizzes.models import Answer, Question, Run
from quizzes.runs import start_run
from tests.conftest import Cast
from tests.e2e.conftest import Check, SignIn
from tests.quizzes.conftest import NOW, ask_on

pytestmark = pytest.mark.django_db(transaction=True)

TARGET = 44
"""Least size of what is pressed [CSS px]: WCAG 2.1, 2.5.5 (target size, enhanced)."""
Open = Callable[[User], Page]


@pytest.fixture
def phone(browser: Browser, live_server: LiveServer) -> Iterator[Open]:
    """A phone in which this user is signed in: a small page, touch, and no mouse."""
    context = browser.new_context(
        viewport={"width": 375, "height": 667}, has_touch=True, is_mobile=True, device_scale_factor=2
    )
    found: list[str] = []

    def of(user: User) -> Page:
        client = Client()
        client.force_login(user)
        name = settings.SESSION_COOKIE_NAME
        context.add_cookies([{"name": name, "value": client.cookies[name].value, "url": live_server.url}])
        page = context.new_page()
        page.on("console", lambda message: found.append(message.text) if message.type == "error" else None)
        return page

    yield of
    context.close()
    assert found == []


def check(page: Page) -> None:
    found = Axe().run(page).response["violations"]
    assert [f"{rule['id']}: {[node['target'] for node in rule['nodes']]}" for rule in found] == []
    assert page.evaluate("document.documentElement.scrollWidth") <= 375


def in_view(place: Locator) -> bool:
    """Whether its first line is on the screen without scrolling."""
    seen: bool = place.evaluate(
        "element => [element.getBoundingClientRect().top].every((top) => top >= 0 && top < innerHeight)"
    )
    return seen


def answer_by_touch(page: Page, question: Question) -> None:
    while (part := question.open_part()) is not None:
        expected = question.snapshot.parts[part].grading["expected"]
        if isinstance(expected, list):
            for key in expected:
                page.locator(f"#part-{part} label:has(input[value='{key}'])").tap()
        else:
            page.locator(f"#answer-{part}").tap()
            page.keyboard.insert_text(expected)
        page.locator(f"#submit-{part}").tap()
        expect(page.locator(f"#feedback-{part}")).to_contain_text("Right.")
        assert in_view(page.locator(f"#feedback-{part}"))
        question.refresh_from_db()


def test_a_run_by_touch(cast: Cast, phone: Open, live_server: LiveServer) -> None:
    page = phone(cast.student)
    page.goto(live_server.url)
    check(page)
    page.get_by_role("button", name="Start a run").tap()
    page.get_by_role("link", name="To the question").tap()
    expect(page.get_by_role("heading", name="Ready")).to_be_in_viewport()
    run = Run.objects.get(student=cast.student)
    for position in range(1, 4):
        page.locator("#next").tap()
        expect(page.locator("#question-heading")).to_contain_text(f"Question {position} of 10")
        assert in_view(page.locator("#question-heading"))
        check(page)
        answer_by_touch(page, run.questions.get(position=position))
        check(page)
    page.get_by_role("button", name="End this run").tap()
    expect(page.get_by_role("heading", name="The run is over")).to_be_in_viewport()
    check(page)
    assert Answer.objects.filter(student=cast.student, verdict="correct").count() >= 3


def test_the_keys_under_the_box_type_an_equation_by_touch(
    cast: Cast, phone: Open, live_server: LiveServer
) -> None:
    run = start_run(cast.student, NOW, SHOWCASE)
    ask_on(run)
    page = phone(cast.student)
    page.goto(f"{live_server.url}/runs/{run.public_id}/")
    box = page.locator("#answer-0")
    box.tap()
    page.keyboard.insert_text("2H2O + 2")
    for name in ("electron", "arrow"):
        page.get_by_role("button", name=name).tap()
        expect(box).to_be_focused()
    page.keyboard.insert_text("H2 + 2OH")
    page.get_by_role("button", name="negative charge").tap()
    expect(box).to_have_value("2H2O + 2e⁻ → H2 + 2OH⁻")
    page.locator("#submit-0").tap()
    expect(page.locator("#feedback-0")).to_contain_text("Right.")


def test_whatever_is_pressed_is_large_enough_for_a_thumb(
    cast: Cast, phone: Open, live_server: LiveServer
) -> None:
    run = start_run(cast.student, NOW, SHOWCASE)
    ask_on(run, "reaction_types.driven")
    page = phone(cast.student)
    for path in ("/", f"/runs/{run.public_id}/", "/help/"):
        page.goto(live_server.url + path)
        pressed = page.locator("main :is(button, summary, select, label:has(input)):visible").all()
        boxes = [each.bounding_box() for each in pressed]
        assert len(boxes) > 0
        assert [box for box in boxes if box is None or round(box["height"]) < TARGET] == []


def test_a_run_in_the_dark(cast: Cast, sign_in: SignIn, live_server: LiveServer, check_access: Check) -> None:
    page = sign_in(cast.student)
    page.emulate_media(color_scheme="dark", reduced_motion="reduce")
    page.goto(live_server.url)
    background = page.evaluate("getComputedStyle(document.body).backgroundColor")
    assert sum(int(part) for part in background.strip("rgb()").split(",")) < 150
    check_access()
    page.get_by_role("button", name="Start a run").click()
    page.locator("#next").click()
    expect(page.locator("#question-heading")).to_contain_text("Question 1")
    check_access()
    page.get_by_role("button", name="A hint").click()
    expect(page.get_by_role("heading", name="Hints")).to_be_visible()
    check_access()
    page.get_by_role("button", name="Show me the answer").click()
    expect(page.get_by_role("heading", name="Worked solution").first).to_be_visible()
    check_access()
    page.get_by_role("button", name="End this run").click()
    expect(page.get_by_role("heading", name="The run is over")).to_be_visible()
    check_access()
