"""Wind pressure on each face of a house."""

from __future__ import annotations

import math

import numpy as np

from hvaclib.house.network.arrays import FloatArray
from hvaclib.reference import figure, value

FACES = ("none", "north", "east", "south", "west", "roof")
"""Faces in the order of the rows of ``face_pressure``."""

_BEARINGS = {"north": 0.0, "east": 0.5 * math.pi, "south": math.pi, "west": 1.5 * math.pi}


def shielding_factor(shielding: str) -> float:
    """Factor on the wind speed for a class of shielding, as in the dwelling file."""
    return value("wind", "shielding", shielding)


def wall_coefficient(angle: FloatArray | float, side_ratio: float = 1.0) -> FloatArray:
    """Mean pressure coefficient of a wall of a low-rise building.

    Parameters
    ----------
    angle : float or ndarray
        Angle between the wind and the wall's outward normal, rad; 0 = wind square on the wall.
    side_ratio : float
        Length of this wall over that of the adjacent one.

    Returns
    -------
    ndarray
        Coefficient on the velocity pressure of the wind at eaves height, same shape as ``angle``.

    References
    ----------
    .. [1] Swami, M. V.; Chandra, S. (1988). Correlations for pressure distribution on buildings and calculation
       of natural-ventilation airflow. ASHRAE Transactions 94(1).
    """
    a, b, c, d, e, f, g = np.asarray(figure("wind", "wall", "equation").value)
    t = np.abs((np.asarray(angle, dtype=np.float64) + math.pi) % (2.0 * math.pi) - math.pi)
    ratio = math.log(side_ratio)
    half_sin, half_cos = np.sin(t / 2.0), np.cos(t / 2.0)
    inside = (
        a
        + b * half_sin
        + c * np.sin(t) ** 2
        + d * np.sin(2.0 * t * ratio) ** 3
        + e * half_cos
        + f * ratio**2 * half_sin**2
        + g * half_cos**2
    )
    return np.asarray(value("wind", "wall", "normal_incidence") * np.log(inside), dtype=np.float64)


def face_pressure(
    speed: FloatArray, direction: FloatArray, density: FloatArray, shielding: str
) -> FloatArray:
    """Wind pressure on each face.

    Parameters
    ----------
    speed, direction, density : ndarray, shape (S,)
        Wind speed in the open at eaves height, m/s; bearing it blows from, rad; density of outdoor air, kg/m³.
    shielding : str
        Class of shielding, as in the dwelling file.

    Returns
    -------
    ndarray, shape (6, S)
        Pa above undisturbed outdoor air, rows as ``FACES``.

    Notes
    -----
    The house is taken as square: the file does not know its outline. The roof has one coefficient for all
    directions.
    """
    velocity = 0.5 * density * (shielding_factor(shielding) * speed) ** 2
    pressure = np.zeros((len(FACES), speed.size))
    if not velocity.any():
        return pressure
    for row, face in enumerate(FACES):
        if face in _BEARINGS:
            pressure[row] = velocity * wall_coefficient(direction - _BEARINGS[face])
        elif face == "roof":
            pressure[row] = velocity * value("wind", "roof", "coefficient")
    return pressure
