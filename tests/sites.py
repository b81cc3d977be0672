"""A site of its own for a test that restarts, migrates or restores: an environment, and commands in it."""

import os
import subprocess
import sys
import uuid
from collections.abc import Iterator
from pathlib import Path

from django.db import connection

ROOT = Path(__file__).resolve().parents[1]
Environment = dict[str, str]
Done = subprocess.CompletedProcess[str]

FILL = """
import django; django.setup()
from django.utils import timezone
from quizzes.demo import school
school.RUNS_EACH, school.CLASSES = 1, (("Group A", "first_year", 2), ("Group B", "second_year", 1))
school.fill(timezone.now(), 5, lambda answers: None)
"""
COUNTS = """
import django; django.setup()
from hashlib import sha256
from accounts.models import User
from quizzes.models import Answer, Strength
rows = Strength.objects.order_by("student__username").values_list("student__username", "state", "answers")
told = "".join(f"{name} {sha256(bytes(state)).hexdigest()} {answers} " for name, state, answers in rows)
print(User.objects.count(), Answer.objects.count(), told)
"""


def environment(data_dir: Path) -> Environment:
    return {
        "PATH": os.environ["PATH"],
        "DATA_DIR": str(data_dir),
        "DJANGO_SETTINGS_MODULE": "quizzes.settings",
        "SECRET_KEY": "for one site of a test only, and long enough to be a key",
    }


def site(data_dir: Path) -> Iterator[Environment]:
    """On a database of the suite's kind, made for this and dropped after it."""
    if connection.vendor == "sqlite":
        yield environment(data_dir)
        return
    name = f"site_{uuid.uuid4().hex}"
    with connection._nodb_cursor() as cursor:  # type: ignore[attr-defined]
        cursor.execute(f"CREATE DATABASE {name}")
    yield {**environment(data_dir), "DATABASE_URL": _url(name)}
    with connection._nodb_cursor() as cursor:  # type: ignore[attr-defined]
        cursor.execute(f"DROP DATABASE {name} WITH (FORCE)")


def _url(name: str) -> str:
    given = connection.settings_dict
    password = f":{given['PASSWORD']}" if given["PASSWORD"] else ""
    return f"postgres://{given['USER']}{password}@/{name}?host={given['HOST']}&port={given['PORT'] or 5432}"


def run(env: Environment, *command: str) -> Done:
    return subprocess.run(
        [sys.executable, *command], cwd=ROOT, env=env, capture_output=True, text=True, check=False
    )


def manage(env: Environment, *command: str) -> Done:
    return run(env, "manage.py", *command)


def fill(env: Environment) -> Environment:
    for done in (manage(env, "migrate", "--verbosity", "0"), run(env, "-c", FILL)):
        assert done.returncode == 0, done.stderr
    return env
