"""The steering's examples run, its numbers have units, its modules import only what they may."""

import ast
import doctest
import importlib
import pkgutil
import re
from pathlib import Path

import pytest

import quizzes.adaptive

ROOT = Path(quizzes.adaptive.__file__).parent
MODULES = [
    "quizzes.adaptive",
    *(module.name for module in pkgutil.walk_packages([str(ROOT)], "quizzes.adaptive.")),
]
FILES = sorted(ROOT.rglob("*.py"))
UNIT = re.compile(r"\[[^\]]+\]|\b[Cc]hance|\b[Ss]hare|\b[Pp]robabilit|P\(|\blog-loss\b")
MAP = re.compile(r"^    ([a-z_]+)\.py|; ([a-z_]+)\.py:", re.MULTILINE)


@pytest.mark.parametrize("name", MODULES)
def test_examples_in_docstrings_run(name: str) -> None:
    assert doctest.testmod(importlib.import_module(name)).failed == 0


def test_there_are_examples() -> None:
    assert sum(doctest.testmod(importlib.import_module(name)).attempted for name in MODULES) >= 10


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_every_module_and_public_class_and_function_says_what_it_is(file: Path) -> None:
    tree = ast.parse(file.read_text())
    assert ast.get_docstring(tree), file
    for node in tree.body:
        if isinstance(node, ast.FunctionDef | ast.ClassDef) and not node.name.startswith("_"):
            assert ast.get_docstring(node), f"{file.name}: {node.name}"


@pytest.mark.parametrize("file", sorted(ROOT.glob("*.py")), ids=lambda file: file.stem)
def test_public_functions_of_numbers_say_what_they_are_measured_in(file: Path) -> None:
    for node in ast.parse(file.read_text()).body:
        if isinstance(node, ast.FunctionDef) and not node.name.startswith("_") and gives_numbers(node):
            assert UNIT.search(ast.get_docstring(node) or ""), f"{file.name}: {node.name}"


def gives_numbers(function: ast.FunctionDef) -> bool:
    returned = ast.unparse(function.returns) if function.returns else ""
    return any(word in returned for word in ("float", "Array"))


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_only_numpy_and_the_standard_library_are_needed(file: Path) -> None:
    """So that the steering can be used and timed without the site."""
    allowed = {"numpy", "quizzes.adaptive", "problems.errors"}
    for node in ast.walk(ast.parse(file.read_text())):
        names = [each.name for each in node.names] if isinstance(node, ast.Import) else []
        names += [node.module or ""] if isinstance(node, ast.ImportFrom) else []
        for name in names:
            known = any(name == each or name.startswith(f"{each}.") for each in allowed)
            assert known or name.partition(".")[0] in STANDARD, f"{file.name} imports {name}"


STANDARD = {
    "__future__", "abc", "collections", "dataclasses", "functools", "html", "json", "math",
    "timeit", "types", "typing",
}  # fmt: skip


def test_the_map_of_the_package_names_every_module() -> None:
    found = {name for pair in MAP.findall(quizzes.adaptive.__doc__ or "") for name in pair if name}
    assert found == {file.stem for file in ROOT.glob("*.py")} - {"__init__"}
