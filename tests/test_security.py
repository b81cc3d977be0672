"""Headers, cookies and limits.

Sources: OWASP HTTP Headers Cheat Sheet and OWASP ASVS 5.0, chapter 3 (web frontend security).
"""

import json
import os
import subprocess
import sys
from io import BytesIO
from pathlib import Path

import pytest
from django.http import HttpResponse
from django.test import Client, override_settings
from django.urls import reverse

from accounts.models import User
from quizzes.environment import transport
from tests.conftest import Cast

ROOT = Path(__file__).parent.parent
CSP = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; "
    "form-action 'self'; frame-ancestors 'none'; base-uri 'none'"
)
HEADERS = {
    "Content-Security-Policy": CSP,
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
}


@pytest.mark.parametrize("path", ["/account/sign-in/", "/account/", "/no/such/page/"])
def test_every_answer_carries_the_headers(anonymous: Client, db: None, path: str) -> None:
    response = anonymous.get(path)
    assert {name: response.headers.get(name) for name in HEADERS} == HEADERS
    for feature in ("camera", "microphone", "geolocation"):
        assert f"{feature}=()" in response["Permissions-Policy"]


def test_pages_of_a_person_are_kept_nowhere(cast: Cast) -> None:
    assert "no-store" in cast.client("student").get("/account/")["Cache-Control"]


def test_cookies_over_plain_http(cast: Cast, anonymous: Client) -> None:
    anonymous.post(reverse("accounts:sign_in"), {"username": "ines", "password": "copper and nitrate"})
    assert set(anonymous.cookies) == {"session", "csrf"}
    assert all(cookie["httponly"] and cookie["samesite"] == "Lax" for cookie in anonymous.cookies.values())


def test_over_https_cookies_are_bound_to_the_host_and_the_host_to_https(cast: Cast) -> None:
    with override_settings(**transport(https=True)):
        client = Client()
        assert client.get("/account/sign-in/")["Location"] == "https://testserver/account/sign-in/"
        data = {"username": "ines", "password": "copper and nitrate"}
        response = client.post("/account/sign-in/", data, secure=True)
    assert response["Strict-Transport-Security"] == "max-age=31536000; includeSubDomains; preload"
    assert set(client.cookies) == {"__Host-session", "__Host-csrf"}
    for cookie in client.cookies.values():
        assert cookie["secure"]
        assert cookie["path"] == "/"
        assert not cookie["domain"]


def test_a_body_that_no_person_typed_is_refused(cast: Cast) -> None:
    long = "x" * 1_000_001
    response = cast.client("student").post("/account/", {"display_name": long})
    assert response.status_code == 413  # RFC 9110, 15.5.14


def run(*arguments: str, **env: str) -> subprocess.CompletedProcess[str]:
    """A fresh Python with nothing in its environment but `env`."""
    base = {"PATH": os.environ["PATH"], "DJANGO_SETTINGS_MODULE": "quizzes.settings"}
    return subprocess.run(
        [sys.executable, *arguments], cwd=ROOT, env=base | env, capture_output=True, text=True, timeout=60
    )


def test_commands_need_no_key(tmp_path: Path) -> None:
    done = run("manage.py", "check", DATA_DIR=str(tmp_path))
    assert done.returncode == 0, done.stderr


@pytest.mark.parametrize(
    ("key", "sentence"),
    [
        ("", "SECRET_KEY is not set; the site is not served without one."),
        ("short", "SECRET_KEY is too short; give at least 50 random characters."),
    ],
)
def test_the_site_is_not_served_without_a_proper_key(tmp_path: Path, key: str, sentence: str) -> None:
    done = run("-c", "import quizzes.wsgi", DATA_DIR=str(tmp_path), SECRET_KEY=key)
    assert done.returncode == 1
    assert done.stderr.splitlines()[-1].endswith(sentence)


def test_served_with_a_key_debug_is_off_and_https_is_on(tmp_path: Path) -> None:
    asked = (
        "import json, quizzes.wsgi; from django.conf import settings as s;"
        "print(json.dumps([s.DEBUG, s.SECURE_SSL_REDIRECT, s.SESSION_COOKIE_SECURE, s.ALLOWED_HOSTS]))"
    )
    done = run("-c", asked, DATA_DIR=str(tmp_path), SECRET_KEY="k" * 50)
    assert json.loads(done.stdout) == [False, True, True, []]


def test_a_setting_that_makes_no_sense_is_one_sentence(tmp_path: Path) -> None:
    done = run("manage.py", "check", DATA_DIR=str(tmp_path), DATABASE_URL="mysql://somewhere/db")
    assert done.returncode == 1
    assert done.stderr == "DATABASE_URL must start with sqlite:// or postgres://.\n"


def test_passwords_of_the_served_site_are_kept_as_argon2(tmp_path: Path) -> None:
    """Source: OWASP Password Storage Cheat Sheet, least settings of Argon2id: 19 MiB, 2 passes, 1 lane."""
    asked = (
        "import quizzes.wsgi; from django.contrib.auth.hashers import make_password;"
        "print(make_password('copper and nitrate'))"
    )
    done = run("-c", asked, DATA_DIR=str(tmp_path), SECRET_KEY="k" * 50)
    assert done.stdout.startswith("argon2$argon2id$v=19$m=19456,t=2,p=1$"), done.stderr


@pytest.mark.parametrize(
    ("chosen", "told"),
    [
        ("short one", "too short"),
        ("5551234567890", "entirely numeric"),
        ("basketball", "too common"),
        ("marguerite1", "too similar"),
    ],
)
def test_a_password_that_others_would_guess_is_refused(cast: Cast, chosen: str, told: str) -> None:
    """Source: NIST SP 800-63B, 5.1.1.2: a least length, and no common or person-related secrets."""
    User.objects.filter(pk=cast.student.pk).update(display_name="Ines Marguerite")
    data = {"old_password": "copper and nitrate", "new_password1": chosen, "new_password2": chosen}
    response = cast.client("student").post(reverse("accounts:change_password"), data)
    assert told in response.content.decode()
    cast.student.refresh_from_db()
    assert cast.student.check_password("copper and nitrate")


def test_a_changed_password_ends_every_other_session(cast: Cast) -> None:
    """Source: OWASP ASVS 5.0, 7.4.3."""
    here, elsewhere = cast.client("student"), cast.client("student")
    before = here.session.session_key
    new = "three grey cups of tea"
    data = {"old_password": "copper and nitrate", "new_password1": new, "new_password2": new}
    assert here.post(reverse("accounts:change_password"), data).status_code == 302
    assert here.session.session_key != before
    assert here.get("/").status_code == 200
    assert elsewhere.get("/account/").status_code == 302


@pytest.mark.parametrize("charset", ["utf-16", "latin-1", "utf-7"])
def test_a_form_that_is_not_utf8_is_refused(cast: Cast, charset: str) -> None:
    """With the token checked, as from a browser. Source: WHATWG URL, 5: such a form is UTF-8."""
    kind = f"application/x-www-form-urlencoded; charset={charset}"
    assert posted(cast, kind).status_code == 400


@pytest.mark.parametrize("charset", ["", "; charset=utf-8", "; charset=UTF-8"])
def test_a_form_in_utf8_is_taken(cast: Cast, charset: str) -> None:
    assert posted(cast, f"application/x-www-form-urlencoded{charset}").status_code == 302


@pytest.mark.parametrize("host", ["other.example", "testserver"])
@pytest.mark.parametrize("path", ["/account/language/", "/no/such/page/"])
def test_a_form_in_parts_without_an_edge_is_refused(cast: Cast, path: str, host: str) -> None:
    client = cast.client("student")
    sent = client.generic("POST", path, b"--x", "multipart/form-data", HTTP_HOST=host)
    assert sent.status_code == 400


def test_too_many_fields_or_files_are_refused(cast: Cast) -> None:
    client = cast.client("student")
    fields = client.post("/account/", {f"f{number}": "" for number in range(501)})
    files = client.post("/account/", {f"f{number}": BytesIO(b"x") for number in range(3)})
    assert (fields.status_code, files.status_code) == (400, 400)


def posted(cast: Cast, kind: str) -> HttpResponse:
    client = Client(enforce_csrf_checks=True)
    client.cookies["csrf"] = token = "a" * 32
    where = "/account/language/"
    sent = client.generic("POST", where, b"language=de", kind, HTTP_X_CSRFTOKEN=token)
    assert isinstance(sent, HttpResponse)
    return sent
