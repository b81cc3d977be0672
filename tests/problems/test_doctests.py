"""The examples in the docstrings of `problems` are run and come out as written."""

import doctest
import importlib
import pkgutil

import pytest

import problems

MODULES = sorted(module.name for module in pkgutil.walk_packages(problems.__path__, "problems."))


@pytest.mark.parametrize("name", MODULES)
def test_examples_in_docstrings_come_out_as_written(name: str) -> None:
    assert doctest.testmod(importlib.import_module(name)).failed == 0


def test_the_chemistry_has_examples() -> None:
    chemistry = [importlib.import_module(name) for name in MODULES if name.startswith("problems.chemistry.")]
    assert sum(doctest.testmod(module).attempted for module in chemistry) >= 25
