"""Public functions that compute with floats say in brackets what each number is measured in.

A function has a unit in its docstring for its float arguments and one for the float it returns, like
"the volume [m³] of an amount [mol]". A dataclass with float fields has one in its docstring, or behind
each such field. pH and pK are their own measure, and so is a share or a number without dimension where
the docstring calls it that; a function that serves several units may speak of the SI unit of its kind.
"""

import ast
import re
from collections.abc import Iterator
from itertools import zip_longest
from pathlib import Path

import pytest

import problems

ROOT = Path(problems.__file__).parent
COMPUTING = ("chemistry", "cell")
FILES = sorted(file for folder in COMPUTING for file in (ROOT / folder).rglob("*.py"))
UNIT = re.compile(r"\[[^\]\s][^\]]*\]|\bpH\b|\bpKw?a?\b|\bshares?\b|\b0 to 1\b|\bSI units?\b")
OWN_MEASURE = re.compile(r"(^|_)(ph|pka|pkw)(_|$)")

Function = ast.FunctionDef | ast.AsyncFunctionDef


def is_float(annotation: ast.expr | None) -> bool:
    """True for `float`, `float | None` and containers of floats."""
    return annotation is not None and "float" in {
        node.id for node in ast.walk(annotation) if isinstance(node, ast.Name)
    }


def lacking_in_function(function: Function) -> str | None:
    arguments = [*function.args.posonlyargs, *function.args.args, *function.args.kwonlyargs]
    takes = any(is_float(each.annotation) and not OWN_MEASURE.search(each.arg) for each in arguments)
    gives = is_float(function.returns) and not OWN_MEASURE.search(function.name)
    units = UNIT.findall(ast.get_docstring(function) or "")
    if len(units) >= takes + gives:
        return None
    return f"{function.name}: {takes + gives - len(units)} more unit(s) in brackets wanted"


def lacking_in_class(definition: ast.ClassDef, lines: list[str]) -> Iterator[str]:
    if UNIT.search(ast.get_docstring(definition) or ""):
        return
    for node, following in zip_longest(definition.body, definition.body[1:]):
        if not isinstance(node, ast.AnnAssign) or not isinstance(node.target, ast.Name):
            continue
        behind = lines[node.lineno - 1].partition("#")[2] + documentation(following)
        if is_float(node.annotation) and not OWN_MEASURE.search(node.target.id) and not UNIT.search(behind):
            yield f"{definition.name}.{node.target.id}: a unit in brackets wanted"


def documentation(node: ast.stmt | None) -> str:
    """The text, where a statement is nothing but a text."""
    if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
        return str(node.value.value)
    return ""


def lacking(source: str) -> list[str]:
    """What lacks its unit in one module."""
    tree, found = ast.parse(source), list[str]()
    lines = source.splitlines()
    for node in tree.body:
        if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
            found += lacking_in_class(node, lines)
            found += filter(None, map(lacking_in_function, public_functions(node.body)))
    return [*found, *filter(None, map(lacking_in_function, public_functions(tree.body)))]


def public_functions(body: list[ast.stmt]) -> Iterator[Function]:
    for node in body:
        if isinstance(node, Function) and not node.name.startswith("_"):
            yield node


@pytest.mark.parametrize("file", FILES, ids=lambda file: str(file.relative_to(ROOT)))
def test_public_numbers_have_their_unit(file: Path) -> None:
    assert lacking(file.read_text(encoding="utf-8")) == []


@pytest.mark.parametrize(
    "source",
    [
        'def f(volume: float) -> None:\n    """Of the gas."""',
        'def f() -> float:\n    """The volume."""',
        'def f(amount: float) -> float:\n    """The volume [m³]."""',
        "def f() -> float | None: ...",
        'def phase(volume: float) -> None:\n    """Of the gas."""',
        'class A:\n    """A."""\n    volume: float',
        'class A:\n    """A."""\n    volume: float  # of the gas',
        'class A:\n    """A."""\n    volume: float\n    mass = "[kg]"',
        'class A:\n    """A."""\n    @property\n    def volume(self) -> float:\n        """The volume."""',
    ],
)
def test_a_missing_unit_is_found(source: str) -> None:
    assert len(lacking(source)) == 1


@pytest.mark.parametrize(
    "source",
    [
        'def f(amount: float) -> float:\n    """The volume [m³] of an amount [mol]."""',
        'def f(at: float) -> float:\n    """The charge [mol/L] at a pH."""',
        "def ph(start_ph: float) -> float: ...",
        "def _f(volume: float) -> float: ...",
        "def f(count: int) -> str: ...",
        'class A:\n    """`volume` is that of the gas [m³]."""\n    volume: float',
        'class A:\n    volume: float\n    """Of the gas [m³]."""',
        "class A:\n    volume: float  # [m³]",
        "class A:\n    start_ph: float",
        "class _A:\n    volume: float",
    ],
)
def test_what_has_its_unit_passes(source: str) -> None:
    assert lacking(source) == []
