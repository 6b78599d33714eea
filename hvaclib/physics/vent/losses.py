"""Pressure losses along a vent, in velocity heads and as a resistance to mass flow."""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from hvaclib.reference import load

FloatArray = NDArray[np.float64]


@cache
def loss(name: str) -> float:
    """Return a loss coefficient of ``reference/vents.toml``, in velocity heads."""
    return float(load("vents")["loss"][name]["value"])


def entry_loss(connector_area: ArrayLike, flue_area: ArrayLike) -> FloatArray:
    """Return the loss of a connector that ends square in the side of a wider flue, in its own velocity heads.

    Parameters
    ----------
    connector_area, flue_area : array_like
        m2; a flue that is narrower than the connector counts as of the same area.

    Notes
    -----
    The turn is the tee of every other joint; the jet then spreads over the flue and loses what a sudden enlargement
    costs, (1 - A1/A2)^2.

    References
    ----------
    Borda-Carnot: I. E. Idelchik, Handbook of Hydraulic Resistance, 3rd ed., diagram 4-1.
    """
    ratio = np.minimum(np.asarray(connector_area, dtype=float) / np.asarray(flue_area, dtype=float), 1.0)
    result: FloatArray = loss("tee") + np.square(1.0 - ratio)
    return result


def blockage_loss(blocked: ArrayLike) -> FloatArray:
    """Return the loss of a thin obstruction, in velocity heads of the free vent.

    Parameters
    ----------
    blocked : array_like
        Share of the vent's cross-section that is closed, from 0 to below 1.

    Notes
    -----
    A sharp-edged orifice in a pipe: the jet contracts behind the edge and its kinetic energy is lost.

    References
    ----------
    I. E. Idelchik, Handbook of Hydraulic Resistance, 3rd ed., diagram 4-15 (thick-edged correction zero).
    """
    free = 1.0 - np.asarray(blocked, dtype=float)
    result: FloatArray = ((1.0 + 0.707 * np.sqrt(1.0 - free) - free) / free) ** 2
    return result


def resistance(heads: ArrayLike, area: ArrayLike, density: ArrayLike) -> FloatArray:
    """Return R of Δp = R m² for a loss of so many velocity heads.

    Parameters
    ----------
    heads : array_like
        Loss coefficient, velocity heads in `area`.
    area : array_like
        m2.
    density : array_like
        kg/m3 of the flowing gas.

    Returns
    -------
    ndarray
        Pa s2/kg2.
    """
    square = np.square(np.asarray(area, dtype=float))
    result: FloatArray = np.asarray(heads, dtype=float) / (2.0 * np.asarray(density, dtype=float) * square)
    return result
