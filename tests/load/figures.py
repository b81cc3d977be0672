"""How long things took, and what went wrong."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any


@dataclass
class Figures:
    """Times of each kind of request [s], and a sentence for each thing that was not as it must be."""

    times: dict[str, list[float]] = field(default_factory=dict)
    errors: list[str] = field(default_factory=list)

    def note(self, kind: str, seconds: float) -> None:
        self.times.setdefault(kind, []).append(seconds)

    def report(self) -> dict[str, Any]:
        """Of each kind its number and percentiles [ms]."""
        rows = {kind: _row(sorted(times)) for kind, times in self.times.items()}
        return {"requests": rows, "errors": len(self.errors), "first_errors": self.errors[:5]}


def percentile(ordered: list[float], share: float) -> float:
    """The value that `share` of the ordered values do not exceed.

    >>> percentile([1.0, 2.0, 3.0, 4.0], 0.5)
    2.0
    """
    return ordered[max(-(-int(share * 100) * len(ordered) // 100) - 1, 0)]


def _row(ordered: list[float]) -> dict[str, float]:
    marks = {"p50": 0.5, "p95": 0.95, "p99": 0.99, "max": 1.0}
    return {"number": len(ordered)} | {
        name: round(1000 * percentile(ordered, share), 1) for name, share in marks.items()
    }
