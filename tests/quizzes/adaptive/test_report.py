"""Chances with intervals, and what may be called weak."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import norm

from quizzes.adaptive.items import Item, Items
from quizzes.adaptive.report import (
    interval,
    leading_probability,
    probability_below,
    skill_chances,
    smallest_set,
    topic_chances,
    weak_topics,
)
from quizzes.adaptive.step import sigmoid
from tests.quizzes.adaptive.course import COURSE, ITEMS, PARAMETERS, after, certain, fresh

WEAK_ACID = certain([1.5] * 4 + [-1.5] * 4 + [1.5] * 4)


class TestChances:
    def test_a_known_strength_is_the_mean_chance_over_its_items(self) -> None:
        plain = Items(
            {
                (skill, level, ""): Item(difficulty, 0.0)
                for skill in COURSE.skills
                for level, difficulty in (("first_year", -0.6), ("second_year", 0.6))
            }
        )
        chance = topic_chances(certain([0.4] * 12), plain, PARAMETERS)["redox"]
        expected = 0.02 + 0.96 * (sigmoid(1.0) + sigmoid(-0.2)) / 2
        assert chance.mean == pytest.approx(float(expected), abs=1e-4)

    def test_an_unsure_strength_has_the_right_interval(self) -> None:
        """One skill, one item: the interval is that of a Gaussian sent through the curve."""
        one = Items({("redox.a", "first_year", ""): Item(0.0, 0.0)})
        found = skill_chances(fresh(), one, replace(PARAMETERS, guess=0.0, slip=0.0, inflation=1.0))[
            "redox.a"
        ]
        spread = np.sqrt(PARAMETERS.prior_variance)
        low, high = (float(sigmoid(PARAMETERS.mean + norm.ppf(q) * spread)) for q in (0.05, 0.95))
        assert (found.low, found.high) == pytest.approx((low, high), abs=0.02)

    def test_answers_narrow_the_interval(self) -> None:
        few, many = (topic_chances(after([("redox.a", 1.0)] * count), ITEMS, PARAMETERS) for count in (1, 12))
        assert many["redox"].high - many["redox"].low < few["redox"].high - few["redox"].low

    def test_inflation_widens_and_leaves_the_middle(self) -> None:
        narrow, wide = (
            topic_chances(WEAK_ACID, ITEMS, replace(PARAMETERS, inflation=each))["acid"]
            for each in (0.5, 2.0)
        )
        assert wide.high - wide.low > narrow.high - narrow.low
        assert wide.mean == pytest.approx(narrow.mean, abs=1e-3)

    def test_only_levels_in_use_count(self) -> None:
        first = topic_chances(fresh(), ITEMS.at_levels(["first_year"]), PARAMETERS)["redox"]
        both = topic_chances(fresh(), ITEMS, PARAMETERS)["redox"]
        assert first.mean > both.mean + 0.05

    def test_a_kind_of_setup_is_no_question_of_its_own(self) -> None:
        more = Items({**ITEMS.table, ("redox.a", "first_year", "copper"): Item(5.0, 0.1)})
        assert topic_chances(fresh(), more, PARAMETERS) == topic_chances(fresh(), ITEMS, PARAMETERS)

    def test_a_skill_weighs_the_same_however_many_levels_it_has(self) -> None:
        table = {key: item for key, item in ITEMS.table.items() if key[:2] != ("redox.a", "second_year")}
        strength = certain([-3.0] + [1.0] * 11)
        chances = skill_chances(strength, Items(table), PARAMETERS)
        topic = topic_chances(strength, Items(table), PARAMETERS)["redox"].mean
        assert topic == pytest.approx(np.mean([chances[f"redox.{each}"].mean for each in "abcd"]), abs=1e-6)

    def test_skills_and_topics_without_items_are_left_out(self) -> None:
        only = Items({key: item for key, item in ITEMS.table.items() if key[0] == "acid.b"})
        assert list(topic_chances(fresh(), only, PARAMETERS)) == ["acid"]
        assert list(skill_chances(fresh(), only, PARAMETERS)) == ["acid.b"]

    def test_first_attempts_are_counted_per_skill_and_topic(self) -> None:
        strength = after([("redox.a", 1.0), ("redox.a", 0.0), ("redox.b", 1.0), ("mass.d", 1.0)])
        topics = {name: each.answers for name, each in topic_chances(strength, ITEMS, PARAMETERS).items()}
        assert topics == {"redox": 3, "acid": 0, "mass": 1}
        assert skill_chances(strength, ITEMS, PARAMETERS)["redox.a"].answers == 2

    def test_the_same_strength_reads_the_same(self) -> None:
        strength = after([("redox.a", 1.0)])
        assert topic_chances(strength, ITEMS, PARAMETERS) == topic_chances(strength, ITEMS, PARAMETERS)


class TestWeak:
    def answered(self, per_skill: float):
        return replace(WEAK_ACID, answers=np.full(12, per_skill))

    def test_a_topic_that_is_surely_low_is_flagged(self) -> None:
        assert weak_topics(self.answered(1), ITEMS, PARAMETERS).flagged == ("acid",)

    def test_ten_answers_are_needed(self) -> None:
        answers = np.zeros(12)
        answers[[4, 5]] = 5
        nine = answers.copy()
        nine[4] = 4
        enough = weak_topics(replace(WEAK_ACID, answers=answers), ITEMS, PARAMETERS)
        few = weak_topics(replace(WEAK_ACID, answers=nine), ITEMS, PARAMETERS)
        assert (enough.flagged, enough.enough) == (("acid",), True)
        assert (few.flagged, few.enough) == ((), False)

    def test_two_of_them_in_the_topic(self) -> None:
        answers = np.zeros(12)
        answers[0], answers[4] = 20, 1
        assert weak_topics(replace(WEAK_ACID, answers=answers), ITEMS, PARAMETERS).flagged == ()
        answers[5] = 1
        assert weak_topics(replace(WEAK_ACID, answers=answers), ITEMS, PARAMETERS).flagged == ("acid",)

    def test_below_is_the_chance_of_being_under_the_mark(self) -> None:
        weak = weak_topics(self.answered(5), ITEMS, PARAMETERS)
        assert weak.below["acid"] > 0.99
        assert weak.below["redox"] < 0.01

    def test_what_is_not_sure_is_not_flagged(self) -> None:
        strength = replace(fresh(), answers=np.full(12, 5.0))
        weak = weak_topics(strength, ITEMS, PARAMETERS)
        assert weak.flagged == ()
        assert all(0.2 < chance < 0.8 for chance in weak.below.values())

    def test_one_weakest_is_named_when_likely_else_the_smallest_set(self) -> None:
        assert weak_topics(self.answered(5), ITEMS, PARAMETERS).weakest == ("acid",)
        unknown = weak_topics(fresh(), ITEMS, PARAMETERS)
        assert len(unknown.weakest) == 3
        assert unknown.probability >= 0.8

    def test_leading_chances_add_up(self) -> None:
        assert sum(weak_topics(fresh(), ITEMS, PARAMETERS).leading.values()) == pytest.approx(1)


class TestSmallestSet:
    @pytest.mark.parametrize(
        ("leading", "names", "probability"),
        [
            ([0.1, 0.7, 0.2], ("b",), 0.7),
            ([0.3, 0.6, 0.1], ("b", "a"), 0.9),
            ([0.4, 0.25, 0.35], ("a", "c", "b"), 1.0),
            ([0.45, 0.35, 0.2], ("a", "b"), 0.8),
        ],
    )
    def test_the_fewest_that_hold_four_fifths(self, leading, names, probability) -> None:
        found = smallest_set(("a", "b", "c"), np.array(leading), 0.6)
        assert found == (names, pytest.approx(probability))


def test_interval_and_probability_of_logistic_normal_draws_agree_with_scipy() -> None:
    draws = sigmoid(np.random.default_rng(1).normal(0.4, 0.8, (20_000, 1)))
    low, high = interval(draws)
    assert (low[0], high[0]) == pytest.approx(sigmoid(norm.ppf([0.05, 0.95], 0.4, 0.8)), abs=0.01)
    below = probability_below(draws, 0.6)[0]
    assert below == pytest.approx(norm.cdf(np.log(0.6 / 0.4), 0.4, 0.8), abs=0.01)


def test_leading_probability_counts_the_lowest() -> None:
    draws = np.array([[0.1, 0.2], [0.3, 0.2], [0.1, 0.9], [0.5, 0.6]])
    assert leading_probability(draws).tolist() == [0.75, 0.25]
