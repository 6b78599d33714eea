"""The column of gas in a vent: how it cools on its way, how hard it lifts, how hard the pipe holds it back.

All functions take arrays: the first axis runs along the pipe in the direction of flow, the others are pipes and
scenarios.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from hvaclib.physics import air
from hvaclib.physics.pipe_flow import friction_factor, nusselt

FloatArray = NDArray[np.float64]

#: J/(kg K), diluted flue gas between 300 K and 500 K: 1.02 for dry air to 1.10 for undiluted products of natural
#: gas (NASA polynomials); the mean of a vent at its capacity.
SPECIFIC_HEAT = 1050.0


@dataclass(frozen=True, slots=True)
class Flow:
    """What the flow does at the wall of a pipe.

    Attributes
    ----------
    friction : ndarray
        Darcy friction factor, by the diameter of the circle of equal area.
    film : ndarray
        W/(m2 K) from the gas to the wall.
    """

    friction: FloatArray
    film: FloatArray


def wall_flow(
    flow: ArrayLike,
    diameter: ArrayLike,
    length: ArrayLike,
    roughness: ArrayLike,
    temperature: ArrayLike,
    shape: ArrayLike = 1.0,
) -> Flow:
    """Return friction and heat transfer of a mass flow in a pipe.

    Parameters
    ----------
    flow : array_like
        kg/s, either direction.
    diameter, length, roughness : array_like
        m; the diameter is that of the circle of equal area.
    temperature : array_like
        K, mean of the gas.
    shape : array_like
        Perimeter over that of the circle of equal area (`Wall.shape`).

    Notes
    -----
    A flue that is not round has the friction and film of a round one of its hydraulic diameter, four areas over the
    perimeter, at the same speed (VDI Heat Atlas, 2nd ed. (2010), G1 and L1).
    """
    around = np.asarray(shape, dtype=float)
    bore = np.asarray(diameter, dtype=float) / around
    warm = np.asarray(temperature, dtype=np.float64)
    viscosity = air.viscosity.si(temperature=warm)
    reynolds = 4.0 * np.abs(flow) / (np.pi * bore * np.square(around) * viscosity)
    friction = friction_factor(reynolds, np.asarray(roughness) / bore)
    number = nusselt(reynolds, friction, bore / np.maximum(length, bore))
    return Flow(friction=friction * around, film=number * air.conductivity.si(temperature=warm) / bore)


def march(inlet: ArrayLike, target: FloatArray, units: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Follow the gas along a pipe whose wall or surroundings pull it towards `target`.

    Parameters
    ----------
    inlet : array_like
        K where the gas enters; shape (...).
    target : ndarray
        K towards which each segment pulls; shape (N, ...).
    units : ndarray
        Number of transfer units of each segment, conductance over capacity flow; shape (N, ...).

    Returns
    -------
    mean, outlet : ndarray
        K, mean over each segment, shape (N, ...), and at the end, shape (...).

    Notes
    -----
    Exact for a segment of constant target and conductance (exponential approach).
    """
    decay = np.exp(-units)
    average = -np.expm1(-units) / np.maximum(units, 1e-12)
    mean = np.empty(np.broadcast_shapes(target.shape, units.shape))
    temperature = np.asarray(inlet, dtype=np.float64)
    for index in range(len(mean)):
        excess = temperature - target[index]
        mean[index] = target[index] + excess * average[index]
        temperature = target[index] + excess * decay[index]
    return mean, temperature


def transfer_units(conductance: ArrayLike, flow: ArrayLike) -> FloatArray:
    """Return conductance (W/K) over capacity flow; a gas that stands still takes the target's temperature."""
    capacity = np.maximum(np.abs(flow), 1e-9) * SPECIFIC_HEAT
    return np.minimum(np.asarray(conductance, dtype=float) / capacity, 700.0)


def density(temperature: ArrayLike, pressure: ArrayLike, gas_constant: ArrayLike) -> FloatArray:
    """Return kg/m3 of an ideal gas."""
    product = np.asarray(gas_constant, dtype=np.float64) * np.asarray(temperature, dtype=np.float64)
    result: FloatArray = np.asarray(pressure, dtype=np.float64) / product
    return result
