"""What the steering costs, held against what a page can afford.

Run with `pytest tests/benchmarks -m benchmark`.
"""

import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from quizzes.adaptive.calibrate import calibrate
from quizzes.adaptive.history import Answered
from quizzes.adaptive.items import Items
from quizzes.adaptive.parameters import Parameters
from quizzes.adaptive.simulate.cost import calls
from quizzes.adaptive.simulate.worlds import LEVELS, SKILL_MAP
from quizzes.adaptive.state import Strength
from quizzes.adaptive.structure import SkillMap

MOST_MICROSECONDS = {"update": 50, "choose_60": 150, "report": 1_000, "class_30": 20_000}
CALIBRATION_SECONDS = 20


@pytest.mark.parametrize(("name", "most"), MOST_MICROSECONDS.items())
def test_steps(benchmark: BenchmarkFixture, name: str, most: float) -> None:
    """The quickest round counts: slower ones are other work on the machine."""
    call, _ = calls()[name]
    benchmark(call)
    assert benchmark.stats["min"] * 1e6 <= most


def test_a_row_there_and_back(benchmark: BenchmarkFixture) -> None:
    strength = Strength.prior(SKILL_MAP, Parameters())
    benchmark(lambda: Strength.from_bytes(strength.to_bytes()))
    assert benchmark.stats["min"] * 1e6 <= 150


def test_aligning_to_a_new_skill(benchmark: BenchmarkFixture) -> None:
    more = SkillMap((*SKILL_MAP.skills, "topic0.new"), (*SKILL_MAP.topics, "topic0"))
    strength, parameters = Strength.prior(SKILL_MAP, Parameters()), Parameters()
    benchmark(strength.aligned, more, parameters)
    assert benchmark.stats["min"] * 1e6 <= 500


def test_calibrating_four_hundred_students(benchmark: BenchmarkFixture) -> None:
    """Seconds on a quiet machine of two cores."""
    rng, parameters = np.random.default_rng(1), Parameters()
    levels = dict.fromkeys(SKILL_MAP.skills, LEVELS)
    answers = [
        Answered(
            student,
            SKILL_MAP.skills[rng.integers(25)],
            LEVELS[turn % 2],
            float(rng.random() < 0.6),
            turn // 10,
        )
        for student in range(400)
        for turn in range(60)
    ]
    items = Items.cold(levels, parameters)
    benchmark.pedantic(calibrate, (answers, SKILL_MAP, levels, parameters, items), rounds=1)
    assert benchmark.stats["min"] <= CALIBRATION_SECONDS
