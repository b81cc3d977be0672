"""The help page: every rule of typing is read as it says, every finding has its entry."""

from html import unescape

import pytest
from django.urls import reverse

from problems.grading.case import KINDS
from problems.grading.codes import codes
from quizzes.models import Question
from quizzes.practice.help import TRIED
from quizzes.practice.reading import read_typed
from quizzes.practice.typing_rules import RULES, rules_of
from tests.conftest import PEOPLE, Cast

HTMX = {"HX-Request": "true"}
RULES_OF_ALL = [(kind, tuple(rule.examples)) for kind in TRIED for rule in rules_of(kind)]


def page_of(cast: Cast, person: str = "student") -> str:
    return unescape(cast.client(person).get(reverse("help")).content.decode())


@pytest.mark.parametrize(("kind", "examples"), RULES_OF_ALL)
def test_every_example_can_be_read(kind: str, examples: tuple[str, ...]) -> None:
    assert [text for text in examples if not read_typed(TRIED[kind], text).text] == []


@pytest.mark.parametrize(
    ("typed", "other"),
    [
        ("Zn -> Zn^2+ + 2e^-", "Zn = Zn2+ + 2e-"),
        ("Zn -> Zn^2+ + 2e^-", "Zn → Zn²⁺ + 2e⁻"),
    ],
)
def test_ways_to_write_an_equation_mean_the_same(typed: str, other: str) -> None:
    assert read_typed(TRIED["equation"], typed).text == read_typed(TRIED["equation"], other).text


@pytest.mark.parametrize(
    ("typed", "read"),
    [
        ("2.0 x 10^-3 mol", "2.0 × 10⁻³ mol"),
        ("0,25 A", "0.25 A"),
        ("12 cm^3", "12 cm³"),
    ],
)
def test_quantities_are_read_in_the_notation_of_the_si_brochure(typed: str, read: str) -> None:
    # Source: BIPM, The International System of Units, 9th edition, section 5.4.
    assert read_typed(TRIED["quantity"], typed).text == read


@pytest.mark.parametrize("kind", sorted(KINDS))
def test_every_finding_is_explained_with_a_wrong_and_a_right_example(cast: Cast, kind: str) -> None:
    page = page_of(cast)
    section = page[page.index(f'id="{kind}"') :].partition("</section>")[0]
    for code in codes(kind):
        assert code.heading in section
        assert code.sentence in section
        assert f"<code>{code.right}</code>" in section
        assert not code.example or f"<code>{code.example}</code>" in section


def test_every_kind_of_answer_has_its_place() -> None:
    assert set(RULES) == set(KINDS) == {*TRIED, "choice"}


@pytest.mark.parametrize("person", [person for person in PEOPLE if person != "anonymous"])
def test_it_is_linked_from_every_page_of_whoever_is_signed_in(cast: Cast, person: str) -> None:
    page = cast.client(person).get(reverse("accounts:profile")).content.decode()
    assert f'href="{reverse("help")}"' in page


def test_it_is_linked_beside_the_answer_box(cast: Cast, question: Question) -> None:
    page = cast.client("student").get(reverse("run", args=[question.run.public_id])).content.decode()
    assert f'href="{reverse("help")}#equation"' in page


def test_it_says_what_to_mind_in_a_lab(cast: Cast) -> None:
    page = page_of(cast)
    for word in ("Hydrogen", "toxic halogens", "safety data sheet", "qualified person", "eye protection"):
        assert word in page


def test_a_box_reads_and_gives_no_verdict(cast: Cast) -> None:
    sent = {"kind": "equation", "answer": "K -> K2+ + e-"}
    page = cast.client("student").post(reverse("help_reading"), sent, headers=HTMX).content.decode()
    assert "K → K²⁺ + e⁻" in page
    assert "<html" not in page
    assert not any(word in page for word in ("right", "balanced", "wrong"))


def test_without_javascript_the_reading_comes_with_the_page(cast: Cast) -> None:
    sent = {"kind": "formula", "answer": "PO43-"}
    page = cast.client("teacher").post(reverse("help_reading"), sent).content.decode()
    assert "PO₄³⁻" in page
    assert 'value="PO43-"' in page


def test_what_cannot_be_read_says_why(cast: Cast) -> None:
    sent = {"kind": "formula", "answer": "Jj2"}
    page = cast.client("student").post(reverse("help_reading"), sent, headers=HTMX).content.decode()
    assert "Jj" in unescape(page)


@pytest.mark.parametrize("kind", ["", "choice", "spell"])
def test_a_box_that_no_page_made_is_refused(cast: Cast, kind: str) -> None:
    sent = {"kind": kind, "answer": "K"}
    assert cast.client("student").post(reverse("help_reading"), sent).status_code == 400


@pytest.mark.parametrize("kind", sorted(TRIED))
@pytest.mark.parametrize("typed", ["", " ", "\x00", "<script>alert(1)</script>", "9**9**9", "(" * 900])
def test_hostile_text_is_only_read(cast: Cast, kind: str, typed: str) -> None:
    response = cast.client("student").post(reverse("help_reading"), {"kind": kind, "answer": typed})
    assert response.status_code == 200
    assert "<script>alert" not in response.content.decode()
