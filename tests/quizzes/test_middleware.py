"""The reader's language and time zone, while the page is made and not after."""

import pytest
from django.contrib.auth.models import AnonymousUser
from django.http import HttpRequest, HttpResponse
from django.test import RequestFactory
from django.utils import timezone, translation

from problems import words
from quizzes.middleware import ReaderMiddleware
from tests.factories import UserFactory


def seen(request: HttpRequest) -> HttpResponse:
    return HttpResponse(
        f"{words.current_language()} {translation.get_language()} {timezone.get_current_timezone_name()}"
    )


def page(rf: RequestFactory, user: object) -> str:
    request = rf.get("/")
    request.user = user  # type: ignore[assignment]
    return ReaderMiddleware(seen)(request).content.decode()


def test_a_reader_gets_the_sentences_and_times_asked_for(rf: RequestFactory) -> None:
    reader = UserFactory.build(language="de", time_zone="America/Lima")
    assert page(rf, reader) == "de de America/Lima"


def test_nothing_of_it_is_left_for_the_next_reader(rf: RequestFactory) -> None:
    page(rf, UserFactory.build(language="de", time_zone="America/Lima"))
    assert page(rf, AnonymousUser()) == "en en UTC"
    assert words.current_language() == "en"


@pytest.mark.parametrize(("asked", "written"), [("es-mx", "es"), ("de", "de")])
def test_a_country_does_not_change_the_language_of_a_sentence(
    rf: RequestFactory, asked: str, written: str
) -> None:
    assert page(rf, UserFactory.build(language=asked)).startswith(written + " ")


def test_only_pages_of_a_person_are_kept_out_of_caches(rf: RequestFactory) -> None:
    request = rf.get("/")
    request.user = AnonymousUser()
    assert "Cache-Control" not in ReaderMiddleware(seen)(request).headers
