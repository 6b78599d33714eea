"""Flow through one opening: flow, area for a flow, coefficient for the network."""

from __future__ import annotations

import numpy as np

from hvaclib.physics.openings.defaults import density_or_standard, discharge_or_sharp_edged
from hvaclib.units import FloatOrArray, calculation, checks, kinds

__all__ = ["orifice_area", "orifice_coefficient", "orifice_flow"]


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
    size = np.sqrt(2.0 * np.abs(pressure_difference) / density_or_standard(density))
    return discharge_or_sharp_edged(coefficient) * area * np.copysign(size, pressure_difference)


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
        In sq in (m² through ``.si``), broadcast shape.

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
    return flow / (
        discharge_or_sharp_edged(coefficient)
        * np.sqrt(2.0 * pressure_difference / density_or_standard(density))
    )


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
    return discharge_or_sharp_edged(coefficient) * area * np.sqrt(2.0 * density_or_standard(density))
