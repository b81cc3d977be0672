"""The one-answer step against integrals done by scipy's adaptive quadrature."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.stats import norm

from quizzes.adaptive.step import expected_success, logit, sigmoid, success, tilted


def moments_by_quadrature(mean, variance, score, guess, slip, weight):
    """Mean and variance of Gaussian times likelihood, by scipy.integrate.quad."""
    spread = np.sqrt(variance)

    def density(theta):
        right = guess + (1 - guess - slip) / (1 + np.exp(-theta))
        return norm.pdf(theta, mean, spread) * (right**score * (1 - right) ** (1 - score)) ** weight

    def integral(function):
        return quad(function, mean - 10 * spread, mean + 10 * spread, points=[mean], limit=200)[0]

    mass = integral(density)
    first = integral(lambda theta: theta * density(theta)) / mass
    return first, integral(lambda theta: (theta - first) ** 2 * density(theta)) / mass


@pytest.mark.parametrize("mean", [-2.5, 0.0, 1.3])
@pytest.mark.parametrize("variance", [0.1, 1.0, 2.9])
@pytest.mark.parametrize("score", [0.0, 0.5, 1.0])
@pytest.mark.parametrize(("guess", "slip", "weight"), [(0.0, 0.0, 1.0), (0.02, 0.02, 1.0), (0.25, 0.05, 0.3)])
def test_moments_agree_with_quadrature(mean, variance, score, guess, slip, weight):
    exact = moments_by_quadrature(mean, variance, score, guess, slip, weight)
    assert tilted(mean, variance, score, guess, slip, weight) == pytest.approx(exact, abs=0.01)


@pytest.mark.parametrize("mean", [-3.0, 0.0, 2.0])
@pytest.mark.parametrize("variance", [0.05, 1.0, 4.0])
def test_expected_success_agrees_with_quadrature(mean, variance):
    spread = np.sqrt(variance)
    exact = quad(
        lambda x: norm.pdf(x, mean, spread) / (1 + np.exp(-x)), mean - 10 * spread, mean + 10 * spread
    )[0]
    assert float(expected_success(mean, variance, 0.0, 0.0)) == pytest.approx(exact, abs=1e-3)


@pytest.mark.parametrize("score", [0.0, 1.0])
def test_moments_give_the_slopes_of_the_log_chance(score: float) -> None:
    """The identities that fitting rests on, against differences of a chance by quadrature."""

    def log_chance(mean: float, variance: float) -> float:
        spread, sign = np.sqrt(variance), 1 if score else -1
        part = quad(lambda x: norm.pdf(x, mean, spread) / (1 + np.exp(-sign * x)), mean - 12, mean + 12)
        return float(np.log(part[0]))

    mean, variance, step = 0.7, 1.3, 1e-3
    new_mean, new_variance = tilted(mean, variance, score, 0.0, 0.0, 1.0)
    first, second = (new_mean - mean) / variance, (new_variance - variance) / variance**2
    by_mean = (log_chance(mean + step, variance) - log_chance(mean - step, variance)) / 2 / step
    by_variance = (log_chance(mean, variance + step) - log_chance(mean, variance - step)) / 2 / step
    assert first == pytest.approx(by_mean, abs=1e-3)
    assert (first**2 + second) / 2 == pytest.approx(by_variance, abs=1e-3)


def test_guess_and_slip_bound_the_chance():
    assert float(success(-40.0, 0.25, 0.1)) == pytest.approx(0.25)
    assert float(success(40.0, 0.25, 0.1)) == pytest.approx(0.9)


@given(st.floats(-1e6, 1e6))
def test_sigmoid_is_a_chance_for_any_number(value):
    assert 0 <= float(sigmoid(value)) <= 1


@given(st.floats(-15, 15))
def test_logit_undoes_sigmoid(value):
    assert float(logit(sigmoid(value))) == pytest.approx(value, abs=1e-6)


def test_no_weight_says_nothing():
    assert tilted(0.7, 1.4, 1.0, 0.02, 0.02, 0.0) == pytest.approx((0.7, 1.4), abs=1e-12)


@given(st.floats(-6, 6), st.floats(0.01, 5), st.floats(0, 0.5), st.floats(0, 1))
def test_a_better_score_never_lowers_the_mean(mean, variance, guess, score):
    low, _ = tilted(mean, variance, score * 0.5, guess, 0.02, 1.0)
    high, _ = tilted(mean, variance, 0.5 + score * 0.5, guess, 0.02, 1.0)
    assert high >= low - 1e-9


def test_numbers_and_arrays_give_the_same():
    means, variances, scores = np.array([-1.0, 0.4]), np.array([0.5, 2.0]), np.array([1.0, 0.5])
    together = tilted(means, variances, scores, np.array([0.02, 0.25]), 0.03, np.array([1.0, 0.3]))
    alone = [tilted(-1.0, 0.5, 1.0, 0.02, 0.03, 1.0), tilted(0.4, 2.0, 0.5, 0.25, 0.03, 0.3)]
    assert pytest.approx(np.array(alone), abs=1e-14) == np.array(together).T


def test_a_lucky_guess_teaches_less_than_a_free_answer():
    free, _ = tilted(-1.0, 1.0, 1.0, 0.02, 0.02, 1.0)
    choice, _ = tilted(-1.0, 1.0, 1.0, 0.5, 0.02, 1.0)
    assert -1.0 < choice < free
