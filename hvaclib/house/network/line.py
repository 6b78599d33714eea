"""How far along a Newton step: the line search, which uses nothing but the slope of the energy along the line.

Along the step the energy is convex, so its slope rises from below zero through its one root. A step that stops
short of the root has lowered the energy; one beyond it has done so at least if the slopes at two points bound the
gain from above. No energy is ever formed: the difference of two large ones would lose the digits that count.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hvaclib.house.network.arrays import FloatArray, IntArray
from hvaclib.house.network.assemble import Rows, differences, flow_and_slope, imbalance

OVERSHOOT = 0.3
"""Share of the first slope that the routine search allows beyond the minimum of the line."""

UNDERSHOOT = 0.5
"""Share of the first slope at which a shortened step is near enough to the minimum of the line."""

ROUTINE_TRIALS = 3
CAREFUL_TRIALS = 40


@dataclass(slots=True)
class Point:
    """Pressures and all that follows from them, S scenarios."""

    pressure: FloatArray  # (Z, S), Pa
    low: FloatArray | None  # (Z, S), Pa: what did not fit into `pressure`, kept by the careful search
    flow: FloatArray  # (P + F, S), kg/s
    slope: FloatArray  # (P + F, S), kg/s/Pa
    imbalance: FloatArray  # (Z, S), kg/s

    def keep(self, columns: IntArray) -> Point:
        """The same point for fewer scenarios."""
        return Point(
            self.pressure.take(columns, axis=1),
            None if self.low is None else self.low.take(columns, axis=1),
            self.flow.take(columns, axis=1),
            self.slope.take(columns, axis=1),
            self.imbalance.take(columns, axis=1),
        )

    def put(self, columns: IntArray, other: Point) -> None:
        """Replace some scenarios."""
        self.pressure[:, columns] = other.pressure
        if self.low is not None and other.low is not None:
            self.low[:, columns] = other.low
        self.flow[:, columns] = other.flow
        self.slope[:, columns] = other.slope
        self.imbalance[:, columns] = other.imbalance


def evaluate(rows: Rows, pressure: FloatArray, low: FloatArray | None = None) -> Point:
    """Flows, slopes and imbalances at the given pressures."""
    across = differences(rows, pressure)
    if low is not None:
        across += rows.topology.incidence @ low
    flow, slope = flow_and_slope(rows, across)
    return Point(pressure, low, flow, slope, imbalance(rows, flow))


def search(rows: Rows, point: Point, change: FloatArray, careful: bool) -> tuple[Point, FloatArray]:
    """Go along a Newton step as far as it lowers the energy.

    Parameters
    ----------
    rows : Rows
    point : Point
        Where the step starts.
    change : ndarray, shape (Z, S)
        The step, Pa.
    careful : bool
        Keep the pressures in two parts and accept only steps that are certain to lower the energy.

    Returns
    -------
    point : Point
        Where the step ends.
    share : ndarray, shape (S,)
        Share of the step that was taken.
    """
    steepness = _along(point, change)
    end = _moved(rows, point, change, careful)
    share = np.ones(change.shape[1])
    beyond = _along(end, change) < (0.0 if careful else -OVERSHOOT * steepness)
    if beyond.any():
        columns = np.flatnonzero(beyond)
        shortened, end_share = _bracket(
            rows.keep(columns),
            point.keep(columns),
            change.take(columns, axis=1),
            (steepness[columns], _along(end, change)[columns]),
            careful,
        )
        end.put(columns, shortened)
        share[columns] = end_share
    return end, share


def _along(point: Point, change: FloatArray) -> FloatArray:
    """Minus the slope of the energy along the step, W: above zero while the step still leads downhill."""
    return np.asarray(np.einsum("zs,zs->s", point.imbalance, change), dtype=np.float64)


def _moved(rows: Rows, point: Point, change: FloatArray, careful: bool) -> Point:
    pressure = point.pressure + change
    if not careful:
        return evaluate(rows, pressure)
    part = (
        pressure - point.pressure
    )  # the sum of two numbers and its rounding error, exactly (Knuth's two-sum)
    lost = (point.pressure - (pressure - part)) + (change - part)
    return evaluate(rows, pressure, lost if point.low is None else point.low + lost)


def _bracket(
    rows: Rows, point: Point, change: FloatArray, ends: tuple[FloatArray, FloatArray], careful: bool
) -> tuple[Point, FloatArray]:
    """Close in on the root of the energy's slope, known to lie between nothing and the whole step."""
    first = ends[0]
    near, far = np.zeros_like(first), np.ones_like(first)
    at_near, at_far = first.copy(), ends[1].copy()
    for _ in range(CAREFUL_TRIALS if careful else ROUTINE_TRIALS):
        width = far - near
        share = near + width * np.clip(at_near / (at_near - at_far), 0.05, 0.95)
        trial = _moved(rows, point, change * share, careful)
        slope = _along(trial, change)
        if careful:
            gain = near * at_near + (share - near) * slope  # energy gained is at least this
            good = (slope >= 0.0) | (gain > 0.0)
        else:
            good = np.abs(slope) <= UNDERSHOOT * first
        if good.all():
            break
        short = slope > 0.0
        near, at_near = np.where(short, share, near), np.where(short, slope, at_near)
        far, at_far = np.where(short, far, share), np.where(short, at_far, slope)
    return trial, share
