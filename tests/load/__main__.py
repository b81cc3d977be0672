"""`python -m tests.load SCENE`: the site under load on a database of its own; prints figures as JSON."""

from __future__ import annotations

import argparse
import asyncio
import json
import os
import secrets
import signal
import sys
import tempfile
from pathlib import Path
from typing import Any

from tests.load.database import DATABASES, Postgresql, Sqlite
from tests.load.served import BARE, NOBODYS, SITE, Served

SCENES = {
    "class": "everybody answers in the same instant",
    "school": "everybody answers every so many seconds, a teacher watches",
    "exchange": "the processor time of an exchange beside a bare view that writes the same two rows",
    "soak": "many answers through one worker: its memory at ten moments",
    "kills": "answers while workers and the database are killed: none lost, none doubled",
}


def arguments() -> argparse.Namespace:
    scenes = "\n".join(f"  {name:10}{what}" for name, what in SCENES.items())
    parser = argparse.ArgumentParser(
        prog="python -m tests.load",
        description=__doc__,
        epilog=f"scenes:\n{scenes}",
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("scene", choices=SCENES)
    parser.add_argument("--database", choices=DATABASES, default="sqlite")
    parser.add_argument("--students", type=int, default=35)
    parser.add_argument("--workers", type=int, default=0, help="0: as the site itself decides")
    parser.add_argument("--times", type=int, default=5, help="class: answers of each; exchange: rounds")
    parser.add_argument("--seconds", type=float, default=300, help="school: how long")
    parser.add_argument("--every", type=float, default=20, help="school: seconds between answers")
    parser.add_argument("--answers", type=int, default=1000, help="kills, soak: how many in all")
    parser.add_argument("--kills", type=int, default=20)
    return parser.parse_args()


def set_up(folder: Path, url: str) -> None:
    """Django on the database of this run, here and in the servers that inherit the environment."""
    os.environ.update(
        DATABASE_URL=url,
        DATA_DIR=str(folder),
        SECRET_KEY=secrets.token_urlsafe(64),
        ALLOWED_HOSTS="127.0.0.1",
        PLAIN_HTTP="1",
        DJANGO_SETTINGS_MODULE="quizzes.settings",
        DJANGO_ALLOW_ASYNC_UNSAFE="1",  # the client reads keys between two requests
    )
    import django
    from django.core.management import call_command

    django.setup()
    call_command("migrate", verbosity=0)
    call_command("collectstatic", verbosity=0, interactive=False)


def play(given: argparse.Namespace, folder: Path, database: Sqlite | Postgresql) -> dict[str, Any]:
    from django.db import connections

    from tests.load import school

    names = school.fill(given.students)
    connections.close_all()
    if given.scene == "soak":  # one worker, which does not begin anew meanwhile
        site = Served(SITE, folder / "log", 1, "--max-requests", "0")
    else:
        site = Served(SITE, folder / "log", given.workers)
    try:
        return asyncio.run(SCENE[given.scene](given, names, site, database, folder))
    finally:
        connections.close_all()
        site.stop()


async def _class(given: argparse.Namespace, names: list[str], site: Served, *_: object) -> dict[str, Any]:
    from tests.load.scenes import at_once

    return await at_once(names, site, given.times)


async def _school(given: argparse.Namespace, names: list[str], site: Served, *_: object) -> dict[str, Any]:
    from tests.load.scenes import school

    return await school(names, site, given.seconds, given.every)


async def _exchange(
    given: argparse.Namespace, names: list[str], site: Served, _: object, folder: Path
) -> dict[str, Any]:
    from tests.load.exchange import bare_rows, measure
    from tests.load.scenes import sign_in_all

    students, _figures = await sign_in_all(names, site)
    bare = [Served(each, folder / "bare.log", given.workers) for each in (BARE, NOBODYS)]
    try:
        return await measure(site, *bare, students, bare_rows(names), given.times)
    finally:
        for each in bare:
            each.stop()


async def _soak(given: argparse.Namespace, names: list[str], site: Served, *_: object) -> dict[str, Any]:
    from tests.load.scenes import soak

    return await soak(names, site, given.answers)


async def _kills(
    given: argparse.Namespace, names: list[str], site: Served, database: Sqlite | Postgresql, *_: object
) -> dict[str, Any]:
    from tests.load import kills

    return await kills.run(names, site, database, given.answers, given.kills)


SCENE = {"class": _class, "school": _school, "exchange": _exchange, "soak": _soak, "kills": _kills}


def main() -> None:
    given = arguments()
    # Stopped from outside, it still stops what it has started.
    signal.signal(signal.SIGTERM, lambda *_: sys.exit(1))
    with tempfile.TemporaryDirectory(prefix="voltameter-load-") as name:
        folder = Path(name)
        database = DATABASES[given.database](folder)
        try:
            set_up(folder, database.url)
            found = {"scene": given.scene, "database": given.database, **play(given, folder, database)}
        finally:
            database.stop()
        told = (folder / "log").read_text() if (folder / "log").exists() else ""
    print(json.dumps(found, indent=1))
    if "Traceback" in told and given.scene != "kills":
        sys.exit(told[-2000:])


if __name__ == "__main__":
    main()
