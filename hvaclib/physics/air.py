"""Air: pressure with altitude, density with temperature and humidity, stack pressure, viscosity and conductivity."""

from __future__ import annotations

from typing import Any

import numpy as np

from hvaclib.errors import InputError
from hvaclib.reference import figure, value
from hvaclib.units import FloatOrArray, calculation, checks, kinds, show

__all__ = [
    "barometric_pressure",
    "conductivity",
    "density",
    "saturation_pressure",
    "stack_pressure",
    "viscosity",
]

GRAVITY = value("air", "standard_gravity")
STANDARD_DENSITY = value("air", "standard_density")
_ATMOSPHERE = value("air", "standard_atmosphere")
_R = value("air", "gas_constant")
_R_VAPOR = value("air", "vapor_gas_constant")
_LAPSE = value("air", "temperature_lapse") / value("air", "sea_level_temperature")
_EXPONENT = GRAVITY / (_R * value("air", "temperature_lapse"))
_ICE = np.asarray(figure("air", "saturation_over_ice").value)
_WATER = np.asarray(figure("air", "saturation_over_water").value)
_COLLISION = np.asarray(figure("air", "collision_integral").value)
_VISCOSITY = 1e-6 * value("air", "viscosity_scale")
_CONDUCTION = np.asarray(figure("air", "conductivity_terms").value)
_FREEZING = 273.15
_ALTITUDES = (-5000.0, 11000.0)
_SATURATION_RANGE = (173.15, 473.15)
_TRANSPORT_RANGE = (100.0, 2000.0)


@calculation(altitude=kinds.LENGTH, gives=kinds.PRESSURE)
def barometric_pressure(*, altitude: FloatOrArray) -> FloatOrArray:
    """Absolute pressure of the standard atmosphere at an altitude.

    Parameters
    ----------
    altitude : length
        Above sea level, -5 000 m to 11 000 m (-16 400 to 36 089 ft); any shape.

    Returns
    -------
    absolute pressure
        In Pa, shape of the altitude.

    Raises
    ------
    InputError
        If the altitude is out of range.

    Notes
    -----
    ``p = p0 (1 - L z / T0)^(g / (R L))``, that is 101.325 kPa (1 - 2.25577e-5 z)^5.2559 with z in metres. The altitude
    is taken as the geopotential one; the geometric altitude differs by less than 0.1 % below 5 000 m. Weather moves the
    true pressure by some 3 % about this value.

    References
    ----------
    .. [1] U.S. Standard Atmosphere, 1976, NOAA/NASA/USAF, equation 33a.
    .. [2] ASHRAE Handbook - Fundamentals, chapter 1 (Psychrometrics), equation 3.

    Examples
    --------
    >>> round(barometric_pressure(altitude="5000 ft").to("inHg"), 2)
    <Quantity(24.9, 'inch_Hg')>
    """
    checks.within(altitude, *_ALTITUDES, "altitude", kinds.LENGTH)
    return _ATMOSPHERE * (1.0 - _LAPSE * altitude) ** _EXPONENT


@calculation(temperature=kinds.TEMPERATURE, gives=kinds.PRESSURE)
def saturation_pressure(*, temperature: FloatOrArray) -> FloatOrArray:
    """Pressure of water vapour that is saturated, over ice below freezing and over water above.

    Parameters
    ----------
    temperature : temperature
        From -100 °C to 200 °C (-148 °F to 392 °F); any shape.

    Returns
    -------
    absolute pressure
        In Pa, shape of the temperature.

    Raises
    ------
    InputError
        If the temperature is out of range.

    Notes
    -----
    The effect of the air on the vapour (the enhancement factor, below 0.5 % here) is left out.

    References
    ----------
    .. [1] ASHRAE Handbook - Fundamentals, chapter 1 (Psychrometrics), equations 5 and 6, after Hyland and Wexler 1983.

    Examples
    --------
    >>> round(saturation_pressure(temperature="68 °F"))
    <Quantity(2339, 'pascal')>
    """
    checks.within(temperature, *_SATURATION_RANGE, "temperature", kinds.TEMPERATURE)
    t = np.asarray(temperature, dtype=np.float64)
    c = np.where((t < _FREEZING)[..., None], _ICE, _WATER)
    logarithm = c[..., 0] / t + c[..., 6] * np.log(t)
    logarithm += c[..., 1] + t * (c[..., 2] + t * (c[..., 3] + t * (c[..., 4] + t * c[..., 5])))
    return _like(np.exp(logarithm))


@calculation(
    temperature=kinds.TEMPERATURE,
    altitude=kinds.LENGTH,
    relative_humidity=kinds.FRACTION,
    gives=kinds.DENSITY,
)
def density(
    *, temperature: FloatOrArray, altitude: FloatOrArray = 0.0, relative_humidity: FloatOrArray = 0.0
) -> FloatOrArray:
    """Density of air from temperature, altitude and humidity.

    Parameters
    ----------
    temperature : temperature
        Of the air; any shape that broadcasts with the others.
    altitude : length, default 0 ft
        Above sea level; it sets the standard barometric pressure.
    relative_humidity : fraction, default 0
        From 0 to 1 (100 %), of the saturation pressure at `temperature`.

    Returns
    -------
    density
        In kg/m³, broadcast shape: mass of dry air and vapour in a volume.

    Raises
    ------
    InputError
        If the temperature is not above absolute zero, the altitude or humidity is out of range, or the vapour alone
        would exceed the barometric pressure.

    Notes
    -----
    Ideal gases: ``(p - pv) / (R T) + pv / (Rv T)``. Against the real-gas equation of state the error stays below 0.2 %
    between -40 and 120 °F.

    References
    ----------
    .. [1] ASHRAE Handbook - Fundamentals, chapter 1 (Psychrometrics), perfect gas relations.
    .. [2] U.S. Standard Atmosphere, 1976, for the pressure.

    Examples
    --------
    >>> round(density(temperature="68 °F"), 4)
    <Quantity(1.2041, 'kilogram / meter ** 3')>
    """
    checks.positive(temperature, "temperature", kinds.TEMPERATURE)
    checks.within(relative_humidity, 0.0, 1.0, "relative_humidity", kinds.FRACTION)
    pressure = barometric_pressure.si(altitude=altitude)
    dry = pressure / (_R * temperature)
    if not np.any(relative_humidity):
        return dry
    vapor = relative_humidity * saturation_pressure.si(temperature=temperature)
    if np.any(vapor >= pressure):
        most = show(float(np.max(vapor)), kinds.PRESSURE)
        raise InputError(
            "so much vapour does not fit into the air at this temperature", where="relative_humidity", given=most,
            expected="a vapour pressure below the barometric pressure",
        )  # fmt: skip
    return dry - vapor * (1.0 / _R - 1.0 / _R_VAPOR) / temperature


@calculation(
    height=kinds.LENGTH,
    inside=kinds.TEMPERATURE,
    outside=kinds.TEMPERATURE,
    altitude=kinds.LENGTH,
    gives=kinds.PRESSURE_DIFFERENCE,
)
def stack_pressure(
    *, height: FloatOrArray, inside: FloatOrArray, outside: FloatOrArray, altitude: FloatOrArray = 0.0
) -> FloatOrArray:
    """Pressure difference that two columns of air of unlike temperature build up over a height.

    Parameters
    ----------
    height : length
        Between the two levels.
    inside : temperature
        Mean temperature of the column inside.
    outside : temperature
        Of the air outside.
    altitude : length, default 0 ft
        Above sea level.

    Returns
    -------
    pressure difference
        In Pa, broadcast shape: weight of the outer column less that of the inner one, positive when it is warmer inside.

    Raises
    ------
    InputError
        If a temperature is not above absolute zero or the altitude is out of range.

    Notes
    -----
    ``g h p / R (1/To - 1/Ti)``, dry air, the same barometric pressure in both columns. At sea level this is
    0.0342 Pa·K/(m·Pa) times p h (1/To - 1/Ti).

    References
    ----------
    .. [1] ASHRAE Handbook - Fundamentals, chapter 16 (Ventilation and Infiltration), stack pressure.

    Examples
    --------
    >>> round(stack_pressure(height="20 ft", inside="70 °F", outside="20 °F"), 2)
    <Quantity(7.48, 'pascal')>
    """
    checks.positive(inside, "inside", kinds.TEMPERATURE)
    checks.positive(outside, "outside", kinds.TEMPERATURE)
    pressure = barometric_pressure.si(altitude=altitude)
    return GRAVITY * height * pressure / _R * (1.0 / outside - 1.0 / inside)


@calculation(temperature=kinds.TEMPERATURE, gives=kinds.VISCOSITY)
def viscosity(*, temperature: FloatOrArray) -> FloatOrArray:
    """Dynamic viscosity of dry air at low pressure.

    Parameters
    ----------
    temperature : temperature
        From 100 K to 2 000 K (-280 °F to 3 140 °F); any shape.

    Returns
    -------
    dynamic viscosity
        In Pa·s inside the suite, µPa·s on screens; shape of the temperature.

    Raises
    ------
    InputError
        If the temperature is out of range.

    Notes
    -----
    The density term of the correlation is left out: 0.1 % at 250 K and one atmosphere, less when warmer. Sutherland's
    formula with the constants of the standard atmosphere gives 0.4 % less at 300 K and 3.5 % less at 900 K.

    References
    ----------
    .. [1] E. W. Lemmon and R. T. Jacobsen, "Viscosity and Thermal Conductivity Equations for Nitrogen, Oxygen, Argon,
       and Air", International Journal of Thermophysics 25(1), 2004.

    Examples
    --------
    >>> round(viscosity(temperature="68 °F"), 1)
    <Quantity(18.2, 'micropascal * second')>
    """
    checks.within(temperature, *_TRANSPORT_RANGE, "temperature", kinds.TEMPERATURE)
    t = np.asarray(temperature, dtype=np.float64)
    logarithm = np.log(t / 103.3)
    integral = np.zeros_like(t)
    for coefficient in _COLLISION[::-1]:
        integral = integral * logarithm + coefficient
    return _like(_VISCOSITY * np.sqrt(t) * np.exp(-integral))


@calculation(temperature=kinds.TEMPERATURE, gives=kinds.CONDUCTIVITY)
def conductivity(*, temperature: FloatOrArray) -> FloatOrArray:
    """Thermal conductivity of dry air at low pressure.

    Parameters
    ----------
    temperature : temperature
        From 100 K to 2 000 K (-280 °F to 3 140 °F); any shape.

    Returns
    -------
    thermal conductivity
        In W/(m·K) inside the suite, Btu/(h·ft·°F) on screens; shape of the temperature.

    Raises
    ------
    InputError
        If the temperature is out of range.

    Notes
    -----
    The density term of the correlation is left out: 0.2 % at 250 K and one atmosphere, less when warmer.

    References
    ----------
    .. [1] E. W. Lemmon and R. T. Jacobsen, "Viscosity and Thermal Conductivity Equations for Nitrogen, Oxygen, Argon,
       and Air", International Journal of Thermophysics 25(1), 2004.

    Examples
    --------
    >>> round(conductivity(temperature="68 °F").to("W/m/K"), 4)
    <Quantity(0.0258, 'watt / meter / kelvin')>
    """
    n1, n2, t2, n3, t3 = _CONDUCTION
    micro = 1e6 * np.asarray(viscosity.si(temperature=temperature))
    ratio = 132.6312 / np.asarray(temperature, dtype=np.float64)
    return _like(1e-3 * (n1 * micro + n2 * ratio**t2 + n3 * ratio**t3))


def _like(array: Any) -> FloatOrArray:
    """A float for a scalar, else the array."""
    return float(array) if np.ndim(array) == 0 else np.asarray(array, dtype=np.float64)
