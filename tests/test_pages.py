"""What holds for every page of the site, whoever reads it."""

import re
from html.parser import HTMLParser
from pathlib import Path

import pytest
from django.test import Client

from tests.conftest import PEOPLE, Cast
from tests.site_map import Rule, address, ids, rules

READABLE = [rule for rule in rules() if rule.method == "GET" and 200 in rule.expected.values()]

HERE = re.compile(r"\Z|/(?!/)|#|data:")


class Outline(HTMLParser):
    """The elements of a page, with their attributes."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))

    def count(self, tag: str) -> int:
        return sum(1 for found, _ in self.elements if found == tag)


def pages(cast: Cast, rule: Rule) -> list[str]:
    """The page as each person sees who may open it; a part made for htmx is no page."""
    url = address(rule.name, ids(cast))
    allowed = [person for person in PEOPLE if rule.expected[person] == 200]
    found = [cast.client(person).get(url).content.decode() for person in allowed]
    return [page for page in found if page.lstrip().lower().startswith("<!doctype html")]


@pytest.mark.parametrize("rule", READABLE, ids=str)
def test_each_page_has_one_heading_one_main_and_a_title(cast: Cast, rule: Rule) -> None:
    for page in pages(cast, rule):
        outline = Outline(page)
        assert outline.count("h1") == outline.count("main") == outline.count("title") == 1
        assert re.search(r"<title>\s*\S.* · Voltameter</title>", page)
        assert re.search(r"<h1[^>]*>\s*[^<\s]", page)
        assert ("html", {"lang": "en"}) in outline.elements


@pytest.mark.parametrize("rule", READABLE, ids=str)
def test_no_page_holds_a_script_a_style_or_a_thing_from_elsewhere(cast: Cast, rule: Rule) -> None:
    for page in pages(cast, rule):
        for tag, attrs in Outline(page).elements:
            assert tag != "style"
            assert "style" not in attrs
            assert not [name for name in attrs if name.startswith("on")]
            assert tag != "script" or attrs.get("src")
            fetched = [attrs.get(name) or "" for name in ("src", "data", "poster")]
            fetched += [attrs.get("href") or ""] if tag in {"link", "use", "image"} else []
            assert not [where for where in fetched if not HERE.match(where)]


@pytest.mark.parametrize("rule", READABLE, ids=str)
def test_every_id_is_there_once_and_every_reference_leads_to_one(cast: Cast, rule: Rule) -> None:
    for page in pages(cast, rule):
        elements = Outline(page).elements
        found = [attrs["id"] for _, attrs in elements if "id" in attrs]
        assert len(found) == len(set(found))
        for _, attrs in elements:
            for name in ("for", "aria-labelledby", "aria-describedby", "aria-controls"):
                assert set((attrs.get(name) or "").split()) <= set(found)


@pytest.mark.parametrize("rule", READABLE, ids=str)
def test_every_field_has_a_label(cast: Cast, rule: Rule) -> None:
    for page in pages(cast, rule):
        elements = Outline(page).elements
        labelled = {attrs.get("for") for tag, attrs in elements if tag == "label"}
        for tag, attrs in elements:
            if tag in {"input", "select", "textarea"} and attrs.get("type") not in {"hidden", "submit"}:
                assert attrs.get("id") in labelled or "aria-label" in attrs or "aria-labelledby" in attrs


@pytest.mark.parametrize(
    ("status", "heading"), [(400, "cannot be read"), (403, "Not for this"), (404, "Nothing")]
)
def test_error_pages_are_pages_too(cast: Cast, status: int, heading: str) -> None:
    client = cast.client("teacher")
    if status == 400:
        response = client.get("/account/", headers={"host": "elsewhere.example"})
    else:
        response = client.get({403: "/account/join/", 404: "/no/such/page/"}[status])
    page = response.content.decode()
    assert response.status_code == status
    assert heading in page
    assert Outline(page).count("h1") == 1


def test_the_page_of_a_fault_needs_neither_reader_nor_database(rf) -> None:
    from django.views.defaults import server_error

    response = server_error(rf.get("/"))
    assert response.status_code == 500
    assert Outline(response.content.decode()).count("h1") == 1


def test_a_misread_page_gives_no_way_in(anonymous: Client, db: None) -> None:
    assert anonymous.get("/account/%00").status_code == 404


def test_dates_are_written_in_the_one_form_of_the_readers_language() -> None:
    """A format spelled out in a template stays as it is in every language."""
    folders = [Path(__file__).parents[1] / app / "templates" for app in ("accounts", "quizzes")]
    pages = [path for folder in folders for path in folder.rglob("*.html")]
    formats = [form for path in pages for form in re.findall(r'\|(?:date|time):"([^"]+)"', path.read_text())]
    assert len(pages) > 30
    # "c" is ISO 8601, for machines.
    assert {form for form in formats if not form.endswith("_FORMAT")} <= {"c"}
