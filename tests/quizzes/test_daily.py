"""What a machine that serves a school does beside its workers: a process that lives as long as the server."""

import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

from quizzes import daily

ROOT = Path(__file__).parent.parent.parent
A_SERVER = """
import os, signal, django
django.setup()
from quizzes import daily
fork = os.fork
def told():
    child = fork()
    if child:
        print(child, flush=True)
    return child
os.fork = told
daily.start()
signal.pause()
"""


def test_it_ends_when_its_server_is_gone_however_that_happened(tmp_path: Path) -> None:
    env = {**os.environ, "DJANGO_SETTINGS_MODULE": "quizzes.settings", "DATA_DIR": str(tmp_path)}
    server = subprocess.Popen([sys.executable, "-c", A_SERVER], cwd=ROOT, env=env, stdout=subprocess.PIPE)
    assert server.stdout is not None
    child = int(server.stdout.readline())
    os.kill(child, 0)
    server.kill()
    # The pipe that both write to ends with the last of them.
    server.communicate(timeout=30)
    assert server.returncode != 0


def test_it_waits_in_short_steps_and_stops_waiting_when_told() -> None:
    left = iter([True, False])
    began = time.monotonic()
    assert not daily._sleep(60, lambda: next(left))
    assert time.monotonic() - began < 10
    assert daily._sleep(0, lambda: True)


@pytest.mark.django_db
def test_a_site_without_answers_has_nothing_to_do() -> None:
    assert not daily.look()
