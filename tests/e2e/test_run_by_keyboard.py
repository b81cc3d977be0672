"""A student's run of ten questions in a real browser, with the keyboard alone."""

import pytest
from playwright.sync_api import Page, expect
from pytest_django.live_server_helper import LiveServer

from problems.generators.setups import SHOWCASE
from quizzes.models import Answer, Question, Run, Strength
from quizzes.runs import start_run
from tests.conftest import Cast
from tests.e2e.conftest import Check, SignIn
from tests.quizzes.conftest import NOW, ask_on

pytestmark = pytest.mark.django_db(transaction=True)

MOST_TABS = 80


def tab_to(page: Page, selector: str) -> None:
    """Press Tab until an element that matches has the focus."""
    for _ in range(MOST_TABS):
        if page.evaluate("selector => document.activeElement.matches(selector)", selector):
            return
        page.keyboard.press("Tab")
    raise AssertionError(f"no way by Tab to {selector}")


def press(page: Page, selector: str) -> None:
    tab_to(page, selector)
    page.keyboard.press("Enter")


def type_answer(page: Page, part: int, typed: str) -> None:
    box = page.locator(f"#answer-{part}")
    tab_to(page, f"#answer-{part}")
    page.keyboard.press("Control+A")
    page.keyboard.type(typed)
    expect(box).to_have_value(typed)
    page.keyboard.press("Enter")


def choose(page: Page, part: int, keys: list[str]) -> None:
    """Pick options: arrows move between radio buttons, Tab and Space between checkboxes."""
    scope = f"#part-{part} input[name=option]"
    tab_to(page, scope)
    if page.evaluate("document.activeElement.type") == "radio":
        while page.evaluate("document.activeElement.value") != keys[0]:
            page.keyboard.press("ArrowDown")
        page.keyboard.press("Space")
    else:
        for key in keys:
            tab_to(page, f"{scope}[value='{key}']")
            page.keyboard.press("Space")
    press(page, f"#submit-{part}")


def feedback(page: Page, part: int, words: str) -> None:
    """The words are in the feedback, which has the focus."""
    expect(page.locator(f"#feedback-{part}")).to_contain_text(words)
    expect(page.locator(f"#feedback-{part}")).to_be_focused()


def answer_all_parts(page: Page, question: Question) -> None:
    while (part := question.open_part()) is not None:
        expected = question.snapshot.parts[part].grading["expected"]
        if isinstance(expected, list):
            choose(page, part, expected)
        else:
            type_answer(page, part, expected)
        feedback(page, part, "Right.")
        question.refresh_from_db()


def test_a_run_of_ten_questions(
    cast: Cast, sign_in: SignIn, live_server: LiveServer, check_access: Check
) -> None:
    page = sign_in(cast.student)
    page.goto(live_server.url)
    check_access()
    press(page, "form[action='/runs/'] button")
    expect(page.get_by_role("heading", name="Ready")).to_be_visible()
    run = Run.objects.get(student=cast.student)
    seen = {"wrong": 0, "unreadable": 0}
    for position in range(1, run.length + 1):
        press(page, "#next")
        heading = page.locator("#question-heading")
        expect(heading).to_contain_text(f"Question {position} of 10")
        expect(heading).to_be_focused()
        question = run.questions.get(position=position)
        if not question.snapshot.parts[0].options:
            type_answer(page, 0, "((")
            feedback(page, 0, "could not be read")
            seen["unreadable"] += 1
            if question.snapshot.parts[0].grading["kind"] == "equation":
                type_answer(page, 0, "Xe + F2 -> XeF2")
                feedback(page, 0, "Not right.")
                seen["wrong"] += 1
        if position in (1, 5):
            check_access()
        answer_all_parts(page, question)
        expect(page.get_by_role("heading", name="Worked solution").first).to_be_visible()
    check_access()
    press(page, "#next")
    expect(page.get_by_role("heading", name="The run is over")).to_be_focused()
    check_access()
    assert seen["unreadable"] > 0
    assert Answer.objects.filter(student=cast.student, verdict="unreadable").count() == seen["unreadable"]
    assert Strength.objects.get(student=cast.student).answers >= 10
    expect(page.locator("table.topics")).to_contain_text("%")


def test_strength_moves_on_the_page(cast: Cast, sign_in: SignIn, live_server: LiveServer) -> None:
    page = sign_in(cast.student)
    page.goto(live_server.url)
    press(page, "form[action='/runs/'] button")
    expect(page.get_by_role("heading", name="Ready")).to_be_visible()
    press(page, "#next")
    expect(page.locator("#question-heading")).to_be_focused()
    question = Run.objects.get(student=cast.student).questions.get()
    answer_all_parts(page, question)
    moved = page.locator(".moved")
    expect(moved).to_contain_text("was")
    expect(moved).to_contain_text("now")


def test_the_reading_follows_what_is_typed(cast: Cast, sign_in: SignIn, live_server: LiveServer) -> None:
    run = start_run(cast.student, NOW, SHOWCASE)
    ask_on(run)
    page = sign_in(cast.student)
    page.goto(f"{live_server.url}/runs/{run.public_id}/")
    tab_to(page, "#answer-0")
    page.keyboard.type("K+ + NO3- -> KNO3")
    expect(page.locator("#reading-0")).to_contain_text("K⁺ + NO₃⁻ → KNO₃")
    assert not Answer.objects.exists()
