"""A teacher sets a class going in a real browser, from the invitation to second thoughts."""

from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

import pytest
from django.urls import reverse
from django.utils import timezone
from playwright.sync_api import Page, expect
from pytest_django.live_server_helper import LiveServer

from accounts.models import Invitation, SchoolClass, User
from quizzes.courses import course_of
from tests.accounts.bundles import bundle, enrolment, school_class, user
from tests.conftest import Cast
from tests.e2e.conftest import Check, SignIn
from tests.factories import UserFactory

pytestmark = pytest.mark.django_db(transaction=True)

WIDE, PHONE = {"width": 1280, "height": 800}, {"width": 320, "height": 700}
USERS = [user(f"u{place}", name) for place, name in enumerate(("Nora", "Paul", "Rita"))]
LINES = [enrolment(f"e{place}", f"u{place}") for place in range(3)]


def tab(page: Page, name: str) -> None:
    page.get_by_role("navigation", name="This class").get_by_role("link", name=name).click()


def upload(page: Page, file: Path, content: bytes) -> None:
    file.write_bytes(content)
    page.get_by_label("CSV file, or zip file").set_input_files(file)
    page.get_by_role("button", name="Look at the file").click()


@pytest.fixture
def look(page: Page, check_access: Check) -> Callable[[], None]:
    """Nothing for axe to find, and no sideways scroll on a small phone."""

    def check() -> None:
        check_access()
        page.set_viewport_size(PHONE)
        wider = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
        page.set_viewport_size(WIDE)
        assert wider <= 0

    return check


def test_an_invited_teacher_comes_to_a_class_with_students(
    db: None, page: Page, live_server: LiveServer, look: Callable[[], None], tmp_path: Path
) -> None:
    secret = Invitation.objects.issue(timezone.now(), timedelta(days=1), may_invite=True)
    page.goto(live_server.url + reverse("accounts:invitation", args=[secret]))
    page.get_by_label("Your name in class").fill("Ms Mara")
    page.get_by_label("Sign-in name").fill("mara")
    page.locator("#id_password1").fill("pale blue precipitate")
    page.locator("#id_password2").fill("pale blue precipitate")
    page.get_by_role("button", name="Make my account").click()
    expect(page.get_by_text("Everything begins with a class")).to_be_visible()
    look()
    page.get_by_label("Name").fill("3 B")
    page.get_by_role("button", name="Make the class").click()
    page.get_by_role("link", name="Students from a file").click()
    look()
    classes = [school_class("c1", "Chemistry 3 B"), school_class("c2", "Chemistry 4")]
    upload(page, tmp_path / "register.zip", bundle([*USERS, user("", "Zed")], LINES, classes))
    expect(page.get_by_role("heading", level=1)).to_have_text("Which class of the file is 3 B?")
    look()
    page.get_by_role("button", name="Chemistry 3 B").click()
    expect(page.get_by_text("3 accounts are made.")).to_be_visible()
    look()
    page.get_by_role("button", name="Take these 3 students").click()
    expect(page.get_by_role("status")).to_contain_text("3 students are in the class now.")
    assert User.objects.filter(sourced_id="u2", display_name="Rita Marsh").exists()
    page.get_by_role("link", name="Ms Mara").click()
    page.get_by_role("link", name="Invite a teacher").click()
    page.get_by_role("button", name="Make a link").click()
    expect(page.get_by_text("/account/invitation/")).to_be_visible()
    look()


def test_what_is_taught_and_written_reaches_the_students(
    cast: Cast, sign_in: SignIn, live_server: LiveServer, look: Callable[[], None]
) -> None:
    page = sign_in(cast.teacher)
    page.goto(live_server.url)
    page.get_by_role("link", name="3 B").click()
    tab(page, "What is taught")
    look()
    page.get_by_label("Mass deposited").uncheck()
    page.get_by_label("H₃O⁺").check()
    page.get_by_label("dm³ and cm³").check()
    page.get_by_role("button", name="Save").click()
    expect(page.get_by_role("status")).to_contain_text("Saved.")
    expect(page.get_by_label("Mass deposited")).not_to_be_checked()
    course = course_of(cast.student)
    assert course.not_taught == {"stoichiometry.deposit"}
    assert course.conventions.hydronium
    page = sign_in(cast.student)
    page.goto(live_server.url)
    page.get_by_role("button", name="Start a run").click()
    expect(page.get_by_text("mol/dm³").first).to_be_attached()
    page.goto(live_server.url + reverse("progress"))
    expect(page.get_by_text("Mass deposited")).to_have_count(0)
    expect(page.get_by_text("Mass dissolved").first).to_be_attached()


def test_forty_students_are_removed_and_brought_back(
    cast: Cast, sign_in: SignIn, live_server: LiveServer, look: Callable[[], None]
) -> None:
    for student in UserFactory.create_batch(38):
        cast.school_class.add_student(student)
    for place in range(9):
        SchoolClass.objects.start(cast.teacher, f"{place} C")
    page = sign_in(cast.teacher)
    page.goto(live_server.url)
    look()
    page.get_by_role("link", name="3 B").click()
    tab(page, "People")
    look()
    for box in page.get_by_role("checkbox").all():
        box.check()
    page.get_by_role("button", name="Remove the ticked students").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Remove 40 students from 3 B?")
    look()
    page.get_by_role("button", name="Remove", exact=True).click()
    expect(page.get_by_text("Nobody has joined yet.")).to_be_visible()
    page.get_by_role("link", name="Classes", exact=True).click()
    page.get_by_role("link", name="What you changed lately").click()
    look()
    page.get_by_role("button", name="Take it back").click()
    expect(page.get_by_role("status")).to_have_text("Taken back: 40 students removed from 3 B.")
    look()
    assert User.objects.students_of(cast.school_class).count() == 40
