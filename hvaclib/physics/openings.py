"""Openings and leakage: orifice flow, areas in series and in parallel, leakage area, the power law of cracks."""

from __future__ import annotations

import numpy as np

from hvaclib.physics.air import STANDARD_DENSITY
from hvaclib.reference import value
from hvaclib.units import FloatOrArray, calculation, checks, kinds, list_of

__all__ = [
    "leakage_area", "orifice_area", "orifice_coefficient", "orifice_flow",
    "parallel_area", "power_law_coefficient", "power_law_flow", "series_area",
]  # fmt: skip

_SHARP_EDGED = value("openings", "discharge", "sharp-edged")
_EFFECTIVE = value("openings", "discharge", "effective-leakage-area")
_EQUIVALENT = value("openings", "discharge", "equivalent-leakage-area")
_EXPONENT = value("openings", "leakage", "exponent")
_TEST_PRESSURE = 50.0
"""Pa, of a fan test's headline figure (flow at 50 Pa), by the definition of that figure."""
_EQUIVALENT_PRESSURE = 10.0
"""Pa, reference pressure of the equivalent leakage area (CAN/CGSB-149.10)."""


def _discharge(coefficient: FloatOrArray | None) -> FloatOrArray:
    if coefficient is None:
        return _SHARP_EDGED
    checks.within(coefficient, 0.01, 1.0, "coefficient", kinds.DIMENSIONLESS)
    return coefficient


def _density(density: FloatOrArray | None) -> FloatOrArray:
    if density is None:
        return STANDARD_DENSITY
    checks.positive(density, "density", kinds.DENSITY)
    return density


@calculation(
    area=kinds.AREA,
    pressure_difference=kinds.PRESSURE_DIFFERENCE,
    coefficient=kinds.DIMENSIONLESS,
    density=kinds.DENSITY,
    gives=kinds.VOLUME_FLOW,
)
def orifice_flow(
    *,
    area: FloatOrArray,
    pressure_difference: FloatOrArray,
    coefficient: FloatOrArray | None = None,
    density: FloatOrArray | None = None,
) -> FloatOrArray:
    """Air flow through an opening at a pressure difference.

    Parameters
    ----------
    area : area
        Free area of the opening, zero or more.
    pressure_difference : pressure difference
        Across the opening; a negative one gives a negative flow.
    coefficient : plain number, default 0.61
        Discharge coefficient, from 0.01 to 1.
    density : density, default 1.2041 kg/m³
        Of the air that flows; standard air at 20 °C (68 °F) if not given.

    Returns
    -------
    air flow
        In cfm (m³/s through ``.si``), broadcast shape.

    Raises
    ------
    InputError
        If area, coefficient or density is out of range.

    Notes
    -----
    ``Cd A √(2 Δp / ρ)``. Sources differ on the coefficient of a sharp-edged opening: 0.60 is widely quoted, but only
    0.61 explains the trade's constant of 1.07 cfm per square inch and root pascal, and so 0.61 is the default. With
    0.60 the flow is 1.6 % lower. An open window is nearer 0.65.

    References
    ----------
    .. [1] Building Science Corporation, RR-0005, Transfer Grille Sizing Charts.
    .. [2] ASHRAE Handbook - Fundamentals, chapter 16 (Ventilation and Infiltration).

    Examples
    --------
    >>> round(orifice_flow(area="50 sq in", pressure_difference="3 Pa"), 1)
    <Quantity(93.1, 'cubic_feet_per_minute')>
    """
    checks.not_negative(area, "area", kinds.AREA)
    size = np.sqrt(2.0 * np.abs(pressure_difference) / _density(density))
    return _discharge(coefficient) * area * np.copysign(size, pressure_difference)


@calculation(
    flow=kinds.VOLUME_FLOW,
    pressure_difference=kinds.PRESSURE_DIFFERENCE,
    coefficient=kinds.DIMENSIONLESS,
    density=kinds.DENSITY,
    gives=kinds.AREA,
)
def orifice_area(
    *,
    flow: FloatOrArray,
    pressure_difference: FloatOrArray,
    coefficient: FloatOrArray | None = None,
    density: FloatOrArray | None = None,
) -> FloatOrArray:
    """Free area of the opening that passes an air flow at a pressure difference.

    Parameters
    ----------
    flow : air flow
        Through the opening, zero or more.
    pressure_difference : pressure difference
        Across the opening, above zero.
    coefficient : plain number, default 0.61
        Discharge coefficient, from 0.01 to 1.
    density : density, default 1.2041 kg/m³
        Of the air that flows; standard air at 20 °C (68 °F) if not given.

    Returns
    -------
    area
        In square inches (m² through ``.si``), broadcast shape.

    Raises
    ------
    InputError
        If a value is out of range.

    Notes
    -----
    The inverse of `orifice_flow`; the same choice of coefficient.

    References
    ----------
    .. [1] Building Science Corporation, RR-0005, Transfer Grille Sizing Charts.

    Examples
    --------
    >>> round(orifice_area(flow="100 cfm", pressure_difference="3 Pa"), 1)
    <Quantity(53.7, 'inch ** 2')>
    """
    checks.not_negative(flow, "flow", kinds.VOLUME_FLOW)
    checks.positive(pressure_difference, "pressure_difference", kinds.PRESSURE_DIFFERENCE)
    return flow / (_discharge(coefficient) * np.sqrt(2.0 * pressure_difference / _density(density)))


@calculation(area=kinds.AREA, coefficient=kinds.DIMENSIONLESS, density=kinds.DENSITY, gives=kinds.MASS_FLOW)
def orifice_coefficient(
    *, area: FloatOrArray, coefficient: FloatOrArray | None = None, density: FloatOrArray | None = None
) -> FloatOrArray:
    """Mass flow of an opening at a pressure difference of 1 Pa: its coefficient in the power law, exponent 0.5.

    Parameters
    ----------
    area : area
        Free area of the opening, zero or more.
    coefficient : plain number, default 0.61
        Discharge coefficient, from 0.01 to 1.
    density : density, default 1.2041 kg/m³
        Of the air that flows; standard air at 20 °C (68 °F) if not given.

    Returns
    -------
    mass flow
        At 1 Pa, in lb/h (kg/s through ``.si``), broadcast shape.

    Raises
    ------
    InputError
        If a value is out of range.

    References
    ----------
    .. [1] ASHRAE Handbook - Fundamentals, chapter 16 (Ventilation and Infiltration).

    Examples
    --------
    >>> round(orifice_coefficient(area="50 sq in"), 1)
    <Quantity(242.4, 'pound / hour')>
    """
    checks.not_negative(area, "area", kinds.AREA)
    return _discharge(coefficient) * area * np.sqrt(2.0 * _density(density))


@calculation(areas=list_of(kinds.AREA), gives=kinds.AREA)
def series_area(*, areas: FloatOrArray) -> FloatOrArray:
    """Area of the one opening that resists flow as much as several openings one after the other.

    Parameters
    ----------
    areas : list of area
        Openings that the same air passes in turn, each zero or more; one that is closed closes the path. Through
        ``.si`` an array whose first axis counts the openings.

    Returns
    -------
    area
        In square inches (m² through ``.si``): smaller than the smallest of them; shape of one item.

    Raises
    ------
    InputError
        If an area is negative.

    Notes
    -----
    ``1/A² = Σ 1/Ai²``: the pressure losses add up, each opening loses its velocity head, all have one coefficient.

    References
    ----------
    .. [1] ASHRAE Handbook - HVAC Applications, chapter on fire and smoke control, effective flow areas in series.

    Examples
    --------
    >>> round(series_area(areas="30 sq in, 40 sq in"), 6)
    <Quantity(24.0, 'inch ** 2')>
    """
    checks.not_negative(areas, "areas", kinds.AREA)
    array = np.asarray(areas, dtype=np.float64)
    with np.errstate(divide="ignore"):
        return np.asarray(np.sum(array**-2.0, axis=0)) ** -0.5


@calculation(areas=list_of(kinds.AREA), gives=kinds.AREA)
def parallel_area(*, areas: FloatOrArray) -> FloatOrArray:
    """Area of the one opening that passes as much as several openings side by side.

    Parameters
    ----------
    areas : list of area
        Openings between the same two rooms, each zero or more. Through ``.si`` an array whose first axis counts the
        openings.

    Returns
    -------
    area
        In square inches (m² through ``.si``): their sum; shape of one item.

    Raises
    ------
    InputError
        If an area is negative.

    Notes
    -----
    All openings see the same pressure difference and have one coefficient.

    References
    ----------
    .. [1] ASHRAE Handbook - HVAC Applications, chapter on fire and smoke control, effective flow areas in parallel.

    Examples
    --------
    >>> round(parallel_area(areas="30 sq in, 40 sq in"), 6)
    <Quantity(70.0, 'inch ** 2')>
    """
    checks.not_negative(areas, "areas", kinds.AREA)
    return np.asarray(np.sum(np.asarray(areas, dtype=np.float64), axis=0))


@calculation(
    flow_at_50=kinds.VOLUME_FLOW,
    exponent=kinds.DIMENSIONLESS,
    reference_pressure=kinds.PRESSURE_DIFFERENCE,
    coefficient=kinds.DIMENSIONLESS,
    density=kinds.DENSITY,
    gives=kinds.AREA,
)
def leakage_area(
    *,
    flow_at_50: FloatOrArray,
    exponent: FloatOrArray = _EXPONENT,
    reference_pressure: FloatOrArray = 4.0,
    coefficient: FloatOrArray | None = None,
    density: FloatOrArray | None = None,
) -> FloatOrArray:
    """Area of the one opening that leaks as much as a building does at a reference pressure.

    Parameters
    ----------
    flow_at_50 : air flow
        Measured by a fan test at 50 Pa, zero or more.
    exponent : plain number, default 0.65
        Of the power law, from 0.5 to 1.
    reference_pressure : pressure difference, default 4 Pa
        At which the two leak alike, above zero.
    coefficient : plain number, default 1 (0.611 at 10 Pa)
        Discharge coefficient of the opening, from 0.01 to 1.
    density : density, default 1.2041 kg/m³
        Of the air that flows; standard air at 20 °C (68 °F) if not given.

    Returns
    -------
    area
        In square inches (m² through ``.si``), broadcast shape.

    Raises
    ------
    InputError
        If a value is out of range.

    Notes
    -----
    Two conventions are in use and differ almost twofold: the effective leakage area (ELA) at 4 Pa with a coefficient of
    1, and the equivalent leakage area (EqLA) at 10 Pa with 0.611. Without a `coefficient` the convention that belongs
    to the reference pressure is taken. The rule of thumb for ELA, flow at 50 Pa in cfm over 18, is this with an exponent
    of 0.65.

    References
    ----------
    .. [1] ASTM E779, Standard Test Method for Determining Air Leakage Rate by Fan Pressurization.
    .. [2] ASHRAE Handbook - Fundamentals 2009, chapter 16 (Ventilation and Infiltration), equations 41 and 42.
    .. [3] CAN/CGSB-149.10, Determination of the airtightness of building envelopes by the fan depressurization method.

    Examples
    --------
    >>> round(leakage_area(flow_at_50="1800 cfm"), 1)
    <Quantity(98.9, 'inch ** 2')>
    """
    checks.not_negative(flow_at_50, "flow_at_50", kinds.VOLUME_FLOW)
    checks.within(exponent, 0.5, 1.0, "exponent", kinds.DIMENSIONLESS)
    checks.positive(reference_pressure, "reference_pressure", kinds.PRESSURE_DIFFERENCE)
    if coefficient is None:
        at_ten = np.isclose(reference_pressure, _EQUIVALENT_PRESSURE, rtol=1e-6)
        discharge: FloatOrArray = np.where(at_ten, _EQUIVALENT, _EFFECTIVE)
    else:
        discharge = _discharge(coefficient)
    flow = flow_at_50 * (reference_pressure / _TEST_PRESSURE) ** exponent
    return flow / (discharge * np.sqrt(2.0 * reference_pressure / _density(density)))


@calculation(
    flow_at_50=kinds.VOLUME_FLOW, exponent=kinds.DIMENSIONLESS, density=kinds.DENSITY, gives=kinds.MASS_FLOW
)
def power_law_coefficient(
    *, flow_at_50: FloatOrArray, exponent: FloatOrArray = _EXPONENT, density: FloatOrArray | None = None
) -> FloatOrArray:
    """Mass flow of cracks at a pressure difference of 1 Pa: their coefficient in the power law.

    Parameters
    ----------
    flow_at_50 : air flow
        Through the cracks at 50 Pa, zero or more.
    exponent : plain number, default 0.65
        Of the power law, from 0.5 to 1.
    density : density, default 1.2041 kg/m³
        Of the air that flowed in the test; standard air at 20 °C (68 °F) if not given.

    Returns
    -------
    mass flow
        At 1 Pa, in lb/h (kg/s through ``.si``, the network's kg/(s·Paⁿ)), broadcast shape.

    Raises
    ------
    InputError
        If a value is out of range.

    References
    ----------
    .. [1] ASTM E779, Standard Test Method for Determining Air Leakage Rate by Fan Pressurization.

    Examples
    --------
    >>> round(power_law_coefficient(flow_at_50="1000 cfm"), 1)
    <Quantity(354.7, 'pound / hour')>
    """
    checks.not_negative(flow_at_50, "flow_at_50", kinds.VOLUME_FLOW)
    checks.within(exponent, 0.5, 1.0, "exponent", kinds.DIMENSIONLESS)
    return flow_at_50 * _density(density) * _TEST_PRESSURE**-exponent


@calculation(
    coefficient=kinds.MASS_FLOW,
    pressure_difference=kinds.PRESSURE_DIFFERENCE,
    exponent=kinds.DIMENSIONLESS,
    gives=kinds.MASS_FLOW,
)
def power_law_flow(
    *, coefficient: FloatOrArray, pressure_difference: FloatOrArray, exponent: FloatOrArray = _EXPONENT
) -> FloatOrArray:
    """Mass flow through cracks at a pressure difference, by the power law.

    Parameters
    ----------
    coefficient : mass flow
        At 1 Pa, zero or more; see `power_law_coefficient`.
    pressure_difference : pressure difference
        Across the cracks; a negative one gives a negative flow.
    exponent : plain number, default 0.65
        From 0.5 (orifice) to 1 (laminar).

    Returns
    -------
    mass flow
        In lb/h (kg/s through ``.si``), broadcast shape.

    Raises
    ------
    InputError
        If coefficient or exponent is out of range.

    Notes
    -----
    ``C |Δp|ⁿ`` with the sign of the difference. Holds for the range of a fan test, about 4 to 60 Pa.

    References
    ----------
    .. [1] ASTM E779, Standard Test Method for Determining Air Leakage Rate by Fan Pressurization.

    Examples
    --------
    >>> round(power_law_flow(coefficient="350 lb/h", pressure_difference="4 Pa"), 1)
    <Quantity(861.8, 'pound / hour')>
    """
    checks.not_negative(coefficient, "coefficient", kinds.MASS_FLOW)
    checks.within(exponent, 0.5, 1.0, "exponent", kinds.DIMENSIONLESS)
    return coefficient * np.copysign(np.abs(pressure_difference) ** exponent, pressure_difference)
