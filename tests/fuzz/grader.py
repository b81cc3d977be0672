"""Feed the grader random text and time it: `python tests/fuzz/grader.py --texts 200000`.

Fails on any exception and on any answer that takes more than the limit of the thread's CPU time.
"""

import argparse
import gc
import sys
import time
from collections import Counter
from dataclasses import dataclass, field
from heapq import heappushpop
from pathlib import Path
from random import Random

sys.path.insert(0, str(Path(__file__).parents[2]))

from problems.grading.case import Prepared, prepare
from problems.grading.verdict import SCORES
from tests.fuzz.texts import Case, cases, options, texts

LIMIT = 0.050
"""For one answer [s of CPU time of the thread]; of the grading rules."""
SLOWEST = 8

Slow = tuple[float, str, str]
"""Seconds, kind and text."""


@dataclass
class Result:
    """What a run found."""

    verdicts: Counter[str] = field(default_factory=Counter)
    slowest: list[Slow] = field(default_factory=lambda: [(0.0, "", "")] * SLOWEST)
    raised: list[str] = field(default_factory=list)

    @property
    def readable(self) -> float:
        """The share of texts that had a reading."""
        return 1 - self.verdicts["unreadable"] / max(self.verdicts.total(), 1)

    @property
    def longest(self) -> float:
        return max(seconds for seconds, _kind, _text in self.slowest)

    @property
    def failed(self) -> bool:
        return bool(self.raised) or self.longest > LIMIT


def run(count: int, seed: int) -> Result:
    """Grade so many texts against the keys of the tables."""
    rng, known, result = Random(seed), cases(), Result()
    keys = {id(case): prepare(case) for case in known}
    gc.freeze()  # as the command does: keys and tables are not looked through for every answer
    for case, text in texts(known, count, rng):
        answer = options(text, case, rng) if case["kind"] == "choice" else text
        _grade(keys[id(case)], answer, case, result)
    return result


def _grade(key: Prepared, answer: str | list[str], case: Case, result: Result) -> None:
    start = time.thread_time()
    try:
        verdict = key.grade(answer)
        consistent = verdict.score == SCORES[verdict.verdict] and _points_inside(verdict.position, answer)
    except Exception as error:
        result.raised.append(f"{case['kind']} {answer!r} against {case['expected']!r}: {error!r}")
        return
    seconds = time.thread_time() - start
    if not consistent:
        result.raised.append(f"{case['kind']} {answer!r}: {verdict} points outside the text")
    result.verdicts[verdict.verdict] += 1
    heappushpop(result.slowest, (seconds, case["kind"], str(answer)))


def _points_inside(position: int | None, answer: str | list[str]) -> bool:
    return position is None or 0 <= position <= len(answer)


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--texts", type=int, default=200_000)
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args()
    result = run(given.texts, given.seed)
    print(f"{result.verdicts.total()} texts, {result.readable:.0%} readable, {dict(result.verdicts)}")
    for seconds, kind, text in sorted(result.slowest, reverse=True):
        print(f"{seconds * 1000:7.2f} ms  {kind}: {ascii(text)[:200]}")
    for line in result.raised[:20]:
        print("raised:", ascii(line)[:600])
    return 1 if result.failed else 0


if __name__ == "__main__":
    sys.exit(main())
