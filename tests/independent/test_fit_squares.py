"""The fit's least squares against scipy.optimize.curve_fit and against the closed form of a linear model."""

import numpy as np
import pytest
from scipy.optimize import curve_fit
from scipy.stats import chi2, kstest

from hvaclib.review.fit.squares import JUMP, STEP, least_squares_fit

RNG = np.random.default_rng(11)
SLOPES = RNG.normal(0.0, 3.0, (6, 3))
OFFSET = RNG.normal(0.0, 1.0, 6)
ERROR = RNG.uniform(0.2, 0.5, 6)
SPREAD = np.array([0.4, 0.7, 0.3])
READ = OFFSET + SLOPES @ np.array([0.3, -0.5, 0.1]) + ERROR * RNG.standard_normal(6)


def linear(points):
    return OFFSET[:, None] + SLOPES @ points


def bent(points):
    """Powers and exponentials of the factors, as flows and pressures are."""
    one, two, three = np.exp(points)
    return np.stack([one**0.6, two * one, three + one / two, two**0.5 * three, one * two * three, three**1.5])


def with_what_was_assumed(model):
    """The model as curve_fit takes it: what was assumed of the factors as three more readings of zero."""
    return lambda _, *point: np.concatenate([model(np.array(point)[:, None])[:, 0], np.array(point)])


def test_a_linear_model_gives_the_closed_form():
    """Bayesian linear regression: C. M. Bishop, Pattern Recognition and Machine Learning (2006), equations 3.53, 3.54."""
    found = least_squares_fit(linear, READ, ERROR, SPREAD)
    precision = SLOPES.T @ np.diag(ERROR**-2.0) @ SLOPES + np.diag(SPREAD**-2.0)
    mean = np.linalg.solve(precision, SLOPES.T @ ((READ - OFFSET) / ERROR**2))
    assert found.point == pytest.approx(mean, abs=1e-3)
    assert found.covariance == pytest.approx(np.linalg.inv(precision), rel=1e-6)
    assert found.slopes == pytest.approx(SLOPES, rel=1e-9)


@pytest.mark.parametrize("model", [linear, bent])
def test_curve_fit_finds_the_same_point_and_covariance(model):
    read = model(np.array([0.2, -0.3, 0.1])[:, None])[:, 0] + ERROR * np.array(
        [0.5, -1.0, 0.3, 0.8, -0.2, 0.4]
    )
    found = least_squares_fit(model, read, ERROR, SPREAD)
    point, covariance = curve_fit(
        with_what_was_assumed(model), np.arange(9.0), np.concatenate([read, np.zeros(3)]), p0=np.zeros(3),
        sigma=np.concatenate([ERROR, SPREAD]), absolute_sigma=True,
    )  # fmt: skip
    deviation = np.sqrt(np.diag(covariance))
    assert np.abs(found.point - point).max() < 0.05 * deviation.min()
    assert found.covariance == pytest.approx(covariance, rel=0.03, abs=0.01 * deviation.min() ** 2)


def test_the_least_sum_of_squares_follows_chi_square():
    """With as many degrees of freedom as there are readings, the assumed values among the deviations."""
    rng = np.random.default_rng(3)
    costs = []
    for _ in range(150):
        truth = SPREAD * rng.standard_normal(3)
        read = OFFSET + SLOPES @ truth + ERROR * rng.standard_normal(6)
        costs.append(least_squares_fit(linear, read, ERROR, SPREAD).cost)
    assert kstest(costs, chi2(6).cdf).pvalue > 0.01


def test_where_the_model_jumps_the_gentle_side_is_the_slope():
    """A vent that turns over within the step of a difference must not pass for a reading that tells everything."""

    def jumps(points):
        return points + np.where(points > 0.5 * STEP, 40.0 * JUMP, 0.0)

    found = least_squares_fit(jumps, np.array([0.0]), np.array([0.5]), np.array([0.4]))
    assert found.slopes[0, 0] == pytest.approx(1.0)
    assert found.covariance[0, 0] == pytest.approx(1.0 / (0.5**-2 + 0.4**-2), rel=1e-6)


def test_without_readings_that_answer_the_spread_stays_as_assumed():
    found = least_squares_fit(lambda points: 0.0 * points[:2], np.array([0.1, -0.2]), np.ones(2), SPREAD)
    assert np.sqrt(np.diag(found.covariance)) == pytest.approx(SPREAD)
    assert found.point == pytest.approx(np.zeros(3), abs=1e-6)
