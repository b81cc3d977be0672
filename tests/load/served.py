"""gunicorn with the site or the bare view, as `quizzes.workers` says, and what its workers use."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
import time
from contextlib import suppress
from pathlib import Path

ROOT = Path(__file__).parent.parent.parent
TICKS = os.sysconf("SC_CLK_TCK")
PAGE = os.sysconf("SC_PAGE_SIZE")
SITE, BARE, NOBODYS = "quizzes.wsgi", "tests.load.bare.wsgi", "tests.load.bare.nobodys_wsgi"
"""The site, a bare view for who is signed in behind the site's middleware, and one that knows nobody."""


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


class Served:
    """A running server; `workers` 0 leaves their number to the site's own settings, and `options` are more
    of gunicorn's."""

    def __init__(self, application: str, log: Path, workers: int = 0, *options: str) -> None:
        self.port = free_port()
        command = [sys.executable, "-m", "gunicorn", "-c", "python:quizzes.workers"]
        command += ["--bind", f"127.0.0.1:{self.port}", *options, application]
        if workers:
            command += ["--workers", str(workers)]
        env = {name: value for name, value in os.environ.items() if name != "DJANGO_SETTINGS_MODULE"}
        with log.open("ab") as told:
            self.process = subprocess.Popen(command, cwd=ROOT, env=env, stdout=told, stderr=told)
        self._wait(workers or 1)

    def _wait(self, workers: int) -> None:
        end = time.monotonic() + 60
        while time.monotonic() < end and self.process.poll() is None:
            with suppress(OSError), socket.create_connection(("127.0.0.1", self.port), timeout=1):
                if len(self.workers()) >= workers:
                    return
            time.sleep(0.05)
        raise RuntimeError("The server did not come up.")

    def workers(self) -> list[int]:
        children = Path(f"/proc/{self.process.pid}/task/{self.process.pid}/children")
        return [int(each) for each in children.read_text().split()]

    def processor_time(self) -> float:
        """What the workers have used so far, in the kernel too [s]."""
        return sum(_processor_time(pid) for pid in self.workers())

    def memory(self) -> list[float]:
        """Resident memory of each worker [MB]."""
        return [_resident(pid) for pid in self.workers()]

    def kill_a_worker(self, which: int) -> None:
        workers = self.workers()
        if workers:
            with suppress(ProcessLookupError):
                os.kill(workers[which % len(workers)], signal.SIGKILL)

    def stop(self) -> None:
        self.process.send_signal(signal.SIGTERM)
        self.process.wait(timeout=40)


def _processor_time(pid: int) -> float:
    fields = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / TICKS


def _resident(pid: int) -> float:
    return int(Path(f"/proc/{pid}/statm").read_text().split()[1]) * PAGE / 1e6
