"""What a teacher takes into the lesson, in a real browser: worksheets, a demonstration, a question to show.

Pages are printed to PDF as a teacher would, and the text of the PDF is read.
"""

from io import BytesIO

import pytest
from playwright.sync_api import Page, expect
from pypdf import PdfReader
from pytest_django.live_server_helper import LiveServer

from problems.generators.setups import OFFERED
from quizzes.lesson.forms import shown_setups
from quizzes.lesson.versions import choice_of, version_of
from quizzes.models import Question, Run
from tests.conftest import Cast
from tests.e2e.conftest import Check, SignIn
from tests.factories import HomeworkSetFactory

pytestmark = pytest.mark.django_db(transaction=True)


def printed(page: Page) -> list[str]:
    """The text of each page as printed on A4."""
    page.wait_for_load_state()
    pdf = page.pdf(format="A4", prefer_css_page_size=True)
    return [each.extract_text() for each in PdfReader(BytesIO(pdf)).pages]


def squeezed(text: str) -> str:
    return "".join(text.split())


def test_a_set_is_printed_in_two_versions_with_their_keys(
    cast: Cast, sign_in: SignIn, live_server: LiveServer, check_access: Check
) -> None:
    homework = HomeworkSetFactory(
        author=cast.teacher, classes=[cast.school_class], title="One cell", number=6, mode="one",
        skills=["redox.half_reaction", "stoichiometry.gas_volume", "stoichiometry.electrons",
                "balancing.charge", "stoichiometry.weighing", "acid_base.arm_colour"],
    )  # fmt: skip
    page = sign_in(cast.teacher)
    page.goto(f"{live_server.url}/sets/{homework.public_id}/")
    page.get_by_role("link", name="On paper").click()
    sheets, keys = {}, {}
    for letter in "AB":
        page.get_by_role("link", name=f"Version {letter}").click()
        check_access()
        sheets[letter] = printed(page)
        page.get_by_role("link", name="Key and marks").click()
        check_access()
        keys[letter] = " ".join(printed(page))
        page.get_by_role("link", name="The students' sheet").click()
    for letter, pages in sheets.items():
        total = len(pages)
        for place, text in enumerate(pages, 1):
            assert letter in text.split()
            assert f"{place} / {total}" in text
        version = version_of(choice_of(homework, "first_year"), letter)
        sheet, key = squeezed(" ".join(pages)), squeezed(keys[letter])
        for question in version.questions:
            assert squeezed(question.parts[0].prompt) in sheet
            for line in question.parts[0].solution:
                assert squeezed(line) in key
                # A solution may begin with what the question itself says.
                assert squeezed(line) not in sheet or line in question.parts[0].prompt
        assert "Voltameter" not in " ".join(pages).replace("· Voltameter", "")
    assert sheets["A"] != sheets["B"]


@pytest.mark.parametrize("name", shown_setups())
def test_the_sheet_of_each_cell_fills_one_page(
    cast: Cast, sign_in: SignIn, live_server: LiveServer, name: str
) -> None:
    page = sign_in(cast.teacher)
    page.goto(f"{live_server.url}/classes/{cast.school_class.public_id}/lesson/demonstration/")
    page.get_by_label("Setup").select_option(name)
    page.get_by_role("button", name="Show the sheet").click()
    pages = printed(page)
    assert len(pages) == 1
    for words in ("Weigh", "Wire", "Run for", "safety data sheet", "Waste"):
        assert words in pages[0] or (words == "Weigh" and "Measure" in pages[0])


def test_two_cells_stand_side_by_side(
    cast: Cast, sign_in: SignIn, live_server: LiveServer, check_access: Check
) -> None:
    page = sign_in(cast.teacher)
    page.goto(f"{live_server.url}/classes/{cast.school_class.public_id}/")
    page.get_by_role("link", name="In the lesson").click()
    check_access()
    names = [*OFFERED]
    page.get_by_label("Setup").first.select_option(names[0])
    page.get_by_label("Beside it").select_option(names[7])
    page.get_by_role("button", name="Show the sheet").click()
    sheets = page.get_by_role("article")
    expect(sheets).to_have_count(2)
    page.set_viewport_size({"width": 1280, "height": 900})
    left, right = (sheets.nth(place).bounding_box() for place in (0, 1))
    assert left is not None
    assert right is not None
    assert left["x"] + left["width"] <= right["x"]
    assert left["y"] == right["y"]
    check_access()
    assert len(printed(page)) == 2


def test_a_question_on_the_wall_goes_by_keys(
    cast: Cast, sign_in: SignIn, live_server: LiveServer, check_access: Check
) -> None:
    page = sign_in(cast.teacher)
    page.set_viewport_size({"width": 1280, "height": 800})
    page.goto(f"{live_server.url}/classes/{cast.school_class.public_id}/lesson/")
    page.get_by_label("Step", exact=True).select_option("redox.half_reaction")
    page.get_by_role("button", name="Show it").click()
    prompt = page.locator(".prompt")
    expect(prompt).to_be_visible()
    check_access()
    first = prompt.inner_text()
    assert cast.student.display_name not in page.content()
    # From the back row: letters of at least a fortieth of the picture's height (common practice for slides).
    assert float(prompt.evaluate("box => parseFloat(getComputedStyle(box).fontSize)")) >= 800 / 40
    page.keyboard.press("Space")
    answer = page.locator(".answer-shown")
    expect(answer).to_be_visible()
    page.keyboard.press("Space")
    expect(page.locator(".worked")).to_be_visible()
    check_access()
    page.keyboard.press("d")
    expect(page.locator("body.turned")).to_be_visible()
    check_access()
    page.keyboard.press("n")
    expect(answer).to_be_hidden()
    shown = {first}
    for _next in range(3):
        shown.add(prompt.inner_text())
        url = page.url
        page.keyboard.press("ArrowRight")
        page.wait_for_url(lambda found, before=url: found != before)
    assert len(shown) > 1
    page.keyboard.press("Escape")
    expect(page.get_by_role("heading", level=1)).to_contain_text("In the lesson")
    assert not Question.objects.exists()
    assert not Run.objects.exists()


@pytest.mark.parametrize("size", [(1280, 800), (1920, 1080), (1024, 768)])
@pytest.mark.parametrize(
    "skill", ["redox.oxidation_number", "acid_base.mixed_arms", "stoichiometry.weighing"]
)
def test_the_type_on_the_wall_grows_into_the_screen(
    cast: Cast, sign_in: SignIn, live_server: LiveServer, skill: str, size: tuple[int, int]
) -> None:
    page = sign_in(cast.teacher)
    width, height = size
    page.set_viewport_size({"width": width, "height": height})
    wall = f"{live_server.url}/classes/{cast.school_class.public_id}/lesson/wall/?skill={skill}&numbers=1"
    for show in ("", "answer", "solution"):
        page.goto(f"{wall}&show={show}")
        all_of_it = "page => [page.scrollWidth, page.scrollHeight]"
        assert page.locator("html").evaluate(all_of_it) == [width, height]
        # Between the question and the keys at most a quarter of the screen stays empty, unless the type is
        # already a twentieth of its width.
        low = page.locator(".asked").last.bounding_box()
        keys = page.locator(".wall-keys").bounding_box()
        assert low is not None
        assert keys is not None
        empty = keys["y"] - low["y"] - low["height"]
        type_size = float(
            page.locator("body").evaluate("body => parseFloat(getComputedStyle(body).fontSize)")
        )
        assert empty <= height / 4 or type_size >= width / 20
        assert type_size >= width * 0.017


def test_a_solution_longer_than_the_screen_keeps_its_least_type(
    cast: Cast, sign_in: SignIn, live_server: LiveServer
) -> None:
    page = sign_in(cast.teacher)
    page.set_viewport_size({"width": 1280, "height": 800})
    address = f"{live_server.url}/classes/{cast.school_class.public_id}/lesson/wall/"
    page.goto(f"{address}?skill=stoichiometry.whole_chain&numbers=3&show=solution")
    assert page.locator("html").evaluate("page => page.scrollHeight") > 800
    assert (
        page.locator("body").evaluate("body => parseFloat(getComputedStyle(body).fontSize)") >= 1280 * 0.017
    )
