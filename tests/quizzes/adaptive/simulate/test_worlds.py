"""Simulated students are who they are said to be, answer and learn as said."""

import numpy as np
import pytest

from quizzes.adaptive.errors import SteeringError
from quizzes.adaptive.simulate.worlds import (
    CLASS_SIZE,
    ITEM_LEVEL,
    ITEM_SKILL,
    ITEMS,
    SKILL_TOPIC,
    SKILLS,
    WORLDS,
    Misfit,
    Own,
    OwnBand,
    Stepwise,
    random_correlation,
    world,
)
from quizzes.adaptive.step import sigmoid

MANY = 6000


def rng(seed: int = 1) -> np.random.Generator:
    return np.random.default_rng(seed)


@pytest.fixture(scope="module", params=list(WORLDS))
def some(request: pytest.FixtureRequest):
    return world(request.param, MANY, rng())


def test_the_course_is_25_skills_in_5_topics_with_150_items_on_two_levels() -> None:
    assert (SKILLS, ITEMS) == (25, 150)
    assert np.bincount(SKILL_TOPIC).tolist() == [5] * 5
    assert np.bincount(ITEM_SKILL * 2 + ITEM_LEVEL).tolist() == [3] * 50


def test_scores_come_as_often_as_the_chances_say(some) -> None:
    items = rng(2).integers(0, ITEMS, MANY)
    expected = some.chances()[np.arange(MANY), items]
    scores = some.answer(items, rng(3))
    assert scores.mean() == pytest.approx(expected.mean(), abs=0.02)
    strong = expected > np.median(expected)
    assert scores[strong].mean() == pytest.approx(expected[strong].mean(), abs=0.03)


def test_a_topic_is_the_mean_over_its_thirty_items(some) -> None:
    mean = some.chances()[:, ITEM_SKILL < 5].mean(axis=1)
    assert some.topic_truth()[:, 0] == pytest.approx(mean)


def test_the_second_level_is_harder(some) -> None:
    chances = some.chances()
    assert chances[:, ITEM_LEVEL == 0].mean() > chances[:, ITEM_LEVEL == 1].mean() + 0.1


def test_the_same_seed_gives_the_same_students() -> None:
    for name in WORLDS:
        assert np.array_equal(world(name, 60, rng(4)).chances(), world(name, 60, rng(4)).chances())
        assert not np.array_equal(world(name, 60, rng(4)).chances(), world(name, 60, rng(5)).chances())


def test_practice_helps_and_rest_undoes_some(some) -> None:
    mine = world(next(name for name, kind in WORLDS.items() if kind is type(some)), 900, rng())
    items = rng(6).integers(0, ITEMS, (900, 40))
    before = mine.topic_truth().mean()
    for turn in range(40):
        mine.practise(items[:, turn], 0.0, rng(turn))
    after = mine.topic_truth().mean()
    mine.rest(20.0, rng(7))
    assert before < mine.topic_truth().mean() < after


def test_an_unknown_world_is_refused_with_the_known_ones_named() -> None:
    with pytest.raises(SteeringError, match="own, own_band, stepwise, misfit"):
        world("elsewhere", 30, rng())


class TestOwn:
    def test_spreads_are_as_said(self) -> None:
        own = Own(MANY, rng())
        overall = own.base.mean(axis=1)
        assert own.base.mean() == pytest.approx(0.3, abs=0.05)
        within = own.base.reshape(MANY, 5, 5)
        assert within.var(axis=2, ddof=1).mean() == pytest.approx(0.25, rel=0.05)
        between = within.mean(axis=2).var(axis=1, ddof=1).mean()
        assert between == pytest.approx(0.36 + 0.09 + 0.05, rel=0.08)
        assert overall.var() == pytest.approx(1 + 0.45 / 5 + 0.01, rel=0.1)

    def test_classes_share_a_topic_effect(self) -> None:
        own = Own(MANY, rng())
        topics = own.base.reshape(MANY // CLASS_SIZE, CLASS_SIZE, 5, 5).mean(axis=(1, 3))
        apart = topics - topics.mean(axis=1, keepdims=True)
        assert apart.var() == pytest.approx((0.09 + (0.36 + 0.05) / CLASS_SIZE) * 4 / 5, rel=0.2)

    def test_an_answer_adds_as_much_as_said_and_fades_over_sixty_days(self) -> None:
        own = Own(30, rng())
        theta = own.base[:, 0].copy()
        own.practise(np.zeros(30, dtype=int), 0.0, rng())
        assert own.gained[:, 0] == pytest.approx(0.45 * sigmoid(2.2 - theta))
        assert own.gained[:, 1:] == pytest.approx(0)
        own.rest(60.0, rng())
        assert own.gained[:, 0] == pytest.approx(0.45 * sigmoid(2.2 - theta) / np.e)

    def test_practice_in_a_band_helps_most_near_seven_in_ten(self) -> None:
        band = OwnBand(MANY, rng())
        items = np.zeros(MANY, dtype=int)
        share, chance = band.share(items), band.chance(items)
        assert chance[np.argmax(share)] == pytest.approx(0.7, abs=0.01)
        assert share[np.argmin(abs(chance - 0.9))] == pytest.approx(np.exp(-0.5), abs=0.02)


class TestStepwise:
    def test_guess_and_slip_lie_where_said(self) -> None:
        steps = Stepwise(60, rng())
        for level, guess, slip in ((0, (0.12, 0.30), (0.03, 0.10)), (1, (0.03, 0.15), (0.12, 0.28))):
            at = level == ITEM_LEVEL
            assert guess[0] <= steps.guess[at].min() <= steps.guess[at].max() <= guess[1]
            assert slip[0] <= steps.slip[at].min() <= steps.slip[at].max() <= slip[1]

    def test_what_is_unknown_becomes_known_by_its_chance(self) -> None:
        steps = Stepwise(MANY, rng())
        unknown = ~steps.known[:, 0]
        steps.practise(np.zeros(MANY, dtype=int), 0.0, rng(2))
        learnt = (steps.known[:, 0] & unknown).sum() / unknown.sum()
        assert learnt == pytest.approx(steps.learning[0], abs=0.02)
        assert 0.05 <= steps.learning.min() <= steps.learning.max() <= 0.18

    def test_half_a_percent_is_lost_a_day(self) -> None:
        steps = Stepwise(MANY, rng())
        before = steps.known.mean()
        steps.rest(20.0, rng(2))
        assert steps.known.mean() / before == pytest.approx(0.995**20, abs=0.005)


class TestMisfit:
    def test_scores_are_none_half_or_all(self) -> None:
        scores = Misfit(MANY, rng()).answer(rng(2).integers(0, ITEMS, MANY), rng(3))
        assert set(np.unique(scores)) == {0.0, 0.5, 1.0}

    def test_topics_correlate_by_about_a_half(self) -> None:
        pairs = [random_correlation(rng(seed))[np.triu_indices(5, 1)] for seed in range(40)]
        assert np.mean(pairs) == pytest.approx(0.5, abs=0.03)
        assert all(0.3 <= each.min() <= each.max() <= 0.7 for each in pairs)

    def test_a_tenth_of_the_gain_goes_to_the_rest_of_the_topic(self) -> None:
        mine = Misfit(30, rng())
        mine.practise(np.zeros(30, dtype=int), 0.0, rng())
        assert mine.gained[:, 0] == pytest.approx(mine.gain)
        assert mine.gained[:, 1:5] == pytest.approx(np.repeat(0.1 * mine.gain[:, None], 4, axis=1))
        assert mine.gained[:, 5:] == pytest.approx(0)

    def test_repeating_on_another_day_makes_it_last(self) -> None:
        mine, items = Misfit(30, rng()), np.zeros(30, dtype=int)
        mine.practise(items, 0.0, rng())
        mine.practise(items, 0.0, rng())
        assert mine.lasting[:, 0] == pytest.approx(14)
        mine.practise(items, 3.0, rng())
        assert mine.lasting[:, 0] == pytest.approx(21)
        before = mine.gained[:, 0].copy()
        mine.rest(21.0, rng())
        assert mine.gained[:, 0] == pytest.approx(before / np.e)
