"""One question, its evidence included, takes under 4 ms in the median, on one core."""

from itertools import count

import pytest

from problems.registry import SKILLS, make_question

PAIRS = [(skill.name, level) for skill in SKILLS.values() for level in skill.levels]


@pytest.mark.benchmark(group="questions")
@pytest.mark.parametrize(("name", "level"), PAIRS)
def test_a_question_takes_less_than_4_ms(benchmark, name: str, level: str) -> None:  # type: ignore[no-untyped-def]
    seeds = count(1)
    make_question(name, level, 0)
    benchmark.pedantic(lambda: make_question(name, level, next(seeds)), rounds=60)
    assert benchmark.stats.stats.median < 4e-3
