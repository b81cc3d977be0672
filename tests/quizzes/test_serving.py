"""`manage.py serve`: a fresh folder becomes a served site, with nothing set in the environment."""

import os
import re
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from pathlib import Path

import pytest

from quizzes import serving

ROOT = Path(__file__).parent.parent.parent


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def start(tmp_path: Path, port: int, *more: str) -> subprocess.Popen[str]:
    env = {"PATH": os.environ["PATH"], "DATA_DIR": str(tmp_path / "data")}
    command = [sys.executable, "manage.py", "serve", "--port", str(port), *more]
    return subprocess.Popen(
        command, cwd=ROOT, env=env, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    )


def get(port: int, path: str, host: str = "127.0.0.1") -> tuple[int, str, dict[str, str]]:
    request = urllib.request.Request(f"http://127.0.0.1:{port}{path}", headers={"Host": host})
    try:
        with urllib.request.urlopen(request, timeout=5) as response:
            return response.status, response.read().decode(), dict(response.headers)
    except urllib.error.HTTPError as error:
        with error:
            return error.code, error.read().decode(), dict(error.headers)


def wait_for(port: int, server: subprocess.Popen[str]) -> None:
    end = time.monotonic() + 30
    while server.poll() is None and time.monotonic() < end:
        try:
            get(port, "/account/sign-in/")
        except OSError:
            time.sleep(0.1)
        else:
            return
    raise AssertionError("the server did not come up")


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[int, Path, subprocess.Popen[str]]]:
    folder = tmp_path_factory.mktemp("site")
    port = free_port()
    server = start(folder, port, "--lan")
    wait_for(port, server)
    yield port, folder, server
    server.send_signal(signal.SIGINT)
    server.communicate(timeout=20)


def test_the_sign_in_page_and_its_files_are_served(site) -> None:
    port, _, _ = site
    status, page, headers = get(port, "/account/sign-in/")
    assert (status, headers["Server"]) == (200, "gunicorn")
    assert "session" not in headers.get("Set-Cookie", "")
    for path in re.findall(r'(?:href|src)="(/static/[^"]+)"', page):
        status, _, headers = get(port, path)
        assert status == 200
        assert "immutable" in headers["Cache-Control"]


def test_a_host_that_is_not_this_machine_is_refused(site) -> None:
    port, _, _ = site
    assert get(port, "/account/sign-in/", host="elsewhere.example")[0] == 400
    assert get(port, "/account/sign-in/", host=f"{serving.local_address()}:{port}")[0] == 200


def test_the_key_is_kept_and_nobody_else_reads_it(site) -> None:
    _, folder, _ = site
    path = folder / "data" / "secret_key"
    assert path.stat().st_mode & 0o077 == 0
    assert len(path.read_text()) >= 50
    assert serving.kept_key(folder / "data") == path.read_text()


def test_a_port_in_use_is_one_sentence(site, tmp_path: Path) -> None:
    port, _, _ = site
    second = start(tmp_path, port, "--lan")
    _, errors = second.communicate(timeout=60)
    assert second.returncode == 1
    assert re.fullmatch(rf"CommandError: Port {port} cannot be used here \(.*\)\. Give another.*\n", errors)


def test_on_the_network_it_says_what_plain_http_means(tmp_path: Path) -> None:
    port = free_port()
    server = start(tmp_path, port, "--lan")
    wait_for(port, server)
    server.send_signal(signal.SIGINT)
    said, _ = server.communicate(timeout=20)
    assert f"http://{serving.local_address()}:{port}/" in said
    assert "plain HTTP" in said


def test_two_folders_have_two_keys(tmp_path: Path) -> None:
    keys = {serving.kept_key(tmp_path / name) for name in ("a", "b")}
    assert len(keys) == 2


SWITCH = """
import django, sys
django.setup()
from pathlib import Path
from django.contrib.auth import get_user_model
from django.core.management import call_command
from quizzes import environment, serving
get_user_model().objects.db  # the first database is known, as in a running command
serving.use_database(environment.sqlite(Path(sys.argv[1])))
call_command("migrate", verbosity=0)
get_user_model().objects.create_user("ines")
serving.use_database(environment.sqlite(Path(sys.argv[2])))
call_command("migrate", verbosity=0)
print(get_user_model().objects.count())
serving.use_database(environment.sqlite(Path(sys.argv[1])))
print(get_user_model().objects.count())
"""


def test_a_command_can_use_a_database_of_its_own(tmp_path: Path) -> None:
    env = {
        "PATH": os.environ["PATH"],
        "DATA_DIR": str(tmp_path),
        "DJANGO_SETTINGS_MODULE": "quizzes.settings",
    }
    files = [str(tmp_path / name) for name in ("one.sqlite3", "two.sqlite3")]
    done = subprocess.run(
        [sys.executable, "-c", SWITCH, *files], cwd=ROOT, env=env, capture_output=True, text=True, timeout=120
    )
    assert done.stdout.split() == ["0", "1"], done.stderr
    assert not (tmp_path / "voltameter.sqlite3").exists()
