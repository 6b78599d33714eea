"""Properties of a fuel gas from its composition: heating values, relative density, Wobbe index, compressibility."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import sqrt
from typing import Annotated

import numpy as np

from hvaclib.physics.fuel.burning import COMBUSTION_TEMPERATURE, MOLAR_GAS_CONSTANT
from hvaclib.physics.fuel.composition import COMPOSITION
from hvaclib.physics.fuel.gases import gases, interpolated, latent_heat, temperatures
from hvaclib.reference import figure, value
from hvaclib.units import calculation, checks, kinds

__all__ = ["GasProperties", "mixture"]

_MIXING_PRESSURE = 1e3 * value("fuels", "mixing_pressure")
_AIR_MASS = 1e-3 * value("fuels", "air_molar_mass")
_AIR_Z = tuple(np.atleast_1d(figure("fuels", "air_compressibility").value).tolist())
_PRESSURES = (90e3, 110e3)


@dataclass(frozen=True, slots=True)
class GasProperties:
    """A gas at its reference conditions; `ideal` before a name means the ideal gas, else the real one.

    Attributes
    ----------
    higher_heating_value, lower_heating_value : float
        J/m³ of real gas.
    relative_density : float
        Density against that of dry air at the same conditions.
    wobbe_index, lower_wobbe_index : float
        Heating value over the root of the relative density, J/m³.
    compressibility : float
        Z of the gas.
    density : float
        kg/m³.
    ideal_higher_heating_value, ideal_lower_heating_value : float
        J/m³.
    ideal_relative_density : float
        Ratio of the molar masses.
    molar_mass : float
        kg/mol.
    molar_higher_heating_value, molar_lower_heating_value : float
        J/mol.
    """

    higher_heating_value: Annotated[float, kinds.HEATING_VALUE]
    lower_heating_value: Annotated[float, kinds.HEATING_VALUE]
    relative_density: Annotated[float, kinds.DIMENSIONLESS]
    wobbe_index: Annotated[float, kinds.HEATING_VALUE]
    lower_wobbe_index: Annotated[float, kinds.HEATING_VALUE]
    compressibility: Annotated[float, kinds.DIMENSIONLESS]
    density: Annotated[float, kinds.DENSITY]
    ideal_higher_heating_value: Annotated[float, kinds.HEATING_VALUE]
    ideal_lower_heating_value: Annotated[float, kinds.HEATING_VALUE]
    ideal_relative_density: Annotated[float, kinds.DIMENSIONLESS]
    molar_mass: Annotated[float, kinds.MOLAR_MASS]
    molar_higher_heating_value: Annotated[float, kinds.MOLAR_HEAT]
    molar_lower_heating_value: Annotated[float, kinds.MOLAR_HEAT]


@calculation(
    composition=COMPOSITION,
    temperature=kinds.TEMPERATURE,
    pressure=kinds.PRESSURE,
    combustion_temperature=kinds.TEMPERATURE,
    gives=GasProperties,
    notes=("The real gas is counted dry unless water stands in the composition.",),
)
def mixture(
    *,
    composition: Mapping[str, float],
    temperature: float = COMBUSTION_TEMPERATURE,
    pressure: float = _MIXING_PRESSURE,
    combustion_temperature: float | None = None,
) -> GasProperties:
    """Heating values, relative density and Wobbe index of a gas mixture.

    Parameters
    ----------
    composition : gases with their mole percent
        Such as ``"CH4 93.3, C2H6 2.6, N2 4.1"`` or a mapping; the shares add up to 100 %.
    temperature : temperature, default 60 °F
        At which the volume is measured, 0 °C to 20 °C.
    pressure : absolute pressure, default 101325 Pa
        At which the volume is measured, 90 kPa to 110 kPa; 14.73 psia is common in gas sales.
    combustion_temperature : temperature, default that of the volume
        At which the gas burns and to which its products are cooled, 0 °C to 25 °C.

    Returns
    -------
    GasProperties
        Heating values in Btu/ft³ (J/m³ through ``.si``).

    Raises
    ------
    InputError
        If a gas is unknown, the shares do not add up, or a condition is out of range.

    Notes
    -----
    Sums over the molecules; the real gas follows from ``Z = 1 - (p / p0) (Σ x s)²`` with the summation factors s. The
    table holds figures at 0, 15, 15.55 (60 °F), 20 and 25 °C; between them lines are drawn. With the molar mass of air
    of the American reports (28.9625) the relative density comes out 0.01 % higher.

    References
    ----------
    .. [1] ISO 6976:2016, Natural gas - Calculation of calorific values, density, relative density and Wobbe indices.
    .. [2] AGA Report No. 5 (2009), Natural Gas Energy Measurement; ASTM D3588.

    Examples
    --------
    >>> gas = mixture(composition="CH4 93.3212, C2H6 2.5656, C3H8 1.5368, N2 1.0350, CO2 1.5414",
    ...               temperature="15 °C")
    >>> round(gas.higher_heating_value.to("MJ/m^3"), 5)
    <Quantity(38.41061, 'megajoule / meter ** 3')>
    """
    burn = temperature if combustion_temperature is None else combustion_temperature
    _check(temperature, "metering", "temperature")
    _check(burn, "combustion", "combustion_temperature")
    checks.within(pressure, *_PRESSURES, "pressure", kinds.PRESSURE)
    parts = [(gases()[name], share) for name, share in composition.items()]
    mass = sum(share * gas.molar_mass for gas, share in parts)
    gross = sum(share * interpolated(gas.gross_heating_values, burn, "combustion") for gas, share in parts)
    net = gross - sum(share * gas.hydrogen / 2 for gas, share in parts) * latent_heat(burn)
    factor = sum(share * interpolated(gas.summation_factors, temperature, "metering") for gas, share in parts)
    ratio = pressure / _MIXING_PRESSURE
    z = 1.0 - ratio * factor**2
    air_z = 1.0 - ratio * (1.0 - interpolated(_AIR_Z, temperature, "metering"))
    volume = MOLAR_GAS_CONSTANT * temperature / pressure
    relative = mass / _AIR_MASS * air_z / z
    return GasProperties(
        higher_heating_value=gross / (volume * z),
        lower_heating_value=net / (volume * z),
        relative_density=relative,
        wobbe_index=gross / (volume * z) / sqrt(relative),
        lower_wobbe_index=net / (volume * z) / sqrt(relative),
        compressibility=z,
        density=mass / (volume * z),
        ideal_higher_heating_value=gross / volume,
        ideal_lower_heating_value=net / volume,
        ideal_relative_density=mass / _AIR_MASS,
        molar_mass=mass,
        molar_higher_heating_value=gross,
        molar_lower_heating_value=net,
    )


def _check(temperature: float, which: str, argument: str) -> None:
    columns = temperatures(which)
    checks.within(temperature, float(columns[0]), float(columns[-1]), argument, kinds.TEMPERATURE)
