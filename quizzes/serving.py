"""Serving the site from a management command: the kept key, collected files, plain HTTP, the server.

Everything here changes settings of this one process; `gunicorn quizzes.wsgi` needs none of it.
"""

import os
import secrets
import socket
from collections.abc import Callable
from contextlib import suppress
from functools import partial
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management import CommandError, call_command
from django.db import connections

from quizzes import daily, environment, workers

KEY_LENGTH = 64
LOCAL = ("localhost", "127.0.0.1", "[::1]")


def kept_key(data_dir: Path) -> str:
    """The secret key of this data folder, made on first use and readable by its owner only."""
    path = data_dir / "secret_key"
    data_dir.mkdir(parents=True, exist_ok=True)
    try:
        handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    except FileExistsError:
        return path.read_text().strip()
    with os.fdopen(handle, "w") as file:
        file.write(secrets.token_urlsafe(KEY_LENGTH))
    return path.read_text()


def use_database(config: dict[str, Any]) -> None:
    """Make `config` (as from `environment.sqlite`) the database of this process."""
    connections.close_all()
    settings.DATABASES = {"default": config}
    connections.settings["default"] = connections.configure_settings({"default": config})["default"]
    with suppress(AttributeError):
        del connections["default"]


def local_address() -> str:
    """This machine's address on the local network, else 127.0.0.1. Nothing is sent to find it."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))
        except OSError:
            return "127.0.0.1"
        return str(probe.getsockname()[0])


def prepare(*, lan: bool) -> None:
    """Settings of a site served over plain HTTP from this machine."""
    settings.SECRET_KEY = os.environ.get("SECRET_KEY") or kept_key(settings.DATA_DIR)
    for name, value in environment.transport(https=False).items():
        setattr(settings, name, value)
    here = [*LOCAL, local_address(), socket.gethostname()] if lan else [*LOCAL]
    settings.ALLOWED_HOSTS = [*settings.ALLOWED_HOSTS, *here]
    call_command("collectstatic", interactive=False, verbosity=0)


def serve(host: str, port: int, *, lan: bool = False) -> None:
    """Serve until interrupted; with gunicorn where it runs, else with Django's own server."""
    refuse_taken_port(host, port)
    prepare(lan=lan)
    connections.close_all()
    daily.start()
    try:
        run: Callable[[], object] = _gunicorn(host, port)
    except ImportError:
        # gunicorn needs a system with fork; Windows has none.
        run = partial(call_command, "runserver", f"{host}:{port}", use_reloader=False)
    run()


def refuse_taken_port(host: str, port: int) -> None:
    with socket.socket(socket.AF_INET, socket.SOCK_STREAM) as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((host, port))
        except (OSError, OverflowError) as error:
            raise CommandError(
                f"Port {port} cannot be used here ({error}). Give another with --port."
            ) from error


def _gunicorn(host: str, port: int) -> Callable[[], None]:
    from gunicorn.app.base import BaseApplication

    options = {**vars(workers), "bind": f"{host}:{port}"}

    class Server(BaseApplication):
        def load_config(self) -> None:
            assert self.cfg is not None
            for name in options.keys() & self.cfg.settings.keys():
                self.cfg.set(name, options[name])

        def load(self) -> Any:
            from quizzes.wsgi import application

            return application

    return Server().run  # type: ignore[no-untyped-call]
