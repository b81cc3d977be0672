"""Runs of tokens of a hint that the grader would take for an answer, whole or in part."""

import re
from collections.abc import Iterator

from problems.grading.case import Prepared, prepare
from problems.question import Part

LONGEST = 14


def leaks(part: Part) -> Iterator[str]:
    """Every run of tokens of every hint, and every hint whole, that is graded correct or partly."""
    prepared = prepare(part.grading)
    for hint in part.hints:
        yield from (run for run in _runs(hint) if _is_taken(prepared, part, run))


def _runs(hint: str) -> Iterator[str]:
    yield hint
    tokens = hint.split()
    for start in range(len(tokens)):
        for end in range(start + 1, min(start + LONGEST, len(tokens)) + 1):
            yield " ".join(tokens[start:end]).strip(".,:;?!()“”")


def _is_taken(prepared: Prepared, part: Part, run: str) -> bool:
    kind = part.grading["kind"]
    if kind == "choice":
        keys = [word for word in re.split(r"[\s,;.]+", run) if word]
        return len(keys) < 4 and prepared.grade(keys).verdict in ("correct", "partly")
    if kind == "equation" and not re.search(r"[→=<>-]", run):
        return False
    return bool(run) and prepared.grade(run).verdict in ("correct", "partly")
