"""A thermometer in sight of the heat exchanger: how much too warm it reads."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from hvaclib.physics import air
from hvaclib.reference import value
from hvaclib.units import FloatOrArray, calculation, checks, kinds

__all__ = ["cylinder_nusselt", "thermometer_radiation_error"]

FloatArray = NDArray[np.float64]
STEFAN_BOLTZMANN = value("air_delivery", "stefan_boltzmann")
_PRANDTL = value("air_delivery", "prandtl")
_PROBE = value("air_delivery", "probe_diameter")
_EMISSIVITY = value("air_delivery", "probe_emissivity")


def cylinder_nusselt(reynolds: ArrayLike, prandtl: float = _PRANDTL) -> FloatArray:
    """Mean Nusselt number of a cylinder in cross flow, by its diameter.

    Parameters
    ----------
    reynolds : array_like
        By the diameter, zero or more.
    prandtl : float
        Of the fluid.

    Returns
    -------
    ndarray
        Shape of the Reynolds number; within some 20 % of measurements.

    References
    ----------
    .. [1] S. W. Churchill and M. Bernstein, Journal of Heat Transfer 99, 1977.
    """
    re = np.asarray(reynolds, dtype=np.float64)
    front = 0.62 * np.sqrt(re) * prandtl ** (1 / 3) / (1.0 + (0.4 / prandtl) ** (2 / 3)) ** 0.25
    result: FloatArray = 0.3 + front * (1.0 + (re / 282000.0) ** 0.625) ** 0.8
    return result


@calculation(
    air_temperature=kinds.TEMPERATURE,
    surface_temperature=kinds.TEMPERATURE,
    view=kinds.FRACTION,
    air_speed=kinds.SPEED,
    diameter=kinds.SIZE,
    emissivity=kinds.FRACTION,
    altitude=kinds.LENGTH,
    gives=kinds.TEMPERATURE_DIFFERENCE,
)
def thermometer_radiation_error(
    *,
    air_temperature: FloatOrArray,
    surface_temperature: FloatOrArray,
    view: FloatOrArray,
    air_speed: FloatOrArray,
    diameter: FloatOrArray | None = None,
    emissivity: FloatOrArray | None = None,
    altitude: FloatOrArray = 0.0,
) -> FloatOrArray:
    """How much too warm a supply thermometer reads because it sees the hot heat exchanger.

    Parameters
    ----------
    air_temperature : temperature
        True temperature of the supply air; the duct's walls are taken as that warm.
    surface_temperature : temperature
        Of the part of the heat exchanger that the probe sees.
    view : fraction
        Share of the probe's surroundings that the heat exchanger fills, 0 to 1; 0 beyond the first turn.
    air_speed : air speed
        Past the probe, above zero.
    diameter : size, default 1/8 in
        Of the probe.
    emissivity : fraction, default 30 %
        Of the probe's sheath: bright steel; a blackened bulb is nearer 90 %.
    altitude : length, default 0 ft
        Above sea level.

    Returns
    -------
    temperature difference
        Reading less true air temperature, in °F (K through ``.si``), broadcast shape.

    Raises
    ------
    InputError
        If a value is out of range.

    Notes
    -----
    Heat balance of the probe: what it takes up by radiation from the heat exchanger it gives to the air, by the film of
    a cylinder in cross flow, and to the walls. The gain grows with emissivity and view and falls with the air's speed.
    The film is known to some 20 %, the view hardly at all: this explains a reading, it does not correct one.

    References
    ----------
    .. [1] S. W. Churchill and M. Bernstein, Journal of Heat Transfer 99, 1977 (film of the probe).
    .. [2] F. P. Incropera and D. P. DeWitt, Fundamentals of Heat and Mass Transfer (error of a thermometer in a duct).

    Examples
    --------
    >>> error = thermometer_radiation_error(
    ...     air_temperature="120 °F", surface_temperature="700 °F", view="20 %", air_speed="800 fpm"
    ... )
    >>> round(error, 1)
    <Quantity(8.1, 'delta_degree_Fahrenheit')>
    """
    checks.positive(air_temperature, "air_temperature", kinds.TEMPERATURE)
    checks.positive(surface_temperature, "surface_temperature", kinds.TEMPERATURE)
    checks.within(view, 0.0, 1.0, "view", kinds.FRACTION)
    checks.positive(air_speed, "air_speed", kinds.SPEED)
    size = _PROBE if diameter is None else diameter
    checks.positive(size, "diameter", kinds.SIZE)
    gray = _EMISSIVITY if emissivity is None else emissivity
    checks.within(gray, 0.0, 1.0, "emissivity", kinds.FRACTION)
    rho = air.density.si(temperature=air_temperature, altitude=altitude)
    reynolds = rho * air_speed * size / air.viscosity.si(temperature=air_temperature)
    film = cylinder_nusselt(reynolds) * air.conductivity.si(temperature=air_temperature) / size
    radiant = gray * STEFAN_BOLTZMANN
    source = radiant * (
        np.asarray(view) * np.asarray(surface_temperature) ** 4
        + (1.0 - np.asarray(view)) * np.asarray(air_temperature) ** 4
    )
    # film (T - Ta) + εσ T⁴ = source: convex and rising, so Newton from above descends to the root
    t = np.maximum(air_temperature, surface_temperature) * np.ones_like(source + film)
    for _ in range(30):
        t = t - (film * (t - air_temperature) + radiant * t**4 - source) / (film + 4.0 * radiant * t**3)
    error = np.asarray(t - air_temperature)
    return float(error) if error.ndim == 0 else error
