"""Seeded random texts: right answers renotated, answers with a few faults, raw and hostile text."""

import json
from collections.abc import Callable, Iterator
from pathlib import Path
from random import Random
from typing import Any

TABLES = Path(__file__).parents[2] / "fixtures" / "answers"
LONGEST = 600

ALPHABET = (
    "0123456789 .,+-*/^=()[]{}_:%$\\~<>'\"eEHOClNaAgmLsMkKµΩ°"
    "₂₄²³⁻⁺−–×·÷√½→⇌↑↓٣９Ⅳ\u200b\u00a0\u0301\ufeff\ud800\U0001f9ea\x00\n\t"
)
SNIPPETS = (
    "9**9**9**9",
    "1e999999",
    "H999999999999",
    "(((((((((",
    ")))))))",
    "-" * 40,
    "2H2O + 2e- -> ",
    "nan",
    "inf",
    "\\frac{",
    "\\sqrt{",
    "\\ce{",
    "__import__('os')",
    "10^10^10",
    "1/0",
    "√√√√√√",
    "^^^^",
    "+++----->",
    "e-" * 20,
    "Cu2+2e-->",
    "SO42-",
    " x 10^-",
    "½½½",
    "{{{{{",
    "}}}}}",
    "1,234,567.890",
    " per ",
    " of ",
    "%s%n",
    "\\" * 20,
    "0.3333333333333333333333",
    "(aq)(s)(l)(g)",
    "mol L-1 s-1 K-1",
    "=" * 10,
    "\ud800\udfff",
    "²" * 30,
    "·" * 30,
)
RENOTATIONS: tuple[tuple[str, str], ...] = (
    ("-", "−"), ("2", "₂"), ("->", "→"), ("*", "·"), (" ", "  "), (" ", "\u00a0"), (".", ","), ("^2", "²"),
    ("+", " + "), ("=", "⇌"), ("x", "×"), ("-", "–"), ("mL", "ml"), ("/", " / "), ("(", "["),
)  # fmt: skip

Case = dict[str, Any]
Change = Callable[[str, Random], str]


def cases() -> list[Case]:
    """All labelled answers of the tables."""
    lines = [
        line for table in sorted(TABLES.glob("*.jsonl")) for line in table.read_text("utf-8").splitlines()
    ]
    return [json.loads(line) for line in lines]


def texts(known: list[Case], count: int, rng: Random) -> Iterator[tuple[Case, str]]:
    """So many pairs of a case and a text to grade against its key."""
    typed = [case["answer"] for case in known if isinstance(case["answer"], str)]
    for _number in range(count):
        case = rng.choice(known)
        answer = case["answer"] if isinstance(case["answer"], str) else " ".join(case["answer"])
        right = rng.choice((answer, case["expected"])) if isinstance(case["expected"], str) else answer
        yield case, _text(right, typed, rng)[:LONGEST]


def options(text: str, case: Case, rng: Random) -> list[str]:
    """A text made into ticked options."""
    return rng.sample(case["expected"], rng.randint(0, len(case["expected"]))) + text.split()[:3]


def _text(right: str, typed: list[str], rng: Random) -> str:
    """A renotation (five in ten), one fault (three), several, another answer, or raw text."""
    choice = rng.random()
    if choice < 0.5:
        return _renotated(right, rng)
    if choice < 0.8:
        return _faulty(right, rng)
    if choice < 0.9:
        text = right
        for _step in range(rng.randint(2, 6)):
            text = _faulty(text, rng)
        return text
    return rng.choice(typed) if choice < 0.95 else _raw(rng)


def _renotated(text: str, rng: Random) -> str:
    for old, new in rng.sample(RENOTATIONS, rng.randint(0, 2)):
        text = text.replace(old, new) if rng.random() < 0.5 else text.replace(old, new, 1)
    return text


def _faulty(text: str, rng: Random) -> str:
    return rng.choice((_dropped, _inserted, _exchanged, _doubled, _spliced, _repeated))(text, rng)


def _dropped(text: str, rng: Random) -> str:
    place = rng.randrange(len(text) + 1)
    return text[:place] + text[place + 1 :]


def _inserted(text: str, rng: Random) -> str:
    place = rng.randrange(len(text) + 1)
    return text[:place] + rng.choice(ALPHABET) + text[place:]


def _exchanged(text: str, rng: Random) -> str:
    if len(text) < 2:
        return text
    place = rng.randrange(len(text) - 1)
    return text[:place] + text[place + 1] + text[place] + text[place + 2 :]


def _doubled(text: str, rng: Random) -> str:
    start, end = sorted(rng.randrange(len(text) + 1) for _ in range(2))
    return text[:end] + text[start:]


def _spliced(text: str, rng: Random) -> str:
    place = rng.randrange(len(text) + 1)
    return text[:place] + rng.choice(SNIPPETS) + text[place:]


def _repeated(text: str, rng: Random) -> str:
    start = rng.randrange(len(text) + 1)
    piece = text[start : start + rng.randint(1, 8)]
    return text[:start] + piece * rng.choice((2, 5, 60)) + text[start:]


def _raw(rng: Random) -> str:
    pieces = rng.choices((*ALPHABET, *SNIPPETS), k=rng.choice((3, 20, 120)))
    return "".join(pieces)
