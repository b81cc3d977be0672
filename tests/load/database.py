"""A database of one's own for a run: a SQLite file, or a PostgreSQL cluster that nothing else meets."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import time
from pathlib import Path


class Sqlite:
    def __init__(self, folder: Path) -> None:
        self.url = f"sqlite:///{folder / 'load.sqlite3'}"

    def kill(self) -> None:
        """There is no server; the workers that are killed hold the file open."""

    def start(self) -> None:
        pass

    def stop(self) -> None:
        pass


class Postgresql:
    """A cluster with `fsync` on, reached by a socket in its folder only."""

    def __init__(self, folder: Path) -> None:
        found = sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"))
        where = str(found[-1].parent) if found else os.path.dirname(shutil.which("initdb") or "")
        self.binaries = Path(where)
        self.folder = folder / "postgres"
        self.folder.mkdir()
        folder.chmod(0o711)
        self.url = f"postgres://postgres@/load?host={self.folder}"
        if os.getuid() == 0:
            shutil.chown(self.folder, "postgres")
        self._run(
            "initdb", "-D", self.folder / "data", "-U", "postgres", "-A", "trust", "-E", "UTF8", "--no-sync"
        )
        self.start()
        self._run("createdb", "-h", self.folder, "-U", "postgres", "load")

    def start(self) -> None:
        options = f"-k {self.folder} -c listen_addresses='' -c fsync=on -c max_connections=60"
        self._control("-l", self.folder / "log", "-w", "-o", options, "start")

    def kill(self) -> None:
        """As a power cut would: no checkpoint, no farewell. SIGQUIT is an immediate stop, without delay."""
        lock = self.folder / "data" / "postmaster.pid"
        os.kill(int(lock.read_text().split()[0]), signal.SIGQUIT)
        while lock.exists():
            time.sleep(0.01)

    def stop(self) -> None:
        self._control("-m", "fast", "stop")

    def _control(self, *arguments: object) -> None:
        self._run("pg_ctl", "-D", self.folder / "data", *arguments)

    def _run(self, name: str, *arguments: object) -> None:
        command = [str(self.binaries / name), *map(str, arguments)]
        if os.getuid() == 0:
            command = ["runuser", "-u", "postgres", "--", *command]
        subprocess.run(command, check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, cwd="/")


DATABASES = {"sqlite": Sqlite, "postgresql": Postgresql}
