"""Friction and heat transfer of flow in round pipes, smooth from laminar to turbulent."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]

#: Below this Reynolds number the gas in a vent as good as stands still; the formulas are held there.
LEAST_REYNOLDS = 10.0


def friction_factor(reynolds: ArrayLike, relative_roughness: ArrayLike) -> FloatArray:
    """Return the Darcy friction factor over all regimes.

    Parameters
    ----------
    reynolds : array_like
        Reynolds number.
    relative_roughness : array_like
        Roughness over diameter.

    Notes
    -----
    One equation from laminar (64/Re) through transition to rough turbulent flow, so that a solver meets no jump.

    References
    ----------
    S. W. Churchill, "Friction-factor equation spans all fluid-flow regimes", Chemical Engineering 84(24), 1977.
    """
    number = np.maximum(np.asarray(reynolds, dtype=float), LEAST_REYNOLDS)
    rough = np.asarray(relative_roughness, dtype=float)
    turbulent = (-2.457 * np.log((7.0 / number) ** 0.9 + 0.27 * rough)) ** 16
    transition = (37530.0 / number) ** 16
    result: FloatArray = 8.0 * ((8.0 / number) ** 12 + (turbulent + transition) ** -1.5) ** (1.0 / 12.0)
    return result


def nusselt(
    reynolds: ArrayLike, friction: ArrayLike, diameter_over_length: ArrayLike, prandtl: float = 0.71
) -> FloatArray:
    """Return the mean Nusselt number of a pipe with its entrance length.

    Parameters
    ----------
    reynolds : array_like
        Reynolds number.
    friction : array_like
        Darcy friction factor at that Reynolds number.
    diameter_over_length : array_like
        Diameter over heated length.
    prandtl : float
        Prandtl number of the gas.

    Notes
    -----
    Laminar: Hausen. Turbulent: Gnielinski with the entrance correction of Hausen. Between Re 2300 and 4000 the two
    are joined linearly; the VDI Heat Atlas joins them up to Re 10 000, which gives up to 28 % less at Re 4000. The
    film carries a third of the resistance of a double wall: joined the Atlas's way, the capacities of the code table
    move by 1.4 % at most and the drafts of the demo dwellings by 0.001 Pa.

    References
    ----------
    VDI Heat Atlas, 2nd ed. (2010), G1; V. Gnielinski, Int. Chem. Eng. 16 (1976).
    """
    number = np.maximum(np.asarray(reynolds, dtype=float), LEAST_REYNOLDS)
    slender = np.asarray(diameter_over_length, dtype=float)
    graetz = number * prandtl * slender
    laminar = 3.66 + 0.0668 * graetz / (1.0 + 0.04 * np.cbrt(graetz) ** 2)
    eighth = np.asarray(friction, dtype=float) / 8.0
    above = np.maximum(number, 2300.0)
    turbulent = (
        eighth * (above - 1000.0) * prandtl / (1.0 + 12.7 * np.sqrt(eighth) * (prandtl ** (2 / 3) - 1.0))
    )
    turbulent = turbulent * (1.0 + np.cbrt(slender) ** 2)
    share = np.clip((number - 2300.0) / 1700.0, 0.0, 1.0)
    result: FloatArray = laminar + share * (turbulent - laminar)
    return result
