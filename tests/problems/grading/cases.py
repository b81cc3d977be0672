"""The labelled answers of `fixtures/answers/`: one JSON object a line, with the verdict that is wanted."""

import json
from pathlib import Path
from typing import Any

FOLDER = Path(__file__).parents[3] / "fixtures" / "answers"

Row = dict[str, Any]


def rows(pattern: str) -> list[Row]:
    """All rows of the files that match the pattern, in order."""
    paths = sorted(FOLDER.glob(pattern))
    assert paths, f"no file {pattern} in {FOLDER}"
    return [json.loads(line) for path in paths for line in path.read_text("utf-8").splitlines()]


def wanted(row: Row) -> tuple[str, ...]:
    """The verdicts that are right for the row: one, or for hostile texts several."""
    want = row["want_verdict"]
    return (want,) if isinstance(want, str) else tuple(want)
