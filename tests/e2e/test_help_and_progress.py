"""The help page, the progress page and past questions in a real browser, light and dark, wide and narrow."""

import uuid
from datetime import timedelta

import pytest
from django.utils import timezone
from django.utils.formats import date_format
from playwright.sync_api import Page, expect
from pytest_django.live_server_helper import LiveServer

from problems.generators.setups import SHOWCASE
from quizzes.answering import PRACTICE_ATTEMPTS, submit
from quizzes.models import Answer
from quizzes.runs import start_run
from tests.conftest import Cast
from tests.e2e.conftest import Check, SignIn
from tests.quizzes.practice.test_progress import WRONG, answered

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def student_page(cast: Cast, sign_in: SignIn) -> Page:
    """The browser of a student who answered three questions wrongly on two days, the last to its end."""
    run = start_run(cast.student, timezone.now() - timedelta(days=2), SHOWCASE)
    for position in (1, 2):
        answered(run, WRONG, position, days_ago=2)
    question = answered(run, WRONG, 3)
    for _ in range(PRACTICE_ATTEMPTS - 1):
        submit(question, 0, WRONG, uuid.uuid4(), timezone.now())
    return sign_in(cast.student)


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("path", ["/help/", "/progress/", "/progress/questions/"])
def test_nothing_is_wrong_with_access_and_nothing_scrolls_sideways(
    student_page: Page, live_server: LiveServer, check_access: Check, path: str, scheme: str
) -> None:
    page = student_page
    page.emulate_media(color_scheme=scheme)  # type: ignore[arg-type]
    page.goto(live_server.url + path)
    for summary in page.locator("main summary").all():
        summary.click()
    check_access()
    for width in (320, 375, 768, 1280):
        page.set_viewport_size({"width": width, "height": 800})
        assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_the_boxes_of_the_help_page_read_as_one_types(
    student_page: Page, live_server: LiveServer, check_access: Check
) -> None:
    page = student_page
    before = Answer.objects.count()
    page.goto(f"{live_server.url}/help/#quantity")
    page.get_by_label("Try it: Equations").press_sequentially("Zn -> Zn2+ + 2")
    page.locator("#equation ~ form").get_by_role("button", name="electron").click()
    expect(page.locator("#reading-equation")).to_contain_text("Zn → Zn²⁺ + 2 e⁻")
    page.get_by_label("Try it: Numbers with units").fill("2,5 x 10^-3 mol")
    page.keyboard.press("Enter")
    expect(page.locator("#reading-quantity")).to_contain_text("2.5 × 10⁻³ mol")
    check_access()
    assert Answer.objects.count() == before


def test_from_a_mistake_to_its_step_and_from_a_past_question_to_new_numbers(
    student_page: Page, live_server: LiveServer, check_access: Check
) -> None:
    page = student_page
    page.goto(live_server.url)
    page.get_by_role("link", name="Progress").click()
    page.locator(".mistakes").get_by_role("button").first.click()
    expect(page.locator("#question-heading")).to_contain_text("Question 1 of 1")
    page.goto(f"{live_server.url}/progress/questions/")
    page.get_by_role("cell", name="Half-reaction").first.get_by_role("link").click()
    expect(page.get_by_role("heading", name="Worked solution")).to_be_visible()
    check_access()
    page.get_by_role("button", name="This step with new numbers").click()
    expect(page.locator("#question-heading")).to_contain_text("Question 1 of 1")
    expect(page.locator(".why")).to_contain_text("You chose to practise this step.")
    check_access()


def test_on_paper_the_numbers_stand_beside_the_charts(student_page: Page, live_server: LiveServer) -> None:
    page = student_page
    page.goto(f"{live_server.url}/progress/")
    page.emulate_media(media="print")
    expect(page.locator(".chart").first).to_be_visible()
    expect(page.get_by_role("button", name="Practise this step").first).to_be_hidden()
    expect(page.get_by_role("link", name="The last time").first).to_be_hidden()
    expect(page.get_by_text(f"Ines, {date_format(timezone.localdate())}")).to_be_visible()
    table = page.locator("#numbers").locator("..").bounding_box()
    assert table is not None
    assert table["height"] > 60
