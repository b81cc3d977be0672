"""A seed means the same question on every machine and tomorrow: setups and keys as they were written down.

A skill that changes raises its `version`; then write the table anew with
`python -m tests.problems.generators.test_same_everywhere`, and read what has changed.
"""

import json
from pathlib import Path
from typing import Any

import pytest

from problems.registry import SKILLS, make_question
from tests.problems.generators.bank import PAIRS

TABLE = Path(__file__).parent / "data" / "same_everywhere.json"
SEEDS = (1, 2026)


def identity(name: str, level: str, seed: int) -> dict[str, Any]:
    question = make_question(name, level, seed)
    return {
        "version": question.version,
        "setup": question.setup.as_json(),
        "expected": [part.grading["expected"] for part in question.parts],
    }


def everything() -> dict[str, dict[str, Any]]:
    return {f"{name}/{level}/{seed}": identity(name, level, seed) for name, level in PAIRS for seed in SEEDS}


@pytest.mark.parametrize(("name", "level"), PAIRS)
def test_setup_and_key_are_those_of_the_table(name: str, level: str) -> None:
    table = json.loads(TABLE.read_text(encoding="utf-8"))
    for seed in SEEDS:
        written, now = table[f"{name}/{level}/{seed}"], identity(name, level, seed)
        assert now == written, "another question for the same seed: raise the skill's version"


def test_the_table_holds_these_pairs_and_no_others() -> None:
    table = json.loads(TABLE.read_text(encoding="utf-8"))
    assert table.keys() == {f"{name}/{level}/{seed}" for name, level in PAIRS for seed in SEEDS}
    assert all(SKILLS[key.partition("/")[0]].version == row["version"] for key, row in table.items())


if __name__ == "__main__":
    TABLE.write_text(json.dumps(everything(), ensure_ascii=False, indent=1) + "\n", encoding="utf-8")
