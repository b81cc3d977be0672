"""Send hostile requests to the served site: `python -m tests.fuzz.endpoints --minutes 10 --seed 1`.

Every address, by everyone of the cast, with every method; the site's own forms with changed fields; odd
bytes in targets, headers, bodies and files. Fails on an answer of the kind 5xx, on none, and on a slow one.
"""

from __future__ import annotations

import argparse
import http.client
import os
import re
import secrets
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Sequence
from contextlib import closing
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from tests.load.database import DATABASES

if TYPE_CHECKING:
    from tests.conftest import Cast
    from tests.fuzz.forms import Form
    from tests.fuzz.hostile import Sent

SLOWEST = 5.0
"""For one answer on a busy machine [s]; a page takes a tenth of a second."""
ROUND = 1500
"""Requests between two fresh schools: some of them delete what others need."""
READERS = ("student", "teacher", "staff", "anonymous")


@dataclass
class Found:
    """What a run saw."""

    statuses: Counter[int] = field(default_factory=Counter)
    reached: set[str] = field(default_factory=set)
    faults: list[str] = field(default_factory=list)
    slowest: float = 0.0


class Target:
    """A served site with a school in its database."""

    def __init__(self, host: str, port: int, cast: Cast, readers: Sequence[str] = READERS) -> None:
        from django.db import transaction

        from quizzes import steering
        from tests.site_map import address, ids, routes

        self.host, self.port, self.cast = host, port, cast
        parts = ids(cast)
        with transaction.atomic():
            row = steering.locked(cast.student)
            row.numbered = cast.student.answers.count()  # the map's own answer was not given on a page
            row.save()
        self.targets = [address(name, parts) for name in sorted(routes())]
        self.token = secrets.token_hex(16)
        self.cookies: dict[str, str] = {}
        for person in self.people:
            self.sign_in(person)
        self.readers = readers

    @cached_property
    def forms(self) -> list[tuple[str, Form]]:
        """The forms that each reader is shown."""
        return [(person, form) for person in self.readers for form in self._forms(person)]

    @property
    def people(self) -> list[str]:
        from tests.conftest import PEOPLE

        return list(PEOPLE)

    def sign_in(self, person: str) -> None:
        """Give the person a session, once more where a request has ended it."""
        from django.conf import settings

        kept = self.cast.client(person).cookies
        named = [f"{name}={morsel.value}" for name, morsel in kept.items()]
        self.cookies[person] = "; ".join([*named, f"{settings.CSRF_COOKIE_NAME}={self.token}"])

    def _forms(self, person: str) -> list[Form]:
        """The forms on the pages that this person may open."""
        from tests.fuzz.forms import forms_of
        from tests.fuzz.hostile import Sent

        found = []
        for path in self.targets:
            status, page = self.ask(Sent(person, "GET", path))
            if status == 200:
                found += forms_of(page.decode("utf-8", "replace"), path)
        return list({(form.action, tuple(form.fields)): form for form in found}.values())

    def ask(self, sent: Sent) -> tuple[int, bytes]:
        """The status and the body. Raises OSError or HTTPException where there is no answer."""
        with closing(http.client.HTTPConnection(self.host, self.port, timeout=30)) as link:
            headers = {"Host": f"localhost:{self.port}", **sent.headers}
            link.putrequest(sent.method, sent.target, skip_host=True, skip_accept_encoding=True)
            for name, value in headers.items():
                link.putheader(name, value.encode("latin-1", "replace"))
            link.putheader("Cookie", self.cookies[sent.person])
            if not sent.forged:
                link.putheader("X-CSRFToken", self.token)
            link.putheader("Content-Length", str(len(sent.body)))
            link.endheaders(sent.body)
            response = link.getresponse()
            if "sign-in" in response.headers.get("Location", "") and sent.person != "anonymous":
                self.sign_in(sent.person)
            return response.status, response.read()


def hunt(target: Target, requests: int, seed: int, found: Found) -> None:
    """Send so many requests and note what is wrong with the answers."""
    import hypothesis
    from hypothesis import HealthCheck, Phase, given

    from tests.fuzz import hostile

    @hypothesis.seed(seed)
    @hypothesis.settings(
        max_examples=requests,
        deadline=None,
        database=None,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    @given(hostile.sent(target.people, target.targets, target.forms))
    def send(sent: Sent) -> None:
        _judge(target, sent, found)

    send()


def _judge(target: Target, sent: Sent, found: Found) -> None:
    start = time.monotonic()
    try:
        status, body = target.ask(sent)
    except (ConnectionResetError, BrokenPipeError):
        status, body = 413 if len(sent.body) > 1_000_000 else 0, b""
    except (OSError, http.client.HTTPException) as error:
        status, body = 0, repr(error).encode()
    seconds = time.monotonic() - start
    found.statuses[status] += 1
    found.reached.add(sent.target.split("?")[0])
    found.slowest = max(found.slowest, seconds)
    if status == 0 or status >= 500 or b"Traceback (most recent call last)" in body:
        found.faults.append(f"{status}: {sent}")
    elif seconds > SLOWEST:
        found.faults.append(f"{seconds:.1f} s: {sent}")


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--minutes", type=float, default=10)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--database", choices=sorted(DATABASES), default="sqlite")
    given = parser.parse_args()
    with tempfile.TemporaryDirectory(prefix="voltameter-fuzz-") as folder:
        database = DATABASES[given.database](Path(folder))
        try:
            found = _run(Path(folder), database.url, given.minutes * 60, given.seed)
        finally:
            database.stop()
        log = (Path(folder) / "log").read_text("utf-8", "replace")
    _tell(found, log)
    return 1 if found.faults else 0


def _run(folder: Path, url: str, seconds: float, seed: int) -> Found:
    os.environ |= {
        "DJANGO_SETTINGS_MODULE": "quizzes.settings", "DATA_DIR": str(folder), "PLAIN_HTTP": "1",
        "SECRET_KEY": secrets.token_urlsafe(64), "ALLOWED_HOSTS": "localhost,127.0.0.1,testserver",
        "OPEN_REGISTRATION": "1", "DATABASE_URL": url,
    }  # fmt: skip
    import django
    from django.core.management import call_command

    from tests.load.served import SITE, Served

    django.setup()
    call_command("migrate", verbosity=0)
    call_command("collectstatic", interactive=False, verbosity=0)
    served = Served(SITE, folder / "log", workers=1)
    try:
        return _rounds(served.port, time.monotonic() + seconds, seed, _fresh_cast)
    finally:
        served.stop()


def _rounds(port: int, end: float, seed: int, fresh: Callable[[], Cast]) -> Found:
    found, number = Found(), 0
    while time.monotonic() < end:
        hunt(Target("127.0.0.1", port, fresh()), ROUND, seed * 1000 + number, found)
        number += 1
    return found


def _fresh_cast() -> Cast:
    from django.core.management import call_command

    from tests.conftest import make_cast

    call_command("flush", interactive=False, verbosity=0)
    return make_cast()


def _tell(found: Found, log: str) -> None:
    print(f"{found.statuses.total()} requests to {len(found.reached)} targets, slowest {found.slowest:.2f} s")
    print("statuses:", dict(sorted(found.statuses.items())))
    for fault in found.faults[:40]:
        print("fault:", re.sub(r"(.)\1{40,}", r"\1…", ascii(fault))[:900])
    if found.faults:
        print("\n".join([line for line in log.splitlines() if '"status": 500' in line][-20:]))


if __name__ == "__main__":
    sys.exit(main())
