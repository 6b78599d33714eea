"""Leakage of a building: leakage area and the power law of cracks."""

from __future__ import annotations

import numpy as np

from hvaclib.physics.openings.defaults import density_or_standard, discharge_or_sharp_edged
from hvaclib.reference import value
from hvaclib.units import FloatOrArray, calculation, checks, kinds

__all__ = ["leakage_area", "power_law_coefficient", "power_law_flow"]

_EFFECTIVE = value("openings", "discharge", "effective-leakage-area")
_EQUIVALENT = value("openings", "discharge", "equivalent-leakage-area")
_EXPONENT = value("openings", "leakage", "exponent")
_TEST_PRESSURE = 50.0
"""Pa, of a fan test's headline figure (flow at 50 Pa), by the definition of that figure."""
_EQUIVALENT_PRESSURE = 10.0
"""Pa, reference pressure of the equivalent leakage area (CAN/CGSB-149.10)."""


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
        In sq in (m² through ``.si``), broadcast shape.

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
        discharge = discharge_or_sharp_edged(coefficient)
    flow = flow_at_50 * (reference_pressure / _TEST_PRESSURE) ** exponent
    return flow / (discharge * np.sqrt(2.0 * reference_pressure / density_or_standard(density)))


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
    return flow_at_50 * density_or_standard(density) * _TEST_PRESSURE**-exponent


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
