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

SAME = 1e-7
"""Relative change of a pressure difference below which a law is as good as straight."""

ROUTINE_TRIALS = 3
CAREFUL_TRIALS = 40


@dataclass(slots=True)
class Point:
    """Pressures and all that follows from them, S scenarios."""

    pressure: FloatArray  # (Z, S), Pa
    across: FloatArray  # (P + F, S), Pa: difference of each row, drive included
    flow: FloatArray  # (P + F, S), kg/s
    slope: FloatArray  # (P + F, S), kg/s/Pa
    imbalance: FloatArray  # (Z, S), kg/s

    def keep(self, columns: IntArray) -> Point:
        """The same point for fewer scenarios."""
        return Point(*(part.take(columns, axis=1) for part in self.parts))

    def put(self, columns: IntArray, other: Point) -> None:
        """Replace some scenarios."""
        for mine, new in zip(self.parts, other.parts, strict=True):
            mine[:, columns] = new

    @property
    def parts(self) -> tuple[FloatArray, ...]:
        """All arrays in the order of the fields."""
        return (self.pressure, self.across, self.flow, self.slope, self.imbalance)


@dataclass(slots=True)
class Step:
    """A Newton step: pressure change of each zone and, for the careful search, of the difference across each row."""

    change: FloatArray  # (Z, S), Pa
    along: FloatArray | None  # (P + F, S), Pa

    def keep(self, columns: IntArray) -> Step:
        """The same step for fewer scenarios."""
        along = None if self.along is None else self.along.take(columns, axis=1)
        return Step(self.change.take(columns, axis=1), along)


def evaluate(rows: Rows, pressure: FloatArray, across: FloatArray | None = None) -> Point:
    """Flows, slopes and imbalances at the given pressures, or at differences that are known better than these."""
    if across is None:
        across = differences(rows, pressure)
    flow, slope = flow_and_slope(rows, across)
    return Point(pressure, across, flow, slope, imbalance(rows, flow))


def search(rows: Rows, point: Point, step: Step) -> tuple[Point, FloatArray]:
    """Go along a Newton step as far as it lowers the energy.

    Parameters
    ----------
    rows : Rows
    point : Point
        Where the step starts.
    step : Step
        With `along` given, only ends that are certain to lower the energy are accepted.

    Returns
    -------
    point : Point
        Where the step ends.
    share : ndarray, shape (S,)
        Share of the step that was taken.
    """
    start = _downhill(point, step, 0.0, point)
    end = _moved(rows, point, step, None)
    stop = _downhill(point, step, 1.0, end)
    share = np.ones_like(start)
    beyond = stop < (0.0 if step.along is not None else -OVERSHOOT * start)
    if beyond.any():
        columns = np.flatnonzero(beyond)
        part = rows.keep(columns), point.keep(columns), step.keep(columns)
        shortened, share[columns] = _bracket(*part, start[columns], stop[columns])
        end.put(columns, shortened)
    return end, share


def _downhill(point: Point, step: Step, share: FloatArray | float, at: Point) -> FloatArray:
    """Minus the slope of the energy along the step, at a share of it: above zero while it still leads downhill.

    The careful search adds up what changes along each path, because the product of a small imbalance and a large
    pressure change is all rounding in a nearly sealed house; so is the difference of two flows that are almost
    the same, for which the slope stands in.
    """
    if step.along is None:
        routine: FloatArray = np.einsum("zs,zs->s", at.imbalance, step.change)
        return routine
    moved = step.along * share
    straight = point.slope * moved
    bent = np.abs(moved) > SAME * np.abs(point.across)
    gained = np.where(bent, at.flow - point.flow, straight)
    careful: FloatArray = np.einsum("ks,ks->s", point.slope * step.along - gained, step.along)
    return careful


def _moved(rows: Rows, point: Point, step: Step, share: FloatArray | None) -> Point:
    change = step.change if share is None else step.change * share
    if step.along is None:
        return evaluate(rows, point.pressure + change)
    along = step.along if share is None else step.along * share
    return evaluate(rows, point.pressure + change, point.across + along)


def _bracket(
    rows: Rows, point: Point, step: Step, at_near: FloatArray, at_far: FloatArray
) -> tuple[Point, FloatArray]:
    """Close in on the root of the energy's slope, known to lie between nothing and the whole step."""
    careful = step.along is not None
    first = at_near
    near, far = np.zeros_like(first), np.ones_like(first)
    for _ in range(CAREFUL_TRIALS if careful else ROUTINE_TRIALS):
        share = near + (far - near) * np.clip(at_near / (at_near - at_far), 0.05, 0.95)
        trial = _moved(rows, point, step, share)
        slope = _downhill(point, step, share, trial)
        if careful:  # the energy gained is at least the sum of these two
            good = (slope >= 0.0) | (near * at_near + (share - near) * slope > 0.0)
        else:
            good = np.abs(slope) <= UNDERSHOOT * first
        if good.all():
            break
        short = slope > 0.0
        near, at_near = np.where(short, share, near), np.where(short, slope, at_near)
        far, at_far = np.where(short, far, share), np.where(short, at_far, slope)
    return trial, share
