"""Histories no class should have: numbers stay finite and intervals stay sane."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from quizzes.adaptive.report import skill_chances, topic_chances, weak_topics
from quizzes.adaptive.update import Observation, move_to_day, update
from tests.quizzes.adaptive.course import COURSE, ITEMS, PARAMETERS, after, fresh, seen


def assert_sane(strength) -> None:
    assert np.isfinite(strength.mean).all()
    assert np.abs(strength.mean).max() < 10
    assert np.linalg.eigvalsh(strength.covariance).min() > -1e-9
    assert np.diag(strength.covariance).max() <= PARAMETERS.prior_variance + 1e-9
    for chances in (topic_chances, skill_chances):
        for name, chance in chances(strength, ITEMS, PARAMETERS).items():
            assert 0 <= chance.low <= chance.mean <= chance.high <= 1, name
            assert chance.high - chance.low > 1e-4, name
    weak = weak_topics(strength, ITEMS, PARAMETERS)
    assert 0 < weak.probability <= 1 + 1e-9


@pytest.mark.parametrize("score", [0.0, 0.5, 1.0])
def test_ten_thousand_answers_all_the_same(score: float) -> None:
    strength = after([(COURSE.skills[turn % 12], score) for turn in range(10_000)])
    assert_sane(strength)
    means = [chance.mean for chance in topic_chances(strength, ITEMS, PARAMETERS).values()]
    expected = {0.0: (0, 0.15), 0.5: (0.3, 0.7), 1.0: (0.85, 1)}[score]
    assert all(expected[0] <= mean <= expected[1] for mean in means)


def test_ten_thousand_answers_to_one_skill() -> None:
    strength = after([("redox.a", 1.0)] * 10_000)
    assert_sane(strength)
    chances = skill_chances(strength, ITEMS, PARAMETERS)
    assert chances["redox.a"].answers == 10_000
    assert chances["redox.a"].high - chances["redox.a"].low < chances["mass.a"].high - chances["mass.a"].low


def test_a_long_run_of_right_answers_is_undone_by_wrong_ones() -> None:
    strength = after([("redox.a", 1.0)] * 2_000 + [("redox.a", 0.0)] * 30)
    assert skill_chances(strength, ITEMS, PARAMETERS)["redox.a"].mean < 0.5


def test_a_year_without_an_answer_widens_and_lowers() -> None:
    start = after([(skill, 1.0) for skill in COURSE.skills * 4])
    later = move_to_day(start, 365.0, PARAMETERS)
    assert_sane(later)
    before, now = (topic_chances(each, ITEMS, PARAMETERS) for each in (start, later))
    for topic in before:
        assert now[topic].mean < before[topic].mean
        assert now[topic].high - now[topic].low > before[topic].high - before[topic].low


MOMENTS = st.lists(
    st.tuples(
        st.sampled_from(COURSE.skills),
        st.sampled_from([0.0, 0.25, 0.5, 1.0]),
        st.floats(0, 4000),
        st.sampled_from([0.02, 0.25, 0.5, 0.95]),
        st.sampled_from([(1.0, 0.0), (0.3, 1.0), (0.0, 0.0)]),
    ),
    max_size=60,
)


@settings(deadline=None, max_examples=60)
@given(MOMENTS)
def test_any_answers_on_any_days_in_any_order(moments) -> None:
    strength = fresh()
    for skill, score, day, guess, (weight, shift) in moments:
        item = ITEMS.item(skill, "second_year")
        strength = update(strength, Observation(skill, item, score, day, guess, weight, shift), PARAMETERS)
    assert_sane(strength)
    assert strength.day == max([0.0, *(day for _, _, day, _, _ in moments)])


@settings(deadline=None, max_examples=30)
@given(st.lists(st.tuples(st.integers(0, 11), st.booleans()), min_size=1, max_size=40))
def test_swapping_right_for_wrong_never_raises_a_chance(answers) -> None:
    observed = [(COURSE.skills[place], float(right)) for place, right in answers]
    worse = [(skill, 0.0) for skill, _ in observed]
    better, lower = (topic_chances(after(each), ITEMS, PARAMETERS) for each in (observed, worse))
    assert all(lower[topic].mean <= better[topic].mean + 0.02 for topic in better)


def test_the_clock_going_back_and_forth_counts_each_day_once() -> None:
    there = fresh()
    for day in (5.0, 1.0, 7.0, 2.0, 9.0):
        there = update(there, seen("redox.a", 1.0, day), PARAMETERS)
    straight = fresh()
    for day in (5.0, 5.0, 7.0, 7.0, 9.0):
        straight = update(straight, seen("redox.a", 1.0, day), PARAMETERS)
    assert there.to_bytes() == straight.to_bytes()
