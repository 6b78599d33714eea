"""How likely a true value conforms with its limits, given a reading and its uncertainty."""

from __future__ import annotations

import math
from dataclasses import dataclass
from statistics import NormalDist

from hvaclib.errors import InputError


@dataclass(frozen=True, slots=True)
class Bounds:
    """Limits in SI; an end that is missing is infinite.

    Parameters
    ----------
    lower, upper : float
        The limits.
    lower_open, upper_open : bool
        Whether a value exactly at the limit is outside.
    lower_uncertainty, upper_uncertainty : float
        Standard uncertainty of the limit itself, SI, where it follows something measured.
    """

    lower: float = -math.inf
    upper: float = math.inf
    lower_open: bool = False
    upper_open: bool = False
    lower_uncertainty: float = 0.0
    upper_uncertainty: float = 0.0

    def holds(self, value: float) -> bool:
        """Whether a value known exactly is within the limits."""
        above = value > self.lower if self.lower_open else value >= self.lower
        below = value < self.upper if self.upper_open else value <= self.upper
        return above and below

    def margin(self, value: float) -> float:
        """Distance to the nearer limit, negative when the value is outside.

        Parameters
        ----------
        value : float
            SI.

        Returns
        -------
        float
            SI; infinite when the value is, or when there is no limit.
        """
        return min(self.upper - value, value - self.lower)


def conformance_probability(value: float, uncertainty: float, bounds: Bounds) -> float:
    """Probability that the true value is within its limits.

    Parameters
    ----------
    value : float
        The reading, SI; may be infinite, not NaN.
    uncertainty : float
        Its standard uncertainty, SI, zero or above.
    bounds : Bounds
        The limits.

    Returns
    -------
    float
        0 to 1. Without uncertainty 1 or 0, and then a value exactly at an open limit is outside.

    Raises
    ------
    InputError
        If the reading is NaN, or the uncertainty is negative or not finite.

    Notes
    -----
    The error is taken as normal, without prior knowledge of the true value:
    p = Φ((T_U − y)/u) − Φ((T_L − y)/u). Where a limit is itself uncertain and independent of the reading, its
    standard uncertainty is added in quadrature on its side. That is exact for two sides too, since no value is
    above the upper and below the lower limit at once.

    References
    ----------
    JCGM 106:2012, chapter 7; JCGM 100:2008 (GUM), 5.1.2, for the sum in quadrature.

    Examples
    --------
    >>> round(conformance_probability(-5.47, 0.05, Bounds(upper=-5.40)), 2)
    0.92
    """
    if math.isnan(value):
        raise InputError("the reading is not a number (NaN)", where="value", expected="a number")
    if not (math.isfinite(uncertainty) and uncertainty >= 0.0):
        raise InputError(
            "the standard uncertainty cannot be used",
            where="uncertainty",
            given=uncertainty,
            expected="a finite number, zero or above",
        )
    if math.isinf(value):
        return 1.0 if bounds.holds(value) else 0.0
    below_upper = _inside(
        bounds.upper - value, math.hypot(uncertainty, bounds.upper_uncertainty), not bounds.upper_open
    )
    above_lower = _inside(
        value - bounds.lower, math.hypot(uncertainty, bounds.lower_uncertainty), not bounds.lower_open
    )
    if below_upper == 1.0:
        return above_lower  # its small tail is not lost in a difference
    return min(max(below_upper - (1.0 - above_lower), 0.0), 1.0)


def guard_band(uncertainty: float, probability: float) -> float:
    """Distance from a single limit at which a reading conforms with a given probability.

    Parameters
    ----------
    uncertainty : float
        Standard uncertainty, SI.
    probability : float
        Wanted probability of conformance, above 0 and below 1.

    Returns
    -------
    float
        SI; 1.645 u for 95 %.

    References
    ----------
    JCGM 106:2012, chapter 8.

    Examples
    --------
    >>> round(guard_band(1.0, 0.95), 3)
    1.645
    """
    if not 0.0 < probability < 1.0:
        raise InputError(
            "out of range", where="probability", given=probability, expected="above 0 and below 1"
        )
    return uncertainty * NormalDist().inv_cdf(probability)


def _inside(distance: float, uncertainty: float, closed: bool) -> float:
    """Probability to be inside one limit, from the distance to it; certain without uncertainty."""
    if uncertainty == 0.0 or math.isinf(distance):
        return 1.0 if distance > 0.0 or (distance == 0.0 and closed) else 0.0
    return 0.5 * math.erfc(-distance / (uncertainty * math.sqrt(2.0)))
