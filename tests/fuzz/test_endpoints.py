"""A short run against a live server, and what it must be able to see.

Source of the bounds: the grading rules (50 ms of the grader's time an answer; an exchange gets a second);
RFC 9110, 15.5: a request at fault is answered with a status 4xx, never 5xx.
"""

import time
import uuid
import zipfile
from collections.abc import Sequence
from io import BytesIO
from random import Random

import pytest
from django.http import HttpRequest, HttpResponse
from django.test import override_settings
from django.urls import path, reverse
from pytest_django.live_server_helper import LiveServer

from problems.generators.setups import SHOWCASE
from quizzes.runs import start_run
from tests.conftest import Cast, make_cast
from tests.fuzz.endpoints import Found, Target, _judge, hunt
from tests.fuzz.forms import forms_of
from tests.fuzz.hostile import ODD, TOO_LARGE, Sent, encoded, file_content, multipart
from tests.fuzz.test_grader import HARD, LONGEST
from tests.quizzes.conftest import NOW, ask_on

FORM = {"Content-Type": "application/x-www-form-urlencoded"}
REQUESTS = 60
JUDGED = ("2H2O + 2e- -> H2", "2H2O+" * 100, *HARD[:4])
EXCHANGE = 1.0
"""For reading or judging one text over HTTP [s of CPU time of client and server together]."""


@pytest.fixture
def school(transactional_db: None) -> Cast:
    return make_cast()


@pytest.fixture
def target(live_server: LiveServer, school: Cast) -> Target:
    server = live_server.thread
    return Target(server.host, server.port, school, readers=("student",))


def test_hostile_requests_get_no_fault(target: Target) -> None:
    found = Found()
    hunt(target, REQUESTS, 7, found)
    assert found.faults == []
    assert found.statuses.total() >= REQUESTS
    assert len(found.reached) > 10


def test_a_body_beyond_the_limit_is_refused(target: Target) -> None:
    body = b"display_name=" + b"A" * TOO_LARGE
    assert target.ask(Sent("student", "POST", "/account/", body, FORM))[0] in {400, 413}
    many = encoded([(f"f{number}", "") for number in range(501)])
    assert target.ask(Sent("student", "POST", "/account/", many, FORM))[0] in {400, 413}


def test_a_forged_form_is_refused(target: Target) -> None:
    assert target.ask(Sent("student", "POST", "/account/", b"display_name=x", FORM, forged=True))[0] == 403


def test_hard_texts_are_read_and_judged_in_time(target: Target) -> None:
    question = ask_on(start_run(target.cast.student, NOW, SHOWCASE))
    assert _longest(target, reverse("reading", args=[question.public_id]), HARD) < EXCHANGE
    assert _longest(target, reverse("answer", args=[question.public_id]), JUDGED) < EXCHANGE
    assert question.answers.count() > 0


def _longest(target: Target, where: str, texts: Sequence[str]) -> float:
    """The longest of the exchanges that send these texts, none of which may fail [s of CPU time]."""
    found = 0.0
    for text in texts:
        body = encoded([("part", "0"), ("token", str(uuid.uuid4())), ("answer", text[:LONGEST])])
        start = time.process_time()
        status, _page = target.ask(Sent("student", "POST", where, body, {**FORM, "HX-Request": "true"}))
        found = max(found, time.process_time() - start)
        assert status in {200, 400}, ascii(text)[:80]
    return found


def _broken(request: HttpRequest) -> HttpResponse:
    raise RuntimeError("broken on purpose")


urlpatterns = [path("account/", _broken)]


def test_a_broken_page_is_noticed(target: Target) -> None:
    found = Found()
    with override_settings(ROOT_URLCONF=__name__):
        _judge(target, Sent("student", "GET", "/account/"), found)
    assert found.statuses == {500: 1}
    assert found.faults[0].startswith("500: student GET /account/")


def test_a_server_that_is_gone_is_noticed(target: Target) -> None:
    found = Found()
    target.port = 1
    _judge(target, Sent("student", "GET", "/account/"), found)
    assert found.faults[0].startswith("0: ")


def test_forms_are_found_with_their_choices() -> None:
    page = """<form method="post" action="/a/"><input name="csrfmiddlewaretoken" value="t">
        <input name="x" value="1">
        <select name="s"><option value="p">P</option><option value="q">Q</option></select>
        <textarea name="t"></textarea><button name="go" value="now">Go</button></form><input name="outside">
        <form><input name="f"></form>"""
    posted, got = forms_of(page, "/here/")
    assert (posted.action, posted.method) == ("/a/", "POST")
    assert posted.fields == [("x", "1"), ("s", "p"), ("s", "q"), ("t", ""), ("go", "now")]
    assert (got.action, got.method, got.fields) == ("/here/", "GET", [("f", "")])


def test_odd_texts_can_all_be_sent() -> None:
    """A lone surrogate goes as the three bytes that RFC 3629, 3 forbids in UTF-8."""
    assert encoded([("t", "\ud800")]) == b"t=%ED%A0%80"
    body, kind = multipart([("roster", text) for text in ODD], Random(1))
    assert kind.startswith("multipart/form-data; boundary=")
    assert body.count(b"Content-Disposition") == len(ODD)


def test_files_are_whole_and_broken_bundles_tables_and_bytes() -> None:
    kinds = [_kind(file_content(Random(number))) for number in range(60)]
    assert set(kinds) == {"bundle", "table", "bytes"}


def _kind(content: bytes) -> str:
    if zipfile.is_zipfile(BytesIO(content)):
        return "bundle"
    return "table" if b"sign-in name" in content else "bytes"
