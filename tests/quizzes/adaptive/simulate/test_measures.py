"""Figures of merit against scipy and counts by hand."""

import numpy as np
import pytest
from scipy.stats import mannwhitneyu

from quizzes.adaptive.simulate.measures import auc, calibration_sums, first_reaching, jackknife
from quizzes.adaptive.simulate.tally import nested, standard_error, value_of


def test_area_under_the_curve_is_the_rank_statistic_of_mann_and_whitney() -> None:
    rng = np.random.default_rng(1)
    chance = rng.random(400).round(2)
    score = (rng.random(400) < chance).astype(float)
    right, wrong = chance[score == 1], chance[score == 0]
    assert auc(chance, score) == pytest.approx(mannwhitneyu(right, wrong).statistic / len(right) / len(wrong))


def test_half_a_score_is_half_a_right_and_half_a_wrong_answer() -> None:
    """Right .9 (1) and .5 (1/2) against wrong .3 (1) and .5 (1/2): won 1 + .5 + .5, even .25 / 2."""
    found = auc(np.array([0.3, 0.9, 0.5]), np.array([0.0, 1.0, 0.5]))
    assert found == pytest.approx((1 + 0.5 + 0.5 + 0.125) / 2.25)


def test_calibration_error_over_schools_is_that_of_all_answers() -> None:
    rng = np.random.default_rng(2)
    chance, score = rng.random(1000), rng.random(1000).round()
    whole = {("ece",): (calibration_sums(chance, score), 1000.0)}
    parts = [
        {("ece",): (calibration_sums(chance[part], score[part]), 500.0)}
        for part in (slice(500), slice(500, None))
    ]
    assert value_of(("ece",), parts) == pytest.approx(value_of(("ece",), [whole]))
    bins = [chance[(chance * 10).astype(int) == place] for place in range(10)]
    hits = [score[(chance * 10).astype(int) == place] for place in range(10)]
    expected = (
        sum(abs(each.mean() - hit.mean()) * len(each) for each, hit in zip(bins, hits, strict=True)) / 1000
    )
    assert value_of(("ece",), parts) == pytest.approx(expected)


@pytest.mark.parametrize(("share", "first"), [([0.5, 0.79, 0.8, 0.7], 3), ([0.9], 1), ([0.1, 0.2], None)])
def test_the_first_number_of_answers_that_reaches_the_goal(share: list[float], first: int | None) -> None:
    assert first_reaching(np.array(share)) == first


def test_shares_after_answers_are_pooled_before_the_goal_is_looked_for() -> None:
    tallies = [{("x",): (np.array([5.0, 9.0, 10.0]), 10.0)}, {("x",): (np.array([4.0, 5.0, 9.0]), 10.0)}]
    assert value_of(("x",), tallies) == 3


def test_the_jackknife_of_a_mean_is_its_standard_error() -> None:
    values = [1.0, 4.0, 2.0, 7.0, 3.0]
    found = jackknife(values, lambda some: float(np.mean(some)))
    assert found == pytest.approx(np.std(values, ddof=1) / np.sqrt(5))


def test_one_school_has_no_standard_error() -> None:
    assert standard_error(("x",), [{("x",): (1.0, 2.0)}]) is None


def test_what_was_never_counted_is_none() -> None:
    assert value_of(("x",), [{("x",): (0.0, 0.0)}]) is None


def test_values_as_a_tree() -> None:
    assert nested([("a", "b"), ("a", "c"), ("d",)], [1, 2, 3]) == {"a": {"b": 1, "c": 2}, "d": 3}
