"""A teacher's class in a real browser: students from a file, slips, what goes wrong, a verdict overruled."""

import uuid
from datetime import timedelta
from pathlib import Path

import pytest
from django.utils import timezone
from playwright.sync_api import Page, expect
from pytest_django.live_server_helper import LiveServer

from accounts.models import User
from quizzes.answering import submit
from quizzes.models import Answer, Run
from quizzes.runs import start_homework
from tests.conftest import Cast
from tests.e2e.conftest import Check, SignIn
from tests.factories import HomeworkSetFactory
from tests.quizzes.conftest import ask_on
from tests.quizzes.teaching.test_class_page import practise

pytestmark = pytest.mark.django_db(transaction=True)

CHLORINE = "2 Cl^- -> Cl2 + 2 e^-"


def open_class(page: Page, live_server: LiveServer, tab: str) -> None:
    page.goto(live_server.url)
    page.get_by_role("link", name="3 B").click()
    page.get_by_role("navigation", name="This class").get_by_role("link", name=tab).click()


def work_of(cast: Cast, student: User) -> Run:
    """A finished run of a set, with one wrong answer."""
    at = timezone.now() - timedelta(minutes=5)
    homework = HomeworkSetFactory(author=cast.teacher, classes=[cast.school_class], title="Halves", number=2)
    run = start_homework(student, homework, at)
    question = ask_on(run)
    submit(question, 0, CHLORINE, uuid.uuid4(), at)
    run.end(at)
    return run


def test_students_from_a_file_get_their_slips(
    cast: Cast, sign_in: SignIn, live_server: LiveServer, check_access: Check, tmp_path: Path
) -> None:
    roster = tmp_path / "roster.csv"
    roster.write_text("Name;Username\nNora;nora\nPaul;\nZoe;zoe\n", encoding="utf-8-sig")
    page = sign_in(cast.teacher)
    open_class(page, live_server, "People")
    check_access()
    page.get_by_role("link", name="Students from a file").click()
    check_access()
    page.get_by_label("CSV file").set_input_files(roster)
    page.get_by_role("button", name="Look at the file").click()
    expect(page.get_by_text("2 lines have faults and are left out.")).to_be_visible()
    expect(page.get_by_text("The sign-in name zoe is taken.")).to_be_visible()
    check_access()
    page.get_by_role("button", name="Take this student").click()
    expect(page.get_by_role("status")).to_contain_text("1 student is in the class now.")
    expect(page.get_by_label("Nora")).to_be_checked()
    check_access()
    page.get_by_role("button", name="Make new passwords").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Replace one password?")
    check_access()
    page.get_by_role("button", name="Replace and show them").click()
    slips = page.locator(".slips li")
    expect(slips).to_have_count(1)
    check_access()
    password = slips.locator("code").last.inner_text()
    page.emulate_media(media="print")
    expect(page.get_by_text("These are shown only now.")).to_be_hidden()
    expect(slips.first).to_be_visible()
    assert User.objects.get(username="nora").check_password(password)


def test_from_a_mistake_to_a_set_with_its_step(
    cast: Cast, sign_in: SignIn, live_server: LiveServer, check_access: Check
) -> None:
    work_of(cast, cast.student)
    page = sign_in(cast.teacher)
    open_class(page, live_server, "What goes wrong")
    mistakes = page.get_by_role("article")
    expect(mistakes).to_contain_text(CHLORINE)
    expect(page.get_by_text("Ines")).to_have_count(0)
    check_access()
    page.get_by_role("link", name="Show names beside answers").click()
    expect(mistakes).to_contain_text("Ines")
    mistakes.get_by_role("link", name="Homework on this step").click()
    expect(page.get_by_role("checkbox", name="Half-reaction", exact=False).first).to_be_visible()
    page.get_by_role("button", name="Assign", exact=True).click()
    expect(page.get_by_role("status")).to_contain_text("Assigned.")
    page.context.clear_cookies()
    page = sign_in(cast.student)
    page.goto(live_server.url)
    expect(page.get_by_role("row").filter(has_text="0 of 8")).to_be_visible()


def test_a_verdict_is_overruled_and_the_mark_follows(
    cast: Cast, sign_in: SignIn, live_server: LiveServer, check_access: Check
) -> None:
    work_of(cast, cast.student)
    page = sign_in(cast.teacher)
    open_class(page, live_server, "Marks")
    row = page.get_by_role("row", name="Ines")
    expect(row).to_contain_text("0 of 2")
    check_access()
    page.get_by_role("link", name="Halves").click()
    check_access()
    page.get_by_role("link", name="Ines").click()
    page.get_by_text("Overrule").first.click()
    check_access()
    page.get_by_label("partly right").check()
    page.get_by_label("Note").fill("The charges are there.")
    page.get_by_role("button", name="Decide").click()
    expect(page.get_by_role("status")).to_contain_text("Your decision counts")
    expect(page.get_by_text("The charges are there.")).to_be_visible()
    check_access()
    open_class(page, live_server, "Marks")
    expect(row).to_contain_text("0.5 of 2")
    assert Answer.objects.get().score == 0


@pytest.mark.parametrize("language", ["en", "de"])
def test_the_tables_of_a_class_fit_a_laptop_in_every_language(
    cast: Cast, sign_in: SignIn, live_server: LiveServer, language: str
) -> None:
    for place, student in enumerate((cast.student, cast.classmate)):
        practise(student, {"redox": 0.1, "acid_base": 0.1, "stoichiometry": 0.1}, 200, place)
    cast.teacher.language = language
    cast.teacher.save()
    page = sign_in(cast.teacher)
    page.set_viewport_size({"width": 1280, "height": 800})
    page.goto(f"{live_server.url}/classes/{cast.school_class.public_id}/")
    beyond = "boxes => boxes.map(box => box.scrollWidth - box.clientWidth)"
    assert page.locator(".scroll").evaluate_all(beyond) == [0, 0]
    page.set_viewport_size({"width": 320, "height": 700})
    for caption in page.locator("caption").all():
        box = caption.bounding_box()
        assert box is not None
        assert box["x"] + box["width"] <= 320
