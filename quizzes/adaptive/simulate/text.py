"""The figures of a simulation as tables for people, each with its standard error."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from quizzes.adaptive.simulate.run import Results

TITLES = {
    "prediction": "Prediction: log-loss, area under the curve, calibration error",
    "finding": "Finding: answers until the named topic is within .10 of the weakest for 80 % of students",
    "intervals": "Intervals: share of 90 % intervals that hold the truth, after 10, 20 and 50 answers",
    "flag": "Flag: precision from 10 answers on, share of weak topics flagged after 20",
    "learning": "Learning: exam mean, worst topic, share of students above .6 in every topic",
    "class": "Class: named topic within .03 of its weakest, coverage of its intervals, after 20 answers",
}
BELOW = {
    "prediction": (
        "ours_start keeps the starting values; ours_cold is a class nobody knew, refitted every night\n"
        "  on its own answers, as the site does; ours_tuned_N was fitted to N other students before,\n"
        "  elo, pfa and bkt to 300."
    ),
    "finding": "Each student is read alone; random, in_turn and greedy go by percent correct.",
}
COST = "Cost on this machine [µs]"
NAME_WIDTH, CELL_WIDTH = 18, 18


def as_text(results: Results) -> str:
    """All tables, one a part and world; `±` is one standard error over schools."""
    lines: list[str] = []
    for learner, parts in results.figures["learners"].items():
        lines += ["", f"Students of the world {learner}"]
        for part, figures in parts.items():
            lines += ["", TITLES[part], *_rows(figures, results.errors[learner][part])]
            lines += [f"  {BELOW[part]}"] if part in BELOW else []
    if "cost_us" in results.figures:
        lines += ["", COST, *_rows(results.figures["cost_us"], {})]
    return "\n".join(lines).strip()


def _rows(figures: Mapping[str, Any], errors: Mapping[str, Any]) -> Iterator[str]:
    for name, value in figures.items():
        error = errors.get(name)
        cells = [(value, error)]
        if isinstance(value, Mapping):
            cells = [(each, (error or {}).get(key)) for key, each in value.items()]
        yield "  " + name.ljust(NAME_WIDTH) + "".join(_cell(*each).rjust(CELL_WIDTH) for each in cells)


def _cell(value: float | None, error: float | None) -> str:
    if value is None:
        return "never"
    places = 0 if isinstance(value, int) else 3
    shown = f"{value:.{places}f}"
    return shown if error is None else f"{shown} ± {error:.{places or 1}f}"
