"""Least squares in logarithms of factors, with what was assumed of them, and the covariance at the optimum."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
STEP = 0.08
"""Step of a difference in the logarithm of a factor: large against what the network leaves unsettled."""
JUMP = 2.0
"""Standard uncertainties by which the two sides of a difference may disagree; beyond that the vent has turned over on one
side, and the gentler side is the slope."""
ROUNDS = 12
"""Most evaluations of the model; on the demo dwellings four to eight are taken."""
STARTS = 12
"""Points of the assumed spread from which the best is taken as the start: a vent can draw or be reversed."""


@dataclass(frozen=True, slots=True)
class Optimum:
    """Where the sum of squares is least.

    Attributes
    ----------
    point : ndarray, shape (U,)
        Logarithms of the factors.
    covariance : ndarray, shape (U, U)
        Of the logarithms, at the optimum.
    predicted : ndarray, shape (R,)
        The model there.
    slopes : ndarray, shape (R, U)
        Change of the model with each logarithm.
    cost : float
        Sum of squared deviations, those from what was assumed among them.
    rounds : int
        Evaluations of the model, each in all directions at once.
    """

    point: FloatArray
    covariance: FloatArray
    predicted: FloatArray
    slopes: FloatArray
    cost: float
    rounds: int


def least_squares_fit(
    model: Callable[[FloatArray], FloatArray], read: FloatArray, error: FloatArray, spread: FloatArray
) -> Optimum:
    """Find the logarithms of factors that explain readings best.

    Parameters
    ----------
    model : callable
        From logarithms, shape (U, V), to what would be read, shape (R, V).
    read, error : ndarray, shape (R,)
        Readings and their standard uncertainties.
    spread : ndarray, shape (U,)
        Standard deviation of each logarithm about 0 before any reading.

    Returns
    -------
    Optimum

    Notes
    -----
    The posterior is taken as normal about its mode (Laplace): its covariance is (JᵀJ)⁻¹ with J the slopes of all
    deviations, each divided by its uncertainty, those from the assumed values among them. Slopes are central
    differences, all in one call of the model.

    References
    ----------
    C. M. Bishop, Pattern Recognition and Machine Learning (2006), 4.4, for the approximation; the GUM's uncertainty of
    a fit, JCGM 100:2008, H.3, is the same without what was assumed.
    """
    from scipy.optimize import least_squares

    steps = _Steps(model, read, error, spread)
    found = least_squares(
        steps.deviations, steps.best_start(), steps.slopes, method="trf", x_scale=spread,
        xtol=1e-3, ftol=1e-4, gtol=1e-3, max_nfev=ROUNDS,
    )  # fmt: skip
    centre, slope = steps.at(found.x)
    deviations = steps.weighted(centre, found.x)
    jacobian = np.vstack([slope / error[:, None], np.diag(1.0 / spread)])
    return Optimum(
        point=np.asarray(found.x, dtype=np.float64),
        covariance=np.asarray(np.linalg.inv(jacobian.T @ jacobian), dtype=np.float64),
        predicted=centre,
        slopes=slope,
        cost=float(deviations @ deviations),
        rounds=steps.rounds,
    )


class _Steps:
    """The model with its differences, remembered at the last point."""

    def __init__(
        self,
        model: Callable[[FloatArray], FloatArray],
        read: FloatArray,
        error: FloatArray,
        spread: FloatArray,
    ) -> None:
        self.model, self.read, self.error, self.spread = model, read, error, spread
        self.rounds = 0
        self._point: FloatArray | None = None
        self._known: tuple[FloatArray, FloatArray] | None = None

    def at(self, point: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Model and slopes at a point, in one call."""
        if self._known is None or self._point is None or not np.array_equal(point, self._point):
            size = point.size
            moved = np.hstack([np.zeros((size, 1)), STEP * np.eye(size), -STEP * np.eye(size)])
            values = self.model(point[:, None] + moved)
            up, down = values[:, 1 : size + 1] - values[:, :1], values[:, :1] - values[:, size + 1 :]
            gentle = np.where(np.abs(up) < np.abs(down), up, down)
            turned = np.abs(up - down) > JUMP * self.error[:, None]
            slopes = np.where(turned, gentle, 0.5 * (up + down)) / STEP
            self._point, self._known = point.copy(), (values[:, 0], slopes)
            self.rounds += 1
        return self._known

    def weighted(self, values: FloatArray, point: FloatArray) -> FloatArray:
        """Deviations of the readings, then of the point from what was assumed, in standard uncertainties."""
        return np.concatenate([(values - self.read) / self.error, point / self.spread])

    def deviations(self, point: FloatArray) -> FloatArray:
        """Deviations at a point."""
        return self.weighted(self.at(point)[0], point)

    def slopes(self, point: FloatArray) -> FloatArray:
        """Slopes of the deviations at a point."""
        return np.vstack([self.at(point)[1] / self.error[:, None], np.diag(1.0 / self.spread)])

    def best_start(self) -> FloatArray:
        """The best of some points of the assumed spread, the middle among them."""
        from scipy.stats import norm, qmc

        unit = qmc.Halton(self.spread.size, scramble=False).random(STARTS + 1)[1:]
        points = np.hstack([np.zeros((self.spread.size, 1)), norm.ppf(unit).T * self.spread[:, None]])
        values = self.model(points)
        cost = np.square((values - self.read[:, None]) / self.error[:, None]).sum(axis=0)
        return np.asarray(points[:, np.argmin(cost + np.square(points / self.spread[:, None]).sum(axis=0))])
