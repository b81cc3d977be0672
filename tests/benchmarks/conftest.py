"""Benchmarks run only where asked: `pytest tests/benchmarks -m benchmark -s`."""

import pytest


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    for item in items:
        if "/benchmarks/" in str(item.path):
            item.add_marker(pytest.mark.benchmark)
