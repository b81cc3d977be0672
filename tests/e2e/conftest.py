"""Tests in a real Chromium: Debian's, or the one that CHROMIUM names.

Where there is none they are skipped with that reason, unless VOLTAMETER_BROWSER=required.
"""

import os
import shutil
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.conf import settings
from django.test import Client
from playwright.sync_api import BrowserContext, Page
from pytest_django.live_server_helper import LiveServer

from accounts.models import User

# Playwright's own loop runs in this thread, which Django would take for asynchronous code.
os.environ.setdefault("DJANGO_ALLOW_ASYNC_UNSAFE", "true")

CHROMIUM = os.environ.get("CHROMIUM") or shutil.which("chromium") or shutil.which("chromium-browser")
QUIET = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)

SignIn = Callable[[User], Page]
Check = Callable[[], None]


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    for item in items:
        if "/e2e/" in str(item.path):
            item.add_marker(pytest.mark.browser)


@pytest.fixture(scope="session")
def browser_type_launch_args(browser_type_launch_args: dict[str, Any]) -> dict[str, Any]:
    if not CHROMIUM:
        tell = pytest.fail if os.environ.get("VOLTAMETER_BROWSER") == "required" else pytest.skip
        tell("no Chromium on this machine: install Debian's package `chromium` or set CHROMIUM to its path")
    return {**browser_type_launch_args, "executable_path": CHROMIUM, "args": list(QUIET)}


@pytest.fixture
def complaints(page: Page) -> Iterator[list[str]]:
    """What the browser's console complains of; a test that expects a complaint clears the list."""
    found: list[str] = []
    page.on("console", lambda message: found.append(message.text) if message.type == "error" else None)
    page.on("pageerror", lambda error: found.append(str(error)))
    yield found
    assert found == []


@pytest.fixture
def sign_in(context: BrowserContext, page: Page, complaints: list[str], live_server: LiveServer) -> SignIn:
    """The page of a browser in which this user is signed in, without the sign-in form."""

    def as_user(user: User) -> Page:
        client = Client()
        client.force_login(user)
        name = settings.SESSION_COOKIE_NAME
        context.add_cookies([{"name": name, "value": client.cookies[name].value, "url": live_server.url}])
        return page

    return as_user


@pytest.fixture
def check_access(page: Page) -> Check:
    """Fails on what axe finds in the page as it is now: a floor for accessibility, not a proof of it."""

    def check() -> None:
        found = Axe().run(page).response["violations"]
        told = [f"{rule['id']}: {[node['target'] for node in rule['nodes']]}" for rule in found]
        assert told == []

    return check
