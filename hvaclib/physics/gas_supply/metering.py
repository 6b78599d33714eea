"""Clocking the meter: flow from a dial and a stopwatch, the correction to base conditions, the input rate."""

from __future__ import annotations

from hvaclib.physics import air
from hvaclib.reference import value
from hvaclib.units import FloatOrArray, calculation, checks, kinds

__all__ = ["input_rate", "meter_flow", "volume_correction"]

BASE_TEMPERATURE = value("gas_supply", "base", "temperature")
BASE_PRESSURE = value("gas_supply", "base", "pressure")
_METER = "Everything else that burns gas on this meter must be off, its pilots counted."
_VALUE = (
    "Ask the utility at which pressure and temperature its heating value is counted: a value given for the gas as "
    "delivered at altitude needs no correction, and a second one would be wrong."
)


@calculation(
    dial=kinds.VOLUME, time=kinds.TIME, turns=kinds.DIMENSIONLESS, gives=kinds.GAS_FLOW, notes=(_METER,)
)
def meter_flow(*, dial: FloatOrArray, time: FloatOrArray, turns: FloatOrArray = 1.0) -> FloatOrArray:
    """Flow through a gas meter from the time that its test dial takes.

    Parameters
    ----------
    dial : volume
        Gas for one turn of the test dial, as printed on it; above zero.
    time : time
        For all the turns together, above zero.
    turns : plain number, default 1
        Turns of the dial, above zero; half a turn is 0.5.

    Returns
    -------
    gas flow
        At the meter's own pressure and temperature, in ft³/h (m³/s through ``.si``), broadcast shape.

    Raises
    ------
    InputError
        If a value is not above zero.

    References
    ----------
    .. [1] Furnace service instructions, gas-rate table: seconds for one turn against the size of the test dial.

    Examples
    --------
    >>> round(meter_flow(dial="1 ft³", time="45 s"), 6)
    <Quantity(80.0, 'cubic_feet_per_hour')>
    """
    checks.positive(dial, "dial", kinds.VOLUME)
    checks.positive(time, "time", kinds.TIME)
    checks.positive(turns, "turns", kinds.DIMENSIONLESS)
    return dial * turns / time


@calculation(
    gas_pressure=kinds.GAUGE_PRESSURE,
    gas_temperature=kinds.TEMPERATURE,
    barometric_pressure=kinds.PRESSURE,
    altitude=kinds.LENGTH,
    base_pressure=kinds.PRESSURE,
    base_temperature=kinds.TEMPERATURE,
    gives=kinds.DIMENSIONLESS,
    notes=(_VALUE,),
)
def volume_correction(
    *,
    gas_pressure: FloatOrArray | None = None,
    gas_temperature: FloatOrArray | None = None,
    barometric_pressure: FloatOrArray | None = None,
    altitude: FloatOrArray | None = None,
    base_pressure: FloatOrArray = BASE_PRESSURE,
    base_temperature: FloatOrArray = BASE_TEMPERATURE,
) -> FloatOrArray:
    """Volume at base conditions over the volume that the meter counts.

    Parameters
    ----------
    gas_pressure : pressure above the surrounding air, optional
        In the meter.
    gas_temperature : temperature, optional
        In the meter; no correction for temperature if it is not given, as for a meter that compensates itself.
    barometric_pressure : absolute pressure, optional
        Of the air around the meter; from the altitude if it is not given.
    altitude : length, optional
        Above sea level, for the standard atmosphere; sea level where only the gas pressure is given.
    base_pressure : absolute pressure, default 14.73 psia
        At which the heating value is counted.
    base_temperature : temperature, default 60 °F
        At which the heating value is counted.

    Returns
    -------
    plain number
        1 where nothing is given; broadcast shape.

    Raises
    ------
    InputError
        If a pressure or temperature is not above zero, or the altitude is out of range.

    Notes
    -----
    ``(p_gas + p_air) / p_base × T_base / T_gas``, ideal gas. The pressure is corrected only if gas pressure, barometric
    pressure or altitude is given.

    References
    ----------
    .. [1] Utility leaflet on clocking a gas meter: pressure factor (gauge + barometric) / base.
    .. [2] AGA Report No. 5 (2009): base conditions 14.73 psia and 60 °F.

    Examples
    --------
    >>> round(volume_correction(gas_pressure="2 psig", barometric_pressure="14.16 psia"), 3)
    <Quantity(1.097, 'dimensionless')>
    """
    checks.positive(base_pressure, "base_pressure", kinds.PRESSURE)
    checks.positive(base_temperature, "base_temperature", kinds.TEMPERATURE)
    factor: FloatOrArray = 1.0
    if gas_temperature is not None:
        checks.within(gas_temperature, 200.0, 350.0, "gas_temperature", kinds.TEMPERATURE)
        factor = factor * base_temperature / gas_temperature
    if gas_pressure is None and barometric_pressure is None and altitude is None:
        return factor
    if barometric_pressure is None:
        barometric_pressure = air.barometric_pressure.si(altitude=0.0 if altitude is None else altitude)
    checks.positive(barometric_pressure, "barometric_pressure", kinds.PRESSURE)
    total = barometric_pressure + (0.0 if gas_pressure is None else gas_pressure)
    checks.positive(total, "gas_pressure", kinds.PRESSURE)
    return factor * total / base_pressure


@calculation(
    dial=kinds.VOLUME,
    time=kinds.TIME,
    heating_value=kinds.HEATING_VALUE,
    turns=kinds.DIMENSIONLESS,
    gas_pressure=kinds.GAUGE_PRESSURE,
    gas_temperature=kinds.TEMPERATURE,
    barometric_pressure=kinds.PRESSURE,
    altitude=kinds.LENGTH,
    base_pressure=kinds.PRESSURE,
    base_temperature=kinds.TEMPERATURE,
    gives=kinds.POWER,
    notes=(_METER, _VALUE),
)
def input_rate(
    *,
    dial: FloatOrArray,
    time: FloatOrArray,
    heating_value: FloatOrArray,
    turns: FloatOrArray = 1.0,
    gas_pressure: FloatOrArray | None = None,
    gas_temperature: FloatOrArray | None = None,
    barometric_pressure: FloatOrArray | None = None,
    altitude: FloatOrArray | None = None,
    base_pressure: FloatOrArray = BASE_PRESSURE,
    base_temperature: FloatOrArray = BASE_TEMPERATURE,
) -> FloatOrArray:
    """Input rate of what burns, by clocking the gas meter.

    Parameters
    ----------
    dial : volume
        Gas for one turn of the test dial, as printed on it; above zero.
    time : time
        For all the turns together, above zero.
    heating_value : heating value of a gas volume
        Of the local gas, from the utility; the gross one, which nameplates mean. Above zero.
    turns : plain number, default 1
        Turns of the dial, above zero.
    gas_pressure : pressure above the surrounding air, optional
        In the meter.
    gas_temperature : temperature, optional
        In the meter; no correction for temperature if it is not given.
    barometric_pressure : absolute pressure, optional
        Of the air around the meter; from the altitude if it is not given.
    altitude : length, optional
        Above sea level, for the standard atmosphere.
    base_pressure : absolute pressure, default 14.73 psia
        At which the heating value is counted.
    base_temperature : temperature, default 60 °F
        At which the heating value is counted.

    Returns
    -------
    heat or power
        In Btu/h (W through ``.si``), broadcast shape.

    Raises
    ------
    InputError
        If a value is out of range.

    Notes
    -----
    `meter_flow` times `volume_correction` times the heating value. With none of the corrections given this is the
    trade's 3600 × dial × turns / seconds × heating value.

    References
    ----------
    .. [1] Furnace service instructions, gas-rate table: seconds for one turn against the size of the test dial.
    .. [2] Utility leaflet on clocking a gas meter.

    Examples
    --------
    >>> round(input_rate(dial="1/2 ft³", time="22 s", heating_value="1000 Btu/ft³"))
    <Quantity(81818, 'british_thermal_unit / hour')>
    """
    checks.positive(heating_value, "heating_value", kinds.HEATING_VALUE)
    factor = volume_correction.si(
        gas_pressure=gas_pressure,
        gas_temperature=gas_temperature,
        barometric_pressure=barometric_pressure,
        altitude=altitude,
        base_pressure=base_pressure,
        base_temperature=base_temperature,
    )
    return meter_flow.si(dial=dial, time=time, turns=turns) * factor * heating_value
