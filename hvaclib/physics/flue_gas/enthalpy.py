"""Molar enthalpy of the gases of flue gas and of liquid water, by published polynomials; J/mol above an arbitrary zero."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from hvaclib.physics.fuel import MOLAR_GAS_CONSTANT, OXYGEN_IN_AIR
from hvaclib.reference import figure, value

__all__ = ["GASES", "LIQUID_REFERENCE", "RANGE", "liquid_water", "molar", "rest_of_air"]

FloatArray = NDArray[np.float64]

GASES = ("nitrogen", "oxygen", "carbon_dioxide", "water", "argon")
#: K, within which the polynomials hold.
RANGE = (230.0, 1000.0)
#: K, at which the latent heat is tabled.
LIQUID_REFERENCE = 298.15

_POLYNOMIALS = {name: np.asarray(figure("flue_gas", "enthalpy", name).value) for name in GASES}
_LATENT = 1e3 * value("flue_gas", "latent_heat")
_LIQUID_HEAT = value("flue_gas", "liquid_heat_capacity")
_ARGON_SHARE = value("flue_gas", "argon_in_air") / (1.0 - OXYGEN_IN_AIR)


def molar(gas: str, temperature: ArrayLike) -> FloatArray:
    """Enthalpy of one mole of a gas at a temperature, J/mol; only differences have a meaning.

    Parameters
    ----------
    gas : str
        One of `GASES`.
    temperature : array_like
        K.
    """
    t = np.asarray(temperature, dtype=np.float64)
    a = _POLYNOMIALS[gas]
    return np.asarray(
        MOLAR_GAS_CONSTANT * t * (a[0] + t * (a[1] / 2 + t * (a[2] / 3 + t * (a[3] / 4 + t * a[4] / 5))))
    )


def rest_of_air(temperature: ArrayLike) -> FloatArray:
    """Enthalpy of one mole of air without its oxygen: nitrogen with argon, J/mol."""
    return (1.0 - _ARGON_SHARE) * molar("nitrogen", temperature) + _ARGON_SHARE * molar("argon", temperature)


def liquid_water(temperature: ArrayLike) -> FloatArray:
    """Enthalpy of one mole of liquid water on the scale of the vapour, J/mol."""
    t = np.asarray(temperature, dtype=np.float64)
    return molar("water", LIQUID_REFERENCE) - _LATENT + _LIQUID_HEAT * (t - LIQUID_REFERENCE)
