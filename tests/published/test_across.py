"""The chances behind the comparison of visits, against enumeration, scipy and published procedures."""

from __future__ import annotations

import itertools
import math
from collections import Counter

import numpy as np
import pytest
from scipy import stats

from hvaclib.readings import Reading, standard_uncertainty
from hvaclib.review.across.chances import holm, padded, scatter_p, shown_p, steps_p, tie_chance, uniform_p
from hvaclib.review.across.figures import figure
from hvaclib.review.across.taken import shown_of
from hvaclib.units import kinds, parse_si


@pytest.mark.parametrize(("total", "cells"), [(4, 5), (6, 5), (5, 10)])
def test_exact_chi_square_by_counting_every_way(total, cells):
    """Every one of cells^total equally likely ways, counted one by one."""
    squares = Counter(
        sum(n * n for n in Counter(way).values()) for way in itertools.product(range(cells), repeat=total)
    )
    for way in itertools.combinations_with_replacement(range(cells), total):
        counts = [way.count(cell) for cell in range(cells)]
        mine = sum(n * n for n in counts)
        truth = sum(times for square, times in squares.items() if square >= mine) / cells**total
        assert uniform_p(counts) == pytest.approx(truth, rel=1e-9, abs=1e-14)


@pytest.mark.parametrize("total", [25, 60, 99])
def test_exact_chi_square_against_simulated_throws(total):
    """numpy's multinomial sampler; within four standard errors of the share."""
    rng, samples = np.random.default_rng(11), 100_000
    squares = (rng.multinomial(total, [0.1] * 10, size=samples) ** 2).sum(axis=1)
    for counts in ([total // 10] * 9 + [total - 9 * (total // 10)], [total // 5] * 2 + [total // 13] * 8):
        counts[2] += total - sum(counts)
        share = float((squares >= sum(n * n for n in counts)).mean())
        error = math.sqrt(max(share * (1 - share), 1 / samples) / samples)
        assert uniform_p(counts) == pytest.approx(share, abs=4 * error)


def test_many_readings_follow_scipy_chisquare_with_the_stated_margin():
    """scipy.stats.chisquare for 300 digits; twice its tail is used."""
    counts = [44, 25, 28, 31, 27, 39, 24, 29, 26, 27]
    expected = stats.chisquare(counts).pvalue
    assert uniform_p(counts) == pytest.approx(figure("digits", "beyond") * expected, rel=1e-12)


def test_the_margin_beyond_the_exact_range_covers_the_tail():
    """2 x chi-square's tail against numpy's sampler, from 1 % to 1 in 10 000: never too small."""
    rng, total = np.random.default_rng(5), int(figure("digits", "exact_below"))
    counts = rng.multinomial(total, [0.1] * 10, size=300_000)
    tail = figure("digits", "beyond") * stats.chi2.sf((counts**2).sum(axis=1) * 10 / total - total, 9)
    for level in (1e-2, 1e-3, 1e-4):
        assert (tail <= level).mean() <= level


@pytest.mark.parametrize(("zeros", "fives"), [(9, 1), (20, 5), (31, 30), (15, 15)])
def test_two_digits_follow_scipy_binomial(zeros, fives):
    """scipy.stats.binomtest, two-sided, of a fair coin."""
    expected = stats.binomtest(zeros, zeros + fives, 0.5).pvalue
    assert uniform_p([zeros, fives]) == pytest.approx(expected, rel=1e-12)


def test_last_digits_of_a_display_in_steps_are_no_news():
    """An instrument that shows every second or fifth digit leaves the others out: definition."""
    assert steps_p([10, 0, 11, 0, 9, 0, 10, 0, 10, 0]) > 0.9
    assert steps_p([20, 0, 0, 0, 0, 21, 0, 0, 0, 0]) > 0.9
    assert steps_p([40, 0, 0, 0, 0, 0, 0, 0, 0, 0]) == 1.0
    assert steps_p([20, 1, 1, 2, 2, 21, 1, 2, 1, 1]) < 1e-6


def test_zeros_that_a_table_drops_and_two_displays_are_no_news():
    """3.0 written as 3: the tenth that ends on zero moves to the whole numbers."""
    dropped = {1: [0, 10, 11, 9, 10, 10, 9, 11, 10, 10], 0: [1, 1, 1, 1, 1, 1, 1, 1, 1, 1]}
    assert padded(dropped) == (10, 10, 11, 9, 10, 10, 9, 11, 10, 10)
    assert shown_p(dropped) > 0.9
    two_displays = {1: [5] * 10, 0: [5] * 10}
    assert shown_p(two_displays) == 1.0


@pytest.mark.parametrize("freedom", [5, 11, 40])
def test_scatter_against_sample_variances_of_normal_noise(freedom):
    """Sample variances drawn by numpy: the share below a point is the chance."""
    rng = np.random.default_rng(7)
    squares = freedom * rng.standard_normal((60_000, freedom + 1)).var(axis=1, ddof=1)
    for point in np.quantile(squares, [0.01, 0.2, 0.7]):
        assert scatter_p(float(point), freedom) == pytest.approx((squares <= point).mean(), abs=0.008)


def test_bounded_noise_scatters_little_less_often_than_the_chance_says():
    """Rectangular errors (JCGM 100:2008, 4.3.7) in place of normal ones: the lower tail is on the safe side."""
    rng = np.random.default_rng(8)
    noise = rng.uniform(-math.sqrt(3.0), math.sqrt(3.0), (60_000, 12))  # standard deviation one
    squares = 11 * noise.var(axis=1, ddof=1)
    for level in (0.05, 0.01, 0.001):
        assert (squares <= stats.chi2.ppf(level, 11)).mean() <= level


def test_a_shown_number_is_the_reading():
    """Number, last digit and unit by hand; together they give the value that the unit parser reads."""
    for text, kind, number, decimals in (
        ("-3.20 Pa", kinds.PRESSURE_DIFFERENCE, -320, 2),
        ("−0.5 Pa", kinds.PRESSURE_DIFFERENCE, -5, 1),
        ("1,240 cfm", kinds.VOLUME_FLOW, 1240, 0),
        ("8.0 %", kinds.FRACTION, 80, 1),
        (".35 in. w.c.", kinds.GAUGE_PRESSURE, 35, 2),
    ):
        shown = shown_of(text, kind)
        assert shown is not None
        assert (shown.number, shown.decimals) == (number, decimals)
        assert number * shown.step == pytest.approx(parse_si(text, kind), rel=1e-12)
    assert shown_of("1/2 in. w.c.", kinds.GAUGE_PRESSURE) is None


def test_tie_chance_is_the_sum_of_squared_shares():
    """Simpson's index (Nature 163 (1949), 688) of a stock of twenty equal values: 1/20."""
    rng = np.random.default_rng(4)
    counts = np.bincount(rng.integers(0, 20, 4_000), minlength=20)
    assert tie_chance([int(n) for n in counts]) == pytest.approx(0.05, rel=0.01)
    assert tie_chance([1]) == 1.0  # one reading tells nothing


def test_holm_by_hand():
    """Holm (1979): four chances 0.01, 0.04, 0.03, 0.005 give 0.03, 0.06, 0.06, 0.02; the steps worked by hand."""
    assert holm([0.01, 0.04, 0.03, 0.005]) == pytest.approx((0.03, 0.06, 0.06, 0.02))
    assert holm([]) == ()


def test_scatter_is_held_against_the_standard_uncertainty():
    """Auto-zeroed manometer, 0.15 Pa and 0.1 Pa display: sqrt(0.15²/3 + 0.1²/12) Pa by the GUM's F.2.2.1 and 4.3.7."""
    width = standard_uncertainty(Reading("draft", -4.0, "furnace"))
    assert width == pytest.approx(math.sqrt(0.15**2 / 3 + 0.1**2 / 12))
