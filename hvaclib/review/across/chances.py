"""How often chance alone does as much: last digits, ties, scatter, and many tests at once."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from hvaclib.review.across.figures import figure

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

DIGITS = 10
STEPS = (1, 2, 5)
"""Steps of a display, in units of its last digit, that leave the digit free."""


def uniform_p(counts: Sequence[int]) -> float:
    """Chance that equally likely cells are filled as unevenly as these, or more so.

    Parameters
    ----------
    counts : sequence of int
        Of each cell, two at least.

    Returns
    -------
    float
        0 to 1, of Pearson's chi-square: exact for two cells and where observations are few, else by the chi-square
        distribution, with a margin for its far tail.

    References
    ----------
    K. Pearson, Philosophical Magazine 50 (1900), 157.

    Examples
    --------
    >>> round(uniform_p([9, 1]), 4)  # 22 of the 1024 ways to throw ten coins
    0.0215
    """
    cells, total = len(counts), sum(counts)
    if total == 0:
        return 1.0
    if cells == 2:
        from scipy.stats import binom

        least = min(counts)
        return min(1.0, 2.0 * float(binom.cdf(least, total, 0.5))) if 2 * least < total else 1.0
    square = sum(count * count for count in counts)
    if total < figure("digits", "exact_below"):
        return float(_tail_of_squares(total, cells)[square])
    from scipy.stats import chi2

    tail = float(chi2.sf(square * cells / total - total, cells - 1))
    return min(1.0, figure("digits", "beyond") * tail)


@lru_cache(maxsize=256)
def _tail_of_squares(total: int, cells: int) -> NDArray[np.float64]:
    """Chance that the sum of squared counts of ``total`` throws into equal cells is at least each number.

    Notes
    -----
    Poisson counts of mean total/cells, kept to those that add up to the total, are the multinomial counts. The generating
    function of one cell in the count (a polynomial) and the square (on the unit circle) is raised to the number of cells;
    squares never pass total², so that nothing wraps round.
    """
    counts = np.arange(total + 1)
    mean = total / cells
    weights = np.exp(counts * math.log(mean) - mean - np.array([math.lgamma(n + 1.0) for n in counts]))
    size = total * total + 1
    turns = np.exp(-2j * np.pi * np.outer(np.arange(size // 2 + 1), counts * counts % size) / size) * weights
    power, left, base = None, cells, turns
    while left:
        if left & 1:
            power = base if power is None else _product(power, base)
        left >>= 1
        if left:
            base = _product(base, base)
    assert power is not None
    chances = np.fft.irfft(power[:, total], size).clip(0.0)
    chances /= chances.sum()
    tail: NDArray[np.float64] = np.cumsum(chances[::-1])[::-1].clip(None, 1.0)
    return tail


def _product(one: NDArray[np.complex128], other: NDArray[np.complex128]) -> NDArray[np.complex128]:
    """Products of polynomials, one a row, cut off at their length."""
    made = np.zeros_like(one)
    for power in range(one.shape[1]):
        made[:, power:] += one[:, power : power + 1] * other[:, : one.shape[1] - power]
    return made


def steps_p(digits: Sequence[int]) -> float:
    """Chance of as uneven last digits from an instrument that shows every digit, every second, or every fifth.

    Parameters
    ----------
    digits : sequence of int
        How often 0 to 9 stood last.

    Returns
    -------
    float
        The largest over the steps that the digits allow, so that it holds whichever step is the true one; one where they
        all are zero, which says only that the display ends there.

    Examples
    --------
    >>> steps_p([10, 0, 0, 0, 0, 10, 0, 0, 0, 0])
    1.0
    >>> steps_p([10, 1, 0, 0, 0, 10, 0, 0, 0, 0]) < 1e-6
    True
    """
    if sum(digits) == digits[0]:
        return 1.0
    return max(uniform_p(digits[::step]) if sum(digits[::step]) == sum(digits) else 0.0 for step in STEPS)


def shown_p(by_decimals: Mapping[int, Sequence[int]]) -> float:
    """Chance of as uneven last digits, whether zeros at the end were written or dropped.

    Parameters
    ----------
    by_decimals : mapping of int to sequence of int
        How often 0 to 9 stood last among numbers with so many decimals.

    Returns
    -------
    float
        The larger of two: all numbers filled up with zeros to the most decimals; each number of decimals by itself (two
        instruments), the least times their number.
    """
    filled = padded(by_decimals)
    apart = min(1.0, len(by_decimals) * min(steps_p(row) for row in by_decimals.values()))
    return max(steps_p(filled), apart)


def padded(by_decimals: Mapping[int, Sequence[int]]) -> tuple[int, ...]:
    """How often 0 to 9 stand last when every number has the most decimals of all."""
    most = max(by_decimals)
    zeros = sum(sum(row) for decimals, row in by_decimals.items() if decimals < most)
    return (by_decimals[most][0] + zeros, *by_decimals[most][1:])


def scatter_p(squares: float, freedom: int) -> float:
    """Chance that so many independent readings scatter as little: lower tail of chi-square.

    Parameters
    ----------
    squares : float
        Sum of squared deviations from the mean over the variance that is the least possible.
    freedom : int
        Readings less one.

    Returns
    -------
    float
        0 to 1; too large rather than too small where the true variance is larger.
    """
    from scipy.stats import chi2

    return float(chi2.cdf(squares, freedom))


def tie_chance(counts: Sequence[int]) -> float:
    """Chance that two readings drawn from the same stock are the same, from the stock's counts, never zero.

    Parameters
    ----------
    counts : sequence of int
        How often each value occurs.

    Returns
    -------
    float
        Ties among the pairs over pairs, one added to each: as if the pair in question were one more that agreed.

    References
    ----------
    The sum of squared shares without bias: E. H. Simpson, Nature 163 (1949), 688; one added: B. Phipson and G. K. Smyth,
    Statistical Applications in Genetics and Molecular Biology 9 (2010), 39.

    Examples
    --------
    >>> tie_chance([2, 1, 1])  # one tie among six pairs
    0.2857142857142857
    """
    total = sum(counts)
    ties = sum(count * (count - 1) for count in counts) / 2.0
    return (ties + 1.0) / (total * (total - 1) / 2.0 + 1.0)


def holm(chances: Sequence[float]) -> tuple[float, ...]:
    """Chance of each test when all are looked at: the family's rate at which it would just be shown.

    Parameters
    ----------
    chances : sequence of float
        Of each test by itself.

    Returns
    -------
    tuple of float
        In the same order, each at most one. Holds whatever the tests have to do with one another.

    References
    ----------
    S. Holm, Scandinavian Journal of Statistics 6 (1979), 65.

    Examples
    --------
    >>> holm([0.01, 0.04, 0.03])
    (0.03, 0.06, 0.06)
    """
    order = sorted(range(len(chances)), key=chances.__getitem__)
    found, most = [1.0] * len(chances), 0.0
    for rank, place in enumerate(order):
        most = max(most, min(1.0, (len(chances) - rank) * chances[place]))
        found[place] = most
    return tuple(found)
