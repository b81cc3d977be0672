"""Pages in the reader's language: chosen by the person, else by the browser."""

import re
from html.parser import HTMLParser

import pytest
from django.conf import settings
from django.test import Client
from django.urls import reverse

from accounts.models import User
from tests.conftest import Cast

SIGN_IN = reverse("accounts:sign_in")
LANGUAGE = reverse("accounts:language")
PROFILE = reverse("accounts:profile")
GERMAN = {"accept-language": "de-AT,de;q=0.9,en;q=0.5"}


class OfPage(HTMLParser):
    lang = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag == "html":
            self.lang = dict(attrs)["lang"] or ""


def language_of(html: str) -> str:
    page = OfPage()
    page.feed(html)
    return page.lang


def shown(client: Client, path: str, accepts: str = "") -> str:
    html = client.get(path, headers={"accept-language": accepts} if accepts else {}).content.decode()
    return language_of(html)


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("accepts", "expected"),
    [
        ("", "en"),
        ("de", "de"),
        ("de-AT,de;q=0.9,en;q=0.5", "de"),
        ("fr,de;q=0.5", "de"),
        ("fr", "en"),
        ("%", "en"),
    ],
)
def test_the_browser_decides_for_a_stranger(client: Client, accepts: str, expected: str) -> None:
    """As RFC 9110, section 12.5.4, has it: the first language the reader wants and the site has."""
    assert shown(client, SIGN_IN, accepts) == expected


@pytest.mark.django_db
def test_a_stranger_chooses(client: Client) -> None:
    response = client.post(LANGUAGE, {"language": "de", "next": SIGN_IN})
    assert response.url == SIGN_IN  # type: ignore[attr-defined]
    assert shown(client, SIGN_IN) == "de"
    client.post(LANGUAGE, {"language": "en", "next": SIGN_IN})
    assert shown(client, SIGN_IN, "de") == "en"


@pytest.mark.django_db
@pytest.mark.parametrize("language", ["", "xx", "de\x00", "d" * 5000])
def test_an_unknown_language_changes_nothing(client: Client, language: str) -> None:
    assert client.post(LANGUAGE, {"language": language}).status_code == 302
    assert shown(client, SIGN_IN) == "en"


@pytest.mark.django_db
def test_the_choice_leads_to_no_other_site(client: Client) -> None:
    response = client.post(LANGUAGE, {"language": "de", "next": "https://elsewhere.example/"})
    assert response.url == "/"  # type: ignore[attr-defined]


@pytest.mark.django_db
def test_a_stranger_finds_every_language_in_its_own_words(client: Client) -> None:
    for read_in in ("en", "de"):
        html = client.get(SIGN_IN, headers={"accept-language": read_in}).content.decode()
        for code, name in settings.LANGUAGES:
            assert re.search(f'value="{code}" lang="{code}"[^>]*>{name}<', html)


def test_a_person_chooses_once_for_every_device(cast: Cast) -> None:
    cast.client("student").post(PROFILE, {"display_name": "Ada", "language": "de"})
    assert User.objects.get(display_name="Ada").language == "de"
    assert shown(cast.client("student"), PROFILE, "en") == "de"
    assert LANGUAGE not in cast.client("student").get(PROFILE).content.decode()


def test_the_choice_is_confirmed_in_the_language_chosen(cast: Cast) -> None:
    client = cast.client("student")
    client.post(PROFILE, {"display_name": "Ada", "language": "de"}, headers={"accept-language": "en"})
    assert "Gespeichert." in client.get(PROFILE).content.decode()


def test_who_chooses_nothing_gets_the_browsers_language(cast: Cast) -> None:
    assert shown(cast.client("student"), PROFILE, "de") == "de"
    assert shown(cast.client("student"), PROFILE) == "en"


def test_a_language_that_is_not_offered_is_refused(cast: Cast) -> None:
    html = cast.client("student").post(PROFILE, {"display_name": "Ada", "language": "xx"}).content.decode()
    assert "xx is not one of the available choices" in html
    assert not User.objects.exclude(language="").exists()


@pytest.mark.django_db
def test_refusals_come_in_german_too(client: Client) -> None:
    """Our own sentence, and one of the framework's."""
    wrong = client.post(SIGN_IN, {"username": "nobody", "password": "x"}, headers=GERMAN).content.decode()
    assert "Anmeldename und Passwort gehören nicht zusammen." in wrong
    empty = client.post(SIGN_IN, {"username": "nobody"}, headers=GERMAN).content.decode()
    assert "Dieses Feld ist zwingend erforderlich." in empty


@pytest.mark.django_db
def test_a_missing_page_is_german(client: Client) -> None:
    html = client.get("/nowhere/", headers=GERMAN).content.decode()
    assert language_of(html) == "de"
    assert "Hier ist nichts" in html
