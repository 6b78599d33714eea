"""Heat, airflow and temperature rise of a furnace, with the density of the air where it stands."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

import numpy as np

from hvaclib.errors import InputError
from hvaclib.physics import air
from hvaclib.reference import value
from hvaclib.units import FloatOrArray, calculation, checks, kinds, parse_si, show

__all__ = [
    "RuleError", "airflow_from_rise", "heat_per_flow_and_rise", "rise_from_airflow", "standard_airflow_rule_error",
]  # fmt: skip

SPECIFIC_HEAT = value("air_delivery", "specific_heat")
DEFAULT_TEMPERATURE = value("air_delivery", "default_temperature")
RULE_CONSTANT = value("air_delivery", "rule_constant")
_RULE = (
    RULE_CONSTANT
    * parse_si("1 Btu/h", kinds.POWER)
    / (parse_si("1 cfm", kinds.VOLUME_FLOW) * parse_si("1 °F", kinds.TEMPERATURE_DIFFERENCE))
)


def heat_per_flow_and_rise(
    altitude: FloatOrArray = 0.0, temperature: FloatOrArray | None = None
) -> FloatOrArray:
    """Heat that a volume flow of air carries off for each kelvin by which it warms: density times specific heat.

    Parameters
    ----------
    altitude : float or ndarray
        m above sea level.
    temperature : float or ndarray, optional
        K, of the air whose volume is counted; 70 °F (294.26 K) where none is given.

    Returns
    -------
    float or ndarray
        J/(m³·K), broadcast shape.
    """
    kelvin = DEFAULT_TEMPERATURE if temperature is None else temperature
    return SPECIFIC_HEAT * air.density.si(temperature=kelvin, altitude=altitude)


@calculation(
    output=kinds.POWER,
    rise=kinds.TEMPERATURE_DIFFERENCE,
    altitude=kinds.LENGTH,
    temperature=kinds.TEMPERATURE,
    gives=kinds.VOLUME_FLOW,
)
def airflow_from_rise(
    *,
    output: FloatOrArray,
    rise: FloatOrArray,
    altitude: FloatOrArray = 0.0,
    temperature: FloatOrArray | None = None,
) -> FloatOrArray:
    """Airflow through a furnace from the heat that it gives to the air and the temperature rise.

    Parameters
    ----------
    output : heat or power
        Heat that reaches the air: clocked input times efficiency, and the fan motor's heat where it counts.
    rise : temperature difference
        Supply less return, above zero.
    altitude : length, default 0 ft
        Above sea level; it sets the standard barometric pressure.
    temperature : temperature, default 70 °F
        Of the air whose volume is counted: that of the return for the flow at the fan.

    Returns
    -------
    air flow
        In cfm (m³/s through ``.si``), broadcast shape.

    Raises
    ------
    InputError
        If the rise is zero or negative, the output not above zero, or altitude or temperature out of range.

    Notes
    -----
    ``output / (ρ c rise)``, dry air, c = 1006 J/(kg·K). Humidity changes ρ c by less than 0.5 % indoors
    (0.7 % at 13 000 ft). The trade's 1.08 rule is this with 0.075 lb/ft³ whatever the altitude: see
    `standard_airflow_rule_error`.

    References
    ----------
    .. [1] ASHRAE Handbook - Fundamentals, chapter 1 (Psychrometrics); sensible heat of an air stream.

    Examples
    --------
    >>> round(airflow_from_rise(output="64000 Btu/h", rise="40 °F"))
    <Quantity(1482, 'cubic_feet_per_minute')>
    """
    checks.positive(output, "output", kinds.POWER)
    _check_rise(rise)
    return output / (heat_per_flow_and_rise(altitude, temperature) * rise)


@calculation(
    output=kinds.POWER,
    airflow=kinds.VOLUME_FLOW,
    altitude=kinds.LENGTH,
    temperature=kinds.TEMPERATURE,
    gives=kinds.TEMPERATURE_DIFFERENCE,
)
def rise_from_airflow(
    *,
    output: FloatOrArray,
    airflow: FloatOrArray,
    altitude: FloatOrArray = 0.0,
    temperature: FloatOrArray | None = None,
) -> FloatOrArray:
    """Temperature rise of the air through a furnace from the heat that it takes up and its flow.

    Parameters
    ----------
    output : heat or power
        Heat that reaches the air: clocked input times efficiency, and the fan motor's heat where it counts.
    airflow : air flow
        Through the furnace, above zero.
    altitude : length, default 0 ft
        Above sea level; it sets the standard barometric pressure.
    temperature : temperature, default 70 °F
        Of the air whose volume is counted: that of the return for the flow at the fan.

    Returns
    -------
    temperature difference
        In °F (K through ``.si``), broadcast shape.

    Raises
    ------
    InputError
        If the airflow is zero or negative, the output not above zero, or altitude or temperature out of range.

    Notes
    -----
    ``output / (ρ c airflow)``; the inverse of `airflow_from_rise`.

    References
    ----------
    .. [1] ASHRAE Handbook - Fundamentals, chapter 1 (Psychrometrics); sensible heat of an air stream.

    Examples
    --------
    >>> round(rise_from_airflow(output="64000 Btu/h", airflow="1200 cfm"), 1)
    <Quantity(49.4, 'delta_degree_Fahrenheit')>
    """
    checks.positive(output, "output", kinds.POWER)
    flow = np.asarray(airflow)
    if not (flow > 0.0).all():
        raise InputError(
            "without airflow the heat stays in the furnace, so there is no temperature rise to compute",
            where="airflow", given=show(float(np.min(flow)), kinds.VOLUME_FLOW), expected="a flow above zero",
        )  # fmt: skip
    return output / (heat_per_flow_and_rise(altitude, temperature) * airflow)


def _check_rise(rise: FloatOrArray) -> None:
    """Refuse a rise of zero and a negative one, each with its likely cause."""
    least = float(np.min(rise))
    if least == 0.0:
        raise InputError(
            "supply and return are equally warm, so no heat has reached the air and its flow cannot be told",
            where="rise", given=show(0.0, kinds.TEMPERATURE_DIFFERENCE), expected="a rise above zero, burner firing",
        )  # fmt: skip
    if not least > 0.0:
        raise InputError(
            "the supply reads colder than the return: the two thermometers may be exchanged",
            where="rise", given=show(least, kinds.TEMPERATURE_DIFFERENCE), expected="supply less return, above zero",
        )  # fmt: skip


@dataclass(frozen=True, slots=True)
class RuleError:
    """How far the 1.08 rule is off, and the constant that would be right.

    Parameters
    ----------
    error : float
        Airflow by the rule over true airflow, less one: negative where the rule tells too little air.
    constant : float
        Btu/(h·cfm·°F) that belongs in the place of 1.08.
    """

    error: Annotated[float, kinds.FRACTION]
    constant: Annotated[float, kinds.DIMENSIONLESS]


@calculation(altitude=kinds.LENGTH, temperature=kinds.TEMPERATURE, gives=RuleError)
def standard_airflow_rule_error(*, altitude: float = 0.0, temperature: float | None = None) -> RuleError:
    """How far the trade's rule, cfm = Btu/h over 1.08 times the rise, is off where the air is thinner or denser.

    Parameters
    ----------
    altitude : length, default 0 ft
        Above sea level.
    temperature : temperature, default 70 °F
        Of the air whose volume is counted.

    Returns
    -------
    RuleError
        Error of the airflow, negative where the rule tells too little air; and the right constant.

    Raises
    ------
    InputError
        If altitude or temperature is out of range.

    Notes
    -----
    The rule holds 0.075 lb/ft³ and 0.24 Btu/(lb·°F). The error is that of the volume flow; the mass flow by the rule
    is right at any altitude.

    References
    ----------
    .. [1] U.S. Standard Atmosphere, 1976, for the pressure.

    Examples
    --------
    >>> round(standard_airflow_rule_error(altitude="5000 ft").error, 1)
    <Quantity(-16.8, 'percent')>
    """
    true = heat_per_flow_and_rise(altitude, temperature)
    return RuleError(error=float(true / _RULE - 1.0), constant=float(RULE_CONSTANT * true / _RULE))
