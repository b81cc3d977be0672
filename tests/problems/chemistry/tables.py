"""Reads the case tables beside this file."""

import csv
from pathlib import Path

DATA = Path(__file__).parent / "data"


def rows(name: str) -> list[dict[str, str]]:
    """The rows of a table, its comment lines left out."""
    with (DATA / name).open(encoding="utf-8", newline="") as file:
        found = list(csv.DictReader(line for line in file if not line.startswith("#")))
    assert found, f"{name} holds no cases"
    return found
