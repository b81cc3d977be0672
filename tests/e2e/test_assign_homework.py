"""The teacher's part in a real browser: from what the class lacks to the set on the student's page."""

import re

import pytest
from playwright.sync_api import expect
from pytest_django.live_server_helper import LiveServer

from quizzes.models import HomeworkSet
from tests.conftest import Cast
from tests.e2e.conftest import Check, SignIn

pytestmark = pytest.mark.django_db(transaction=True)


def test_from_the_class_page_to_the_students_start_page(
    cast: Cast, sign_in: SignIn, live_server: LiveServer, check_access: Check
) -> None:
    page = sign_in(cast.teacher)
    page.goto(live_server.url)
    page.get_by_role("link", name="3 B").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("3 B")
    check_access()
    page.get_by_role("link", name=re.compile("Homework.*Redox")).click()
    check_access()
    page.get_by_label("Title").fill("Halves before Friday")
    page.get_by_label("Number of questions").fill("2")
    page.get_by_role("button", name="Assign", exact=True).click()
    expect(page.get_by_role("status")).to_contain_text("Assigned.")
    expect(page.get_by_role("table")).to_contain_text("not begun")
    check_access()
    assert HomeworkSet.objects.get().title == "Halves before Friday"

    page.context.clear_cookies()
    page = sign_in(cast.student)
    page.goto(live_server.url)
    row = page.get_by_role("row", name="Halves before Friday")
    expect(row).to_contain_text("0 of 2")
    check_access()
    row.get_by_role("button").click()
    page.get_by_role("button", name="First question").click()
    expect(page.locator("#question-heading")).to_contain_text("Question 1 of 2")
    expect(page.locator(".why")).to_contain_text("Your teacher chose this question")


def test_an_impossible_set_is_explained_beside_its_field(
    cast: Cast, sign_in: SignIn, live_server: LiveServer, check_access: Check
) -> None:
    page = sign_in(cast.teacher)
    page.goto(f"{live_server.url}/classes/{cast.school_class.public_id}/sets/new/?topic=redox")
    page.get_by_label("Title").fill("Too late")
    page.get_by_label("Due").fill("2020-01-01T08:00")
    page.get_by_role("button", name="Assign", exact=True).click()
    expect(page.get_by_text("It has to be due after it opens.")).to_be_visible()
    expect(page.get_by_label("Title")).to_have_value("Too late")
    check_access()
