"""A teacher's week with a set, in a real browser: looked at, tried, watched, extended, copied, marked."""

import re
import uuid
from datetime import timedelta

import pytest
from django.utils import timezone
from playwright.sync_api import Page, expect
from pytest_django.live_server_helper import LiveServer

from quizzes.answering import submit
from quizzes.models import Answer, HomeworkSet, Run, StandingRuling
from quizzes.runs import start_homework
from tests.conftest import Cast
from tests.e2e.conftest import Check, SignIn
from tests.factories import HomeworkSetFactory
from tests.quizzes.conftest import SKILL, ask_on

pytestmark = pytest.mark.django_db(transaction=True)

WRONG = "2 Cl^- -> Cl2 + 2 e^-"


@pytest.fixture
def homework(cast: Cast) -> HomeworkSet:
    return HomeworkSetFactory(
        author=cast.teacher, classes=[cast.school_class], title="Halves", number=1, skills=[SKILL], mode="one"
    )


def do(cast: Cast, homework: HomeworkSet, person: str, text: str = WRONG) -> Answer:
    """The set done by a student with one answer, and handed in."""
    run = start_homework(getattr(cast, person), homework, timezone.now())
    question = ask_on(run)
    answer = submit(question, 0, text, uuid.uuid4(), timezone.now())
    question.finish(timezone.now())
    run.end(timezone.now())
    return answer


@pytest.fixture
def page(page: Page, cast: Cast, sign_in: SignIn) -> Page:
    return sign_in(cast.teacher)


def open_set(page: Page, live_server: LiveServer) -> None:
    page.goto(f"{live_server.url}/classes/")
    page.get_by_role("link", name="3 B").click()
    page.get_by_role("link", name="Halves").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Halves")


def test_looked_at_and_tried_as_a_student_would(
    page: Page, homework: HomeworkSet, live_server: LiveServer, check_access: Check
) -> None:
    open_set(page, live_server)
    check_access()
    page.get_by_role("link", name="What a student gets").click()
    expect(page.get_by_text("Everyone gets these same questions.")).to_be_visible()
    page.get_by_text("Worked solution").click()
    check_access()
    page.get_by_role("link", name="Try it as a student").click()
    page.get_by_label("Your equation").fill(WRONG)
    page.keyboard.press("Enter")
    expect(page.get_by_text("✗ Not right.")).to_be_visible()
    check_access()
    page.get_by_role("button", name="A hint").click()
    expect(page.get_by_role("heading", name="Hints")).to_be_visible()
    page.get_by_role("button", name="Show me the answer").click()
    expect(page.get_by_role("heading", name="Worked solution")).to_be_visible()
    check_access()
    assert not Run.objects.exists()
    assert not Answer.objects.exists()


def test_watched_while_the_class_works_and_who_has_not_begun(
    cast: Cast, page: Page, homework: HomeworkSet, live_server: LiveServer, check_access: Check
) -> None:
    page.clock.install()
    open_set(page, live_server)
    expect(page.locator(".so-far")).to_have_text("0 of 2 have begun, 0 have handed in.")
    do(cast, homework, "student")
    page.clock.run_for(21_000)
    expect(page.locator(".so-far")).to_have_text("1 of 2 have begun, 1 have handed in.")
    check_access()
    page.get_by_role("link", name="Who has not begun").click()
    expect(page.get_by_role("main")).to_contain_text("Bruno")
    check_access()
    page.get_by_role("link", name="Hide the names").click()
    expect(page.get_by_role("main")).to_contain_text("one has not begun")
    expect(page.get_by_role("main")).not_to_contain_text("Bruno")


def test_more_time_for_one_and_a_copy_for_the_next_week(
    cast: Cast, page: Page, homework: HomeworkSet, live_server: LiveServer, check_access: Check
) -> None:
    open_set(page, live_server)
    page.get_by_role("link", name="Give more time").click()
    page.get_by_label("For").select_option("Ines")
    later = timezone.localtime(homework.due_at + timedelta(days=3))
    page.get_by_label("New due time").fill(later.strftime("%Y-%m-%dT%H:%M"))
    check_access()
    page.get_by_role("button", name="Give more time").click()
    expect(page.get_by_role("main")).to_contain_text("Ines has more time now.")
    page.get_by_role("link", name="Copy the set").click()
    expect(page.get_by_label("Title")).to_have_value("Halves")
    page.get_by_label("Title").fill("Halves again")
    check_access()
    page.get_by_role("button", name="Assign", exact=True).click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Halves again")
    page.get_by_role("link", name="Change the set").click()
    page.get_by_label("Number of questions").fill("4")
    page.get_by_role("button", name="Save").click()
    expect(page.get_by_role("main")).to_contain_text("0 of 2 have begun")
    assert [each.number for each in HomeworkSet.objects.order_by("pk")] == [1, 4]


def test_overruled_for_all_alike_and_later_ones_then_taken_back(
    cast: Cast, page: Page, homework: HomeworkSet, live_server: LiveServer, check_access: Check
) -> None:
    for person in ("student", "classmate"):
        do(cast, homework, person)
    open_set(page, live_server)
    page.get_by_role("link", name="Ines").click()
    page.get_by_text("Overrule").click()
    page.get_by_label("right", exact=True).check()
    page.get_by_label("that one, and later ones too until you withdraw it").check()
    page.get_by_label("Note").fill("As we write it.")
    check_access()
    page.get_by_role("button", name="Decide").click()
    expect(page.get_by_role("main")).to_contain_text("and later ones until you withdraw it")
    expect(page.get_by_role("main")).to_contain_text("Mark: 1 of 1")
    page.goto(f"{live_server.url}/classes/{cast.school_class.public_id}/marks/")
    expect(page.get_by_role("row", name="Bruno")).to_contain_text("100")
    check_access()
    page.goto(f"{live_server.url}/classes/")
    page.get_by_role("link", name="What you changed lately").click()
    expect(page.get_by_role("main")).to_contain_text("2 like answers decided, and later ones too.")
    page.get_by_role("button", name="Take it back").click()
    assert not StandingRuling.objects.holding().exists()
    page.goto(f"{live_server.url}/classes/{cast.school_class.public_id}/marks/")
    expect(page.get_by_role("row", name="Bruno")).to_contain_text("0 of 1")


def test_the_class_table_is_sorted_and_opened_by_its_heads(
    cast: Cast, page: Page, live_server: LiveServer, check_access: Check
) -> None:
    page.goto(f"{live_server.url}/classes/{cast.school_class.public_id}/")
    students = page.get_by_role("region", name="Chance and range")
    students.get_by_role("link", name="Redox", exact=True).click()
    expect(students.get_by_role("columnheader", name="Redox")).to_have_attribute("aria-sort", "ascending")
    students.get_by_role("link", name=re.compile("steps.*Redox")).click()
    expect(page.get_by_role("heading", name="Students by step: Redox")).to_be_visible()
    check_access()
    page.get_by_role("link", name="3", exact=True).click()
    expect(page.get_by_role("heading", name="Groups for a lesson")).to_be_in_viewport()
    check_access()


def test_from_a_mistake_to_a_question_on_the_screen(
    cast: Cast, page: Page, homework: HomeworkSet, live_server: LiveServer, check_access: Check
) -> None:
    do(cast, homework, "student")
    page.goto(f"{live_server.url}/classes/{cast.school_class.public_id}/mistakes/?names=shown")
    expect(page.get_by_role("article")).to_contain_text("Ines")
    check_access()
    page.get_by_role("link", name="A question for the screen").click()
    expect(page).to_have_url(re.compile(f"/wall/.*skill={SKILL}"))
    expect(page.locator("body")).not_to_contain_text("Ines")
    check_access()
