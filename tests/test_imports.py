"""Imports point down only: problems and accounts know nothing of quizzes, and problems needs no Django.

Imports inside functions and under TYPE_CHECKING count like any other.
"""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent

# Under this path, nothing may be imported from these packages. The longest matching path decides.
FORBIDDEN = {
    "problems": ("django", "django_htmx", "accounts", "quizzes"),
    "problems/chemistry": (
        "django",
        "accounts",
        "quizzes",
        "problems.cell",
        "problems.grading",
        "problems.generators",
        "problems.registry",
    ),
    "problems/cell": (
        "django",
        "accounts",
        "quizzes",
        "problems.grading",
        "problems.generators",
        "problems.registry",
    ),
    "problems/grading": ("django", "accounts", "quizzes", "problems.generators", "problems.registry"),
    "problems/generators": ("django", "accounts", "quizzes", "problems.registry"),
    "accounts": ("quizzes", "problems"),
    "quizzes": (),
    "quizzes/adaptive": ("django", "accounts"),
}


def imported(source: str, module: str) -> Iterator[str]:
    """Every module and name that `source`, the text of `module`, imports, in full."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            above = module.split(".")[: -node.level] if node.level else []
            base = ".".join([*above, *([node.module] if node.module else [])])
            yield from (f"{base}.{alias.name}" for alias in node.names)


def points_up(path: str, source: str) -> list[str]:
    """The imports of `source`, at `path` from the root, that its place in the house forbids."""
    place = max((place for place in FORBIDDEN if path.startswith(f"{place}/")), key=len)
    module = path.removesuffix(".py").replace("/", ".")
    found = [name for name in imported(source, module) if _within(name, FORBIDDEN[place])]
    if place == "quizzes/adaptive":
        found += [
            name
            for name in imported(source, module)
            if _within(name, ("quizzes",)) and not _within(name, ("quizzes.adaptive",))
        ]
    return found


def _within(name: str, packages: tuple[str, ...]) -> bool:
    return any(name == package or name.startswith(f"{package}.") for package in packages)


def sources() -> list[str]:
    found = (path for top in ("problems", "accounts", "quizzes") for path in (ROOT / top).rglob("*.py"))
    return sorted(path.relative_to(ROOT).as_posix() for path in found)


@pytest.mark.parametrize("path", sources())
def test_imports_point_down(path: str) -> None:
    assert points_up(path, (ROOT / path).read_text()) == []


@pytest.mark.parametrize(
    ("path", "source"),
    [
        ("problems/words.py", "import django"),
        ("problems/words.py", "from django.utils import timezone"),
        ("problems/words.py", "import django_htmx"),
        ("problems/chemistry/formula.py", "def f():\n    from quizzes.models import Run"),
        ("problems/chemistry/formula.py", "from problems import cell"),
        ("problems/chemistry/formula.py", "from ..grading import verdict"),
        ("problems/cell/setup.py", "from problems.grading.verdict import Verdict"),
        ("problems/grading/case.py", "from problems.registry import SKILLS"),
        ("accounts/views.py", "import quizzes.access"),
        ("accounts/views.py", "if TYPE_CHECKING:\n    from quizzes.models import Run"),
        ("accounts/views.py", "from problems.words import number"),
        ("quizzes/adaptive/belief.py", "from django.db import models"),
        ("quizzes/adaptive/belief.py", "from quizzes.models import Strength"),
        ("quizzes/adaptive/belief.py", "from ..models import Strength"),
    ],
)
def test_an_import_that_points_up_is_found(path: str, source: str) -> None:
    assert points_up(path, source)


@pytest.mark.parametrize(
    ("path", "source"),
    [
        ("problems/cell/setup.py", "from problems.chemistry.formula import Formula\nimport pint"),
        ("accounts/views.py", "from django.shortcuts import render\nfrom accounts import access"),
        ("quizzes/adaptive/belief.py", "import numpy\nfrom quizzes.adaptive import items"),
        ("quizzes/access.py", "from accounts.models import User\nfrom problems import registry"),
    ],
)
def test_an_import_that_points_down_is_allowed(path: str, source: str) -> None:
    assert points_up(path, source) == []
