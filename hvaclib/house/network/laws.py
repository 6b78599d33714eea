"""What one path lets through: flow and slope, and nothing about how the house is solved."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hvaclib.house.network.arrays import FanCurve, FloatArray

LAMINAR_PRESSURE = 0.002
"""Pressure difference in Pa below which a path's law becomes linear.

Mathematics, not a measured property: a power law has no finite slope at zero. A digital manometer of the
trade shows tenths of a pascal (common practice, no source); at 0.1 Pa the smoothed orifice law stays within
0.01 % of the plain one, at 1 Pa within one part in a million.
"""


TINY = 1e-35
"""Coefficient, kg/s/Pa**n, that stands in for a closed path where one is divided by it."""


def power_law(
    coefficient: FloatArray, exponent: FloatArray, difference: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Flow and slope of the power law, smooth and linear through zero.

    Parameters
    ----------
    coefficient : ndarray, shape (P, S)
        C, kg/s/Pa**n.
    exponent : ndarray, shape (P,)
        n, 0.5 to 1.
    difference : ndarray, shape (P, S)
        Pressure difference x across the path, Pa, drive included.

    Returns
    -------
    flow : ndarray, shape (P, S)
        kg/s, with the sign of x.
    slope : ndarray, shape (P, S)
        d(flow)/dx, kg/s/Pa, above zero wherever C is.

    Notes
    -----
    ``m = C x (x**2 + e**2)**((n - 1)/2)`` with e = `LAMINAR_PRESSURE`: odd in x, ``C x**n`` for
    x far above e, and its slope ``C (x**2 + e**2)**((n - 3)/2) (n x**2 + e**2)`` never vanishes.
    """
    column = np.asarray(exponent, dtype=np.float64)[:, None]
    square = difference * difference + LAMINAR_PRESSURE**2
    factor = coefficient * square ** (0.5 * (column - 1.0))
    slope = np.empty_like(factor)
    _slope(factor, column, square, slope)
    return factor * difference, slope


def sorted_power_law(
    coefficient: FloatArray, exponent: FloatArray, orifices: int, difference: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """`power_law` for rows sorted by exponent: the first rows are orifices and need square roots only.

    Parameters
    ----------
    coefficient, difference : ndarray, shape (P, S)
        As in `power_law`.
    exponent : ndarray, shape (P, 1)
        Rising; as a column.
    orifices : int
        Number of leading rows with n = 0.5.

    Returns
    -------
    flow, slope : ndarray, shape (P, S)
        As in `power_law`.
    """
    square = difference * difference
    square += LAMINAR_PRESSURE**2
    flow, slope = np.empty_like(square), np.empty_like(square)
    if orifices:
        power = np.sqrt(square[:orifices], out=flow[:orifices])
        np.sqrt(power, out=power)
        np.divide(coefficient[:orifices], power, out=power)
    if orifices < len(square):
        power = np.power(square[orifices:], 0.5 * (exponent[orifices:] - 1.0), out=flow[orifices:])
        power *= coefficient[orifices:]
    _slope(flow, exponent, square, slope)
    flow *= difference
    return flow, slope


def power_law_inverse(
    coefficient: FloatArray, exponent: FloatArray, orifices: int, flow: FloatArray
) -> FloatArray:
    """The pressure difference at which the plain power law passes a flow; rows sorted as above.

    Parameters
    ----------
    coefficient, flow : ndarray, shape (P, S)
        C, kg/s/Pa**n; flow, kg/s.
    exponent : ndarray, shape (P, 1)
        Rising; as a column.
    orifices : int
        Number of leading rows with n = 0.5.

    Returns
    -------
    ndarray, shape (P, S)
        Pa; zero for a closed path.
    """
    ratio = np.abs(flow) / np.maximum(coefficient, TINY)
    ratio[coefficient == 0.0] = 0.0
    ratio[:orifices] *= ratio[:orifices]
    if orifices < ratio.shape[0]:
        ratio[orifices:] **= 1.0 / exponent[orifices:]
    return np.copysign(ratio, flow)


@dataclass(frozen=True, slots=True)
class FanLine:
    """A fan curve as straight pieces against the pressure left below shut-off.

    Parameters
    ----------
    shut_off : float
        Pressure rise, Pa, at which the fan moves nothing, on the table or on the line that continues it.
    edges : ndarray, shape (K - 2,)
        Where one piece ends and the next begins, Pa below shut-off, rising.
    offset, slope : ndarray, shape (K - 1,)
        Flow of each piece at shut-off, kg/s, and its slope, kg/s/Pa. The piece through shut-off has no offset,
        so that the trickle of a fan in a nearly sealed house keeps its digits.
    chord : tuple of float
        Offset and slope of the line from one end of the table to the other.
    """

    shut_off: float
    edges: FloatArray
    offset: FloatArray
    slope: FloatArray
    chord: tuple[float, float]


def fan_line(curve: FanCurve) -> FanLine:
    """The straight pieces of a fan curve."""
    slope = -np.diff(curve.flows) / np.diff(curve.pressures)
    through = int(np.clip(np.searchsorted(-curve.flows, 0.0) - 1, 0, slope.size - 1))
    shut_off = float(curve.pressures[through] + curve.flows[through] / slope[through])
    below = shut_off - curve.pressures
    offset = curve.flows[:-1] - slope * below[:-1]
    offset[through] = 0.0
    whole = float((curve.flows[0] - curve.flows[-1]) / (curve.pressures[-1] - curve.pressures[0]))
    return FanLine(
        shut_off=shut_off,
        edges=below[-2:0:-1].copy(),
        offset=offset[::-1].copy(),
        slope=slope[::-1].copy(),
        chord=(float(curve.flows[0] - whole * below[0]), whole),
    )


def fan_law(line: FanLine, switch: FloatArray, below: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Flow and slope of a fan with a falling curve.

    Parameters
    ----------
    line : FanLine
        Its straight pieces.
    switch : ndarray, shape (S,)
        Share of the table's flow, 0 to 1.
    below : ndarray, shape (S,)
        ``shut_off + p[start] - p[end] + drive``, Pa: how far the pressure rise is below shut-off.

    Returns
    -------
    flow : ndarray, shape (S,)
        kg/s from start to end.
    slope : ndarray, shape (S,)
        d(flow)/d(below), kg/s/Pa: the magnitude of the table's fall; above zero where the fan runs.
    """
    piece = np.searchsorted(line.edges, below, side="right")
    slope = switch * line.slope[piece]
    return switch * line.offset[piece] + slope * below, slope


def _slope(factor: FloatArray, exponent: FloatArray, square: FloatArray, out: FloatArray) -> None:
    """Slope from ``factor = C (x**2 + e**2)**((n - 1)/2)`` and ``square = x**2 + e**2``."""
    np.divide((1.0 - exponent) * LAMINAR_PRESSURE**2, square, out=out)
    out += exponent
    out *= factor
