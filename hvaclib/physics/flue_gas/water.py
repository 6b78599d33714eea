"""Water of the flue gas: at which temperature it begins to condense, and how much does below."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from hvaclib.errors import InputError
from hvaclib.physics.air import barometric_pressure, saturation_pressure
from hvaclib.physics.flue_gas.analysis import excess_of, plain
from hvaclib.physics.fuel import FUEL, H2O_MOLAR_MASS, Fuel
from hvaclib.units import FloatOrArray, calculation, checks, kinds

__all__ = ["condensate", "dew_point", "vapor_left"]

FloatArray = NDArray[np.float64]
_MAGNUS = (17.625, 243.04, 610.94)  # Alduchov and Eskridge 1996: first guess and slope only
_MOST_EXCESS = 100.0
_CONDENSING = (260.0, 372.0)


def _saturation_temperature(pressure: FloatArray) -> FloatArray:
    """Temperature at which water vapour of this pressure (Pa) is saturated, K: the inverse of the equation of air."""
    a, b, c = _MAGNUS
    logarithm = np.log(pressure)
    x = logarithm - np.log(c)
    celsius = b * x / (a - x)
    for _ in range(12):
        found = np.log(saturation_pressure.si(temperature=celsius + 273.15))
        celsius = celsius - (found - logarithm) * (celsius + b) ** 2 / (a * b)
    return np.asarray(celsius + 273.15)


def water_share(fuel: Fuel, excess: FloatOrArray) -> FloatArray:
    """Mole fraction of water in the wet flue gas, nothing condensed."""
    dry = fuel.dry_products + fuel.air * np.asarray(excess, dtype=np.float64)
    return fuel.water / (fuel.water + dry)


def dew_temperature(fuel: Fuel, excess: FloatOrArray, pressure: FloatOrArray) -> FloatArray:
    """Dew point of the flue gas at an absolute pressure (Pa), K."""
    return _saturation_temperature(water_share(fuel, excess) * np.asarray(pressure, dtype=np.float64))


def vapor_left(
    fuel: Fuel, excess: FloatOrArray, temperature: FloatOrArray, pressure: FloatOrArray
) -> FloatArray:
    """Moles of water that stay vapour when the flue gas of one mole of fuel is cooled to a temperature (K)."""
    dry = fuel.dry_products + fuel.air * np.asarray(excess, dtype=np.float64)
    cold = np.clip(np.asarray(temperature, dtype=np.float64), _CONDENSING[0], _CONDENSING[1] + 1.0)
    share = saturation_pressure.si(temperature=cold) / np.asarray(pressure, dtype=np.float64)
    room = np.where(share < 1.0, dry * share / np.maximum(1.0 - share, 1e-12), np.inf)
    return np.where(np.asarray(temperature) > _CONDENSING[1], fuel.water, np.minimum(room, fuel.water))


@calculation(fuel=FUEL, excess_air=kinds.FRACTION, altitude=kinds.LENGTH, gives=kinds.TEMPERATURE)
def dew_point(*, fuel: Fuel, excess_air: FloatOrArray, altitude: FloatOrArray = 0.0) -> FloatOrArray:
    """Temperature at which the water of the flue gas begins to condense.

    Parameters
    ----------
    fuel : name of a fuel or a composition
        What burns; see ``fuel.stoichiometry``.
    excess_air : fraction
        Air beyond what the fuel needs, dilution air included; 0 to 10 000 %.
    altitude : length, default 0 ft
        Above sea level, of the standard atmosphere.

    Returns
    -------
    temperature
        In °F (K through ``.si``), broadcast shape.

    Raises
    ------
    InputError
        If a value is out of range, or the fuel holds no hydrogen.

    Notes
    -----
    Dry combustion air; air of 60 % relative humidity at 77 °F raises the dew point by some 2 °F, and the sulphur of oil
    makes acid condense far above the dew point of the water.

    References
    ----------
    .. [1] US Department of Energy, Steam Tip Sheet 26A: about 135 °F for natural gas.
    .. [2] Moran and Shapiro, Fundamentals of Engineering Thermodynamics, chapter Reacting Mixtures.

    Examples
    --------
    >>> round(dew_point(fuel="methane", excess_air="20 %").to("degF"), 1)
    <Quantity(132.2, 'degree_Fahrenheit')>
    """
    checks.within(excess_air, 0.0, _MOST_EXCESS, "excess_air", kinds.FRACTION)
    if not fuel.water > 0.0:
        raise InputError(
            "this fuel holds no hydrogen: its flue gas has no water to condense", where="fuel", given=fuel.name,
            expected="a fuel with hydrogen, such as natural gas",
        )  # fmt: skip
    return plain(dew_temperature(fuel, excess_air, barometric_pressure.si(altitude=altitude)))


@calculation(
    fuel=FUEL,
    input_rate=kinds.POWER,
    condensing_temperature=kinds.TEMPERATURE,
    o2=kinds.FRACTION,
    co2=kinds.FRACTION,
    altitude=kinds.LENGTH,
    gives=kinds.MASS_FLOW,
    notes=("Condensate is acid: drain it through a trap and, where the code asks for it, a neutralizer.",),
)
def condensate(
    *,
    fuel: Fuel,
    input_rate: FloatOrArray,
    condensing_temperature: FloatOrArray,
    o2: FloatOrArray | None = None,
    co2: FloatOrArray | None = None,
    altitude: FloatOrArray = 0.0,
) -> FloatOrArray:
    """Water that condenses when the flue gas of a burner is cooled to a temperature.

    Parameters
    ----------
    fuel : name of a fuel or a composition
        What burns; see ``fuel.stoichiometry``.
    input_rate : heat or power
        Heat of the fuel, on its higher heating value.
    condensing_temperature : temperature
        To which the gas is cooled, 9 °F to 210 °F; above the dew point nothing condenses.
    o2 : fraction, optional
        Oxygen of the dry flue gas.
    co2 : fraction, optional
        Carbon dioxide of the dry flue gas instead.
    altitude : length, default 0 ft
        Above sea level.

    Returns
    -------
    mass flow
        In lb/h (kg/s through ``.si``), broadcast shape.

    Raises
    ------
    InputError
        If a value is out of range, or not exactly one reading is given.

    Notes
    -----
    Equilibrium: the gas leaves saturated at that temperature. A real exchanger gives less, because part of the gas
    passes warmer. The upper bound, all water, is 9.4 lb for 100 000 Btu of methane.

    References
    ----------
    .. [1] US Department of Energy, Steam Tip Sheet 26A (condensing begins near 135 °F with natural gas).
    .. [2] Furnace-condensate article by a technical trainer (2012): 1.1 gal for 100 000 Btu.

    Examples
    --------
    >>> round(condensate(fuel="natural gas", input_rate="80 kBtu/h", condensing_temperature="100 °F", o2="5 %"), 2)
    <Quantity(4.45, 'pound / hour')>
    """
    checks.not_negative(input_rate, "input_rate", kinds.POWER)
    checks.within(condensing_temperature, *_CONDENSING, "condensing_temperature", kinds.TEMPERATURE)
    excess = excess_of(fuel, o2, co2)
    pressure = barometric_pressure.si(altitude=altitude)
    condensed = fuel.water - vapor_left(fuel, excess, condensing_temperature, pressure)
    return plain(input_rate * condensed * H2O_MOLAR_MASS / fuel.gross_heating_value)
