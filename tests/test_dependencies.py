"""Each dependency is needed, each import declared; each range has its floor, and the lock pins all.

Source of the forms: PEP 508 (requirements), PEP 503 (normalised names), pip's hash-checking mode.
"""

import ast
import re
import sys
import tomllib
from collections.abc import Iterator, Mapping
from functools import cache
from importlib.metadata import packages_distributions
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).parent.parent
OURS = {"problems", "accounts", "quizzes", "tests"}
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
EXTRAS = PROJECT["optional-dependencies"]
LOCK = (ROOT / ".ci/lock.txt").read_text("utf-8")

# Needed without an import: where it stands instead, and the words there.
ELSEWHERE = {
    "argon2-cffi": ("accounts/hashers.py", "Argon2PasswordHasher"),
    "gunicorn": ("tests/load/served.py", '"gunicorn"'),
    "whitenoise": ("quizzes/settings.py", "whitenoise.middleware"),
    "psycopg": ("quizzes/environment.py", "django.db.backends.postgresql"),
    "pybkt": ("tests/quizzes/adaptive/simulate/test_peers.py", "pyBKT.fit"),
    "pytest-playwright": ("tests/e2e/conftest.py", "playwright.sync_api"),
    "pytest-xdist": (".ci/run", "-n 2"),
    "ruff": (".ci/run", "bin/ruff"),
    "django-stubs": ("pyproject.toml", "mypy_django_plugin"),
    "scipy-stubs": ("pyproject.toml", "scipy"),
    "types-tqdm": ("pyproject.toml", "tqdm"),
}


def files(*folders: str) -> Iterator[Path]:
    for folder in folders:
        yield from (ROOT / folder).rglob("*.py")


def modules(source: str) -> Iterator[str]:
    """The first part of every module that `source` imports, wherever the import stands."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            yield from (alias.name.split(".")[0] for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
            yield node.module.split(".")[0]


@cache
def imported(*folders: str) -> set[str]:
    """The modules of others that files below these folders import."""
    found = {name for path in files(*folders) for name in modules(path.read_text("utf-8"))}
    return found - OURS - set(sys.stdlib_module_names)


def declared(*lists: list[str]) -> dict[str, Requirement]:
    found = [Requirement(line) for each in lists for line in each]
    return {canonicalize_name(each.name): each for each in found}


def distributions(names: set[str]) -> set[str]:
    """The packages that these modules come in, where they are installed."""
    known = installed()
    return {canonicalize_name(each) for name in names for each in known.get(name, [name])}


@cache
def installed() -> Mapping[str, list[str]]:
    return packages_distributions()


RUNNING = declared(PROJECT["dependencies"])
EVERYTHING = declared(PROJECT["dependencies"], *EXTRAS.values())


def test_the_product_imports_only_what_it_declares() -> None:
    unknown = distributions(imported("problems", "accounts", "quizzes")) - RUNNING.keys()
    # comes with django-stubs, and is imported for types alone
    assert unknown <= {"django-stubs-ext"}


def test_the_tests_import_only_what_is_declared() -> None:
    unknown = distributions(imported("tests")) - EVERYTHING.keys()
    # these come with pytest, django-stubs and pytest-playwright
    assert unknown <= {"packaging", "mypy", "playwright"}


@pytest.mark.parametrize("name", sorted(RUNNING))
def test_nothing_that_the_product_declares_is_unused(name: str) -> None:
    assert name in distributions(imported("problems", "accounts", "quizzes")) or stands_elsewhere(name)


@pytest.mark.parametrize("name", sorted(EVERYTHING.keys() - RUNNING.keys()))
def test_nothing_that_an_extra_declares_is_unused(name: str) -> None:
    module = name.replace("-", "_")
    found = {each.casefold() for each in imported("tests")}
    named = {each.casefold() for each in distributions(imported("tests"))}
    assert module in found or name in named or stands_elsewhere(name)


def stands_elsewhere(name: str) -> bool:
    where, words = ELSEWHERE.get(name, ("pyproject.toml", "\0"))
    return words in (ROOT / where).read_text("utf-8")


@pytest.mark.parametrize("name", sorted(EVERYTHING))
def test_every_range_has_a_floor_and_the_lock_a_pin_within(name: str) -> None:
    wanted = EVERYTHING[name]
    assert any(each.operator == ">=" for each in wanted.specifier)
    pins = [Requirement(line.rstrip(" \\")) for line in pinned() if canonicalize_name(named(line)) == name]
    assert pins, f"{name} is not in .ci/lock.txt: run .ci/relock"
    for pin in pins:
        (exact,) = pin.specifier
        assert exact.operator == "=="
        assert wanted.specifier.contains(exact.version)


def pinned() -> list[str]:
    return [line for line in LOCK.splitlines() if line and not line.startswith((" ", "#"))]


def named(line: str) -> str:
    found = re.match(r"[A-Za-z0-9._-]+", line)
    assert found
    return found[0]


def test_every_pin_has_hashes_and_the_lock_names_no_host() -> None:
    blocks = re.split(r"^(?=[A-Za-z])", LOCK, flags=re.MULTILINE)
    bare = [block.split()[0] for block in blocks if block.strip() and "--hash=sha256:" not in block]
    assert bare == []
    assert "://" not in LOCK
    assert not re.search(r"^--|@ ", LOCK, flags=re.MULTILINE)


def test_imports_in_functions_are_seen_and_relative_ones_are_ours() -> None:
    source = "import os.path\ndef f():\n    from numpy.linalg import norm\nfrom . import x\nfrom .y import z"
    assert list(modules(source)) == ["os", "numpy"]
