"""Ducts: friction by Darcy and Colebrook, velocity pressure, the round duct equal to a rectangular one."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

from hvaclib.physics import air
from hvaclib.physics.air_delivery.rise import DEFAULT_TEMPERATURE
from hvaclib.reference import figure, value
from hvaclib.units import FloatOrArray, calculation, checks, kinds

__all__ = ["colebrook", "duct_friction", "duct_loss", "equivalent_diameter", "velocity_pressure"]

FloatArray = NDArray[np.float64]
GALVANIZED = value("ducts", "roughness", "galvanized")
_HUEBSCHER = np.asarray(figure("ducts", "equal_friction").value)
_LAMINAR, _TURBULENT = 2300.0, 4000.0


def colebrook(reynolds: ArrayLike, relative_roughness: ArrayLike) -> FloatArray:
    """Darcy friction factor by Colebrook's equation, solved.

    Parameters
    ----------
    reynolds : array_like
        Reynolds number, above zero.
    relative_roughness : array_like
        Roughness over (hydraulic) diameter.

    Returns
    -------
    ndarray
        Broadcast shape.

    Notes
    -----
    Above Re 4000 Colebrook's equation is solved by Newton's method to rounding. Below Re 2300 the flow is laminar, 64/Re;
    between the two the factor is joined linearly, since no equation holds there. Vents use Churchill's one equation
    for all regimes (`hvaclib.physics.pipe_flow`), because a starting vent passes through all of them and its solver
    must meet no kink; that equation departs from Colebrook's by up to 3.2 % near Re 4000 and by less than 1.6 % above
    Re 20 000. Charts and handbooks of ducts follow Colebrook.

    References
    ----------
    .. [1] C. F. Colebrook, "Turbulent flow in pipes", Journal of the Institution of Civil Engineers 11, 1939.
    .. [2] S. E. Haaland, Journal of Fluids Engineering 105, 1983 (start of the iteration).
    """
    number, rough = np.broadcast_arrays(
        np.asarray(reynolds, dtype=float), np.asarray(relative_roughness, dtype=float)
    )
    turbulent = _colebrook_turbulent(np.maximum(number, _TURBULENT), rough)
    laminar = 64.0 / np.clip(number, 1e-12, _LAMINAR)
    share = np.clip((number - _LAMINAR) / (_TURBULENT - _LAMINAR), 0.0, 1.0)
    result: FloatArray = laminar + share * (turbulent - laminar)
    return result


def _colebrook_turbulent(number: FloatArray, rough: FloatArray) -> FloatArray:
    """Newton on x + 2 log10(rough/3.7 + 2.51 x/Re) = 0 with x = 1/√f."""
    x = -1.8 * np.log10((rough / 3.7) ** 1.11 + 6.9 / number)
    for _ in range(3):
        inner = rough / 3.7 + 2.51 * x / number
        slope = 1.0 + 2.0 / math.log(10.0) * 2.51 / number / inner
        x = x - (x + 2.0 * np.log10(inner)) / slope
    result: FloatArray = x**-2.0
    return result


def duct_loss(
    flow: ArrayLike,
    *,
    diameter: ArrayLike,
    length: ArrayLike,
    heads: ArrayLike = 0.0,
    area: ArrayLike | None = None,
    roughness: ArrayLike = GALVANIZED,
    density: ArrayLike | None = None,
    viscosity: ArrayLike | None = None,
) -> FloatArray:
    """Pressure loss of a duct with its fittings; everything broadcasts.

    Parameters
    ----------
    flow : array_like
        m³/s; a negative flow gives a negative loss.
    diameter : array_like
        m, inside; of a rectangular duct the round duct of equal friction (`equivalent_diameter`), which gives its loss
        at the same flow.
    length : array_like
        m.
    heads : array_like
        Sum of the loss coefficients of the fittings, velocity heads in `area`.
    area : array_like, optional
        m² of the true cross-section, for the fittings; that of the round duct where none is given.
    roughness : array_like
        m.
    density, viscosity : array_like, optional
        kg/m³ and Pa·s; dry air of 70 °F at sea level where none is given.

    Returns
    -------
    ndarray
        Pa, broadcast shape.
    """
    q = np.asarray(flow, dtype=float)
    d = np.asarray(diameter, dtype=float)
    rho = np.asarray(air.density.si(temperature=DEFAULT_TEMPERATURE) if density is None else density)
    mu = np.asarray(air.viscosity.si(temperature=DEFAULT_TEMPERATURE) if viscosity is None else viscosity)
    round_area = math.pi / 4.0 * d**2
    speed = np.abs(q) / round_area
    friction = colebrook(speed * d * rho / mu, np.asarray(roughness, dtype=float) / d)
    fitting_speed = np.abs(q) / (round_area if area is None else np.asarray(area, dtype=float))
    loss = friction * np.asarray(length) / d * speed**2 + np.asarray(heads) * fitting_speed**2
    result: FloatArray = np.copysign(0.5 * rho * loss, q)
    return result


@calculation(
    airflow=kinds.VOLUME_FLOW,
    diameter=kinds.SIZE,
    length=kinds.LENGTH,
    roughness=kinds.SIZE,
    altitude=kinds.LENGTH,
    temperature=kinds.TEMPERATURE,
    gives=kinds.GAUGE_PRESSURE,
)
def duct_friction(
    *,
    airflow: FloatOrArray,
    diameter: FloatOrArray,
    length: FloatOrArray = 30.48,
    roughness: FloatOrArray | None = None,
    altitude: FloatOrArray = 0.0,
    temperature: FloatOrArray | None = None,
) -> FloatOrArray:
    """Pressure that air loses by friction along a straight round duct.

    Parameters
    ----------
    airflow : air flow
        Zero or more.
    diameter : size
        Inside; of a rectangular duct the `equivalent_diameter`.
    length : length, default 100 ft
        Of straight duct.
    roughness : size, default 0.0036 in
        Of the wall: 0.0003 ft, galvanized steel. Flexible duct is about 0.12 in (0.01 ft) when stretched.
    altitude : length, default 0 ft
        Above sea level.
    temperature : temperature, default 70 °F
        Of the air in the duct.

    Returns
    -------
    pressure above the surrounding air
        The loss, in in. w.c. (Pa through ``.si``), broadcast shape.

    Raises
    ------
    InputError
        If a value is out of range.

    Notes
    -----
    Darcy's equation with Colebrook's friction factor, solved (see `colebrook`). Friction charts read by eye scatter by
    10 % and more about it.

    References
    ----------
    .. [1] ASHRAE Handbook - Fundamentals, chapter on duct design, equations of Darcy and Colebrook.

    Examples
    --------
    >>> round(duct_friction(airflow="100 cfm", diameter="6 in"), 3)
    <Quantity(0.083, 'inch_H2O')>
    """
    checks.not_negative(airflow, "airflow", kinds.VOLUME_FLOW)
    checks.positive(diameter, "diameter", kinds.SIZE)
    checks.not_negative(length, "length", kinds.LENGTH)
    wall = GALVANIZED if roughness is None else roughness
    checks.within(wall, 0.0, 0.01, "roughness", kinds.SIZE)
    kelvin = DEFAULT_TEMPERATURE if temperature is None else temperature
    loss = duct_loss(
        airflow,
        diameter=diameter,
        length=length,
        roughness=wall,
        density=air.density.si(temperature=kelvin, altitude=altitude),
        viscosity=air.viscosity.si(temperature=kelvin),
    )
    return float(loss) if loss.ndim == 0 else loss


@calculation(width=kinds.SIZE, height=kinds.SIZE, gives=kinds.SIZE)
def equivalent_diameter(*, width: FloatOrArray, height: FloatOrArray) -> FloatOrArray:
    """Diameter of the round duct that loses as much pressure at the same airflow as a rectangular duct.

    Parameters
    ----------
    width : size
        One inside dimension of the rectangular duct.
    height : size
        The other; the two may change places.

    Returns
    -------
    size
        In in (m through ``.si``), broadcast shape.

    Raises
    ------
    InputError
        If a dimension is not above zero.

    Notes
    -----
    Huebscher's ``1.30 (a b)^0.625 / (a + b)^0.25``: equal friction at equal flow (not at equal speed: the air in the
    rectangular duct is slower). The tables in the 1956 Guide differ from it by up to 0.06 in. Made for sides up to
    8 to 1; a flat duct beyond that is a poor duct in any case.

    References
    ----------
    .. [1] R. G. Huebscher, "Friction equivalents for round, square and rectangular ducts", ASHVE Transactions 54, 1948.
    .. [2] ASHRAE Handbook - Fundamentals, chapter on duct design, circular equivalents of rectangular ducts.

    Examples
    --------
    >>> round(equivalent_diameter(width="12 in", height="8 in"), 2)
    <Quantity(10.66, 'inch')>
    """
    checks.positive(width, "width", kinds.SIZE)
    checks.positive(height, "height", kinds.SIZE)
    scale, product, total = _HUEBSCHER
    diameter: FloatOrArray = scale * (width * height) ** product / (width + height) ** total
    return diameter


@calculation(
    speed=kinds.SPEED, altitude=kinds.LENGTH, temperature=kinds.TEMPERATURE, gives=kinds.GAUGE_PRESSURE
)
def velocity_pressure(
    *, speed: FloatOrArray, altitude: FloatOrArray = 0.0, temperature: FloatOrArray | None = None
) -> FloatOrArray:
    """Pressure that air would build up if it were brought to rest: its velocity head.

    Parameters
    ----------
    speed : air speed
        Mean over the cross-section.
    altitude : length, default 0 ft
        Above sea level.
    temperature : temperature, default 70 °F
        Of the air.

    Returns
    -------
    pressure above the surrounding air
        In in. w.c. (Pa through ``.si``), broadcast shape.

    Raises
    ------
    InputError
        If altitude or temperature is out of range.

    Notes
    -----
    ``ρ v² / 2``; in standard air this is the trade's (fpm / 4005)².

    References
    ----------
    .. [1] ASHRAE Handbook - Fundamentals, chapter on duct design, velocity pressure.

    Examples
    --------
    >>> round(velocity_pressure(speed="1000 fpm"), 3)
    <Quantity(0.062, 'inch_H2O')>
    """
    kelvin = DEFAULT_TEMPERATURE if temperature is None else temperature
    return 0.5 * air.density.si(temperature=kelvin, altitude=altitude) * np.square(speed)
