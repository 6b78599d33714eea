"""A fitted dwelling: the factors with their uncertainty, what the readings cannot decide, what they contradict."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from hvaclib.procedures.firing import BURN
from hvaclib.review.fit import words
from hvaclib.review.fit.sheet import SHORTEST, Sheet
from hvaclib.review.fit.squares import Optimum
from hvaclib.review.fit.unknowns import Unknown, table
from hvaclib.review.fit.varied import scaled_dwelling

if TYPE_CHECKING:
    from collections.abc import Mapping

    from hvaclib.house.dwelling import Dwelling
    from hvaclib.readings import Reading

FloatArray = NDArray[np.float64]
POOL = 64
"""Points drawn about the optimum, and as many from what was assumed; a power of two."""
FEWEST = 6.0
"""Least number of points that may carry the weight of all."""


@dataclass(frozen=True, slots=True)
class Explained:
    """One reading beside what the fitted dwelling shows.

    Parameters
    ----------
    reading : Reading
        What was read.
    fitted : float
        What the fitted dwelling shows, SI; endless for a spillage that does not stop.
    read_error, fitted_error : float
        Standard uncertainty of the reading (instrument and model), and of the fitted value, SI.
    deviation : float
        How far the reading lies off, in standard deviations of such a difference; about 1 for a sound one.
    """

    reading: Reading
    fitted: float
    read_error: float
    fitted_error: float
    deviation: float


@dataclass(frozen=True)
class Fit:
    """A dwelling fitted to readings.

    Attributes
    ----------
    start : Dwelling
        The dwelling that the fit began with.
    sheet : Sheet
        The readings and how the test is run.
    unknowns : tuple of Unknown
        U factors that were looked for.
    optimum : Optimum
        Logarithms of the factors, covariance, and the model there.
    assumptions : tuple of str
        What was assumed to make the starting dwelling; empty for a dwelling file.
    """

    start: Dwelling
    sheet: Sheet
    unknowns: tuple[Unknown, ...]
    optimum: Optimum
    assumptions: tuple[str, ...] = ()

    @property
    def factors(self) -> dict[str, float]:
        """Most probable factor of each unknown, by its key."""
        values = np.exp(self.optimum.point)
        return {item.key: float(value) for item, value in zip(self.unknowns, values, strict=True)}

    @property
    def deviations(self) -> FloatArray:
        """Standard deviation of the logarithm of each factor at the optimum, shape (U,)."""
        return np.asarray(np.sqrt(np.diag(self.optimum.covariance)), dtype=np.float64)

    @cached_property
    def spreads(self) -> FloatArray:
        """Standard deviation of the logarithm of each factor, shape (U,).

        Notes
        -----
        That at the optimum, or that of the weighed points where it is larger: where a vent turns over, the slopes at
        the optimum promise more than the readings hold.
        """
        points, weights = self._pool
        if 1.0 / np.square(weights).sum() < FEWEST:
            return self.deviations
        mean = points @ weights
        weighed = np.sqrt(np.square(points - mean[:, None]) @ weights)
        return np.asarray(np.maximum(self.deviations, weighed), dtype=np.float64)

    @property
    def dwelling(self) -> Dwelling:
        """The fitted dwelling as one that can be saved: see `scaled_dwelling`."""
        return scaled_dwelling(self.start, self.sheet.house.zone, self.factors)

    def interval(self, key: str, probability: float = 0.9) -> tuple[float, float]:
        """Range that holds a factor with a probability.

        Parameters
        ----------
        key : str
            Key of the unknown.
        probability : float, optional
            Above 0 and below 1.

        Returns
        -------
        tuple of float
        """
        from statistics import NormalDist

        row = [item.key for item in self.unknowns].index(key)
        half = NormalDist().inv_cdf(0.5 + probability / 2.0) * self.spreads[row]
        low, high = np.exp(self.optimum.point[row] + np.array([-half, half]))
        return float(low), float(high)

    def left(self, key: str) -> float:
        """Share of the assumed spread of a factor that the readings leave: 1 where they say nothing."""
        row = [item.key for item in self.unknowns].index(key)
        return float(self.spreads[row] / self.unknowns[row].spread)

    def determined(self, key: str) -> bool:
        """Whether the readings narrow a factor noticeably."""
        return self.left(key) < float(table()["check"]["undetermined_from"])

    @cached_property
    def explained(self) -> tuple[Explained, ...]:
        """Every reading beside what the fitted dwelling shows."""
        slopes, error = self.optimum.slopes, self.sheet.errors()
        spread = np.sqrt(np.einsum("ru,uv,rv->r", slopes, self.optimum.covariance, slopes))
        rest = (self.sheet.scaled(self.sheet.values) - self.optimum.predicted) / error
        free = np.sqrt(np.maximum(1.0 - np.square(spread / error), 1e-6))
        found = []
        for row, item in enumerate(self.sheet.used):
            fitted, scale = float(self.optimum.predicted[row]), 1.0
            if item.quantity == "spillage_time":
                fitted = float(np.exp(fitted)) - SHORTEST
                scale = fitted + SHORTEST
                fitted = np.inf if fitted > BURN - 1.0 else max(fitted, 0.0)
            found.append(
                Explained(item, fitted, error[row] * scale, spread[row] * scale, float(rest[row] / free[row]))
            )
        return tuple(found)

    @property
    def chance(self) -> float:
        """Probability that sound readings of such a house miss the model by this much or more.

        Notes
        -----
        The least sum of squares, deviations from what was assumed among them, follows chi-square with as many degrees
        of freedom as there are readings, as far as the model is straight within the uncertainties.
        """
        from scipy.stats import chi2

        return float(chi2.sf(self.optimum.cost, len(self.sheet.used)))

    @property
    def unexplained(self) -> tuple[Explained, ...]:
        """Readings that lie further off than chance allows, the furthest first."""
        limit = float(table()["check"]["stands_out"])
        off = [item for item in self.explained if abs(item.deviation) > limit]
        return tuple(sorted(off, key=lambda item: -abs(item.deviation)))

    @property
    def explains(self) -> bool:
        """Whether the dwelling explains the readings."""
        return self.chance >= float(table()["check"]["explained_from"]) and not self.unexplained

    def sample(self, count: int) -> dict[str, FloatArray]:
        """Factors drawn from what the readings leave open.

        Parameters
        ----------
        count : int
            How many; a power of two spreads them most evenly.

        Returns
        -------
        dict of str to ndarray, shape (count,)
            The same numbers at every call.

        Notes
        -----
        Drawn half about the optimum and half from what was assumed, and weighed with what the model itself shows at
        each point, so that a house whose vent would be reversed is not counted among those that explain a vent that
        draws. From the weights equal ones are made by systematic resampling; where fewer than `FEWEST` points carry
        the weight, the normal approximation about the optimum stands.

        References
        ----------
        J. S. Liu, Monte Carlo Strategies in Scientific Computing (2001), 2.5 (importance weights), 3.4 (resampling);
        T. Hesterberg, Technometrics 37 (1995), 185, for the mixture that is drawn from.
        """
        points, weights = self._pool
        if 1.0 / np.square(weights).sum() < FEWEST:
            points, weights = points[:, :POOL], np.full(POOL, 1.0 / POOL)
        edges = np.cumsum(weights)
        rows = np.searchsorted(edges / edges[-1], (np.arange(count) + 0.5) / count)
        return {item.key: np.exp(row[rows]) for item, row in zip(self.unknowns, points, strict=True)}

    @cached_property
    def _pool(self) -> tuple[FloatArray, FloatArray]:
        """Logarithms, shape (U, 2·POOL), half about the optimum and half from what was assumed, and their weights."""
        from scipy.stats import norm, qmc

        count, spread = len(self.unknowns), np.array([item.spread for item in self.unknowns])
        unit = qmc.Sobol(count, scramble=True, rng=5).random(2 * POOL)
        standard = norm.ppf(np.clip(unit, 1e-6, 1.0 - 1e-6)).T
        root = np.linalg.cholesky(self.optimum.covariance)
        near = self.optimum.point[:, None] + root @ standard[:, :POOL]
        points = np.hstack([near, spread[:, None] * standard[:, POOL:]])
        about = np.square(np.linalg.solve(root, points - self.optimum.point[:, None])).sum(axis=0)
        before = np.square(points / spread[:, None]).sum(axis=0)
        drawn = np.logaddexp(-0.5 * about - np.log(np.diag(root)).sum(), -0.5 * before - np.log(spread).sum())
        factors = {item.key: np.exp(row) for item, row in zip(self.unknowns, points, strict=True)}
        sheet = self.sheet
        off = sheet.scaled(sheet.predicted(factors)) - sheet.scaled(sheet.values)[:, None]
        exponent = -0.5 * (np.square(off / sheet.errors()[:, None]).sum(axis=0) + before) - drawn
        weights = np.exp(exponent - exponent.max())
        return points, weights / weights.sum()

    def sentences(self, system: str = "field") -> list[str]:
        """The fit in words: what was found, what stays open, what is not explained."""
        return words.fit_sentences(self, system)

    def to_record(self) -> dict[str, Any]:
        """Plain mapping for JSON."""
        return {
            "dwelling": self.start.name,
            "zone": self.sheet.house.zone,
            "chance": self.chance,
            "explains": self.explains,
            "factors": [self._factor(item) for item in self.unknowns],
            "readings": [_row(item) for item in self.explained],
            "left_out": list(self.sheet.left),
            "assumptions": list(self.assumptions),
        }

    def _factor(self, item: Unknown) -> Mapping[str, Any]:
        low, high = self.interval(item.key)
        return {
            "key": item.key,
            "title": item.title,
            "factor": self.factors[item.key],
            "low": low,
            "high": high,
            "determined": self.determined(item.key),
            "source": item.source,
        }


def _row(item: Explained) -> dict[str, Any]:
    return {
        **item.reading.to_record(),
        "fitted": "inf" if np.isinf(item.fitted) else item.fitted,
        "fitted_uncertainty": item.fitted_error,
        "deviation": item.deviation,
    }
