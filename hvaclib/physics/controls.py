"""Thermostat and control circuit: anticipator setting, transformer load, recovery from a setback."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

import numpy as np

from hvaclib.errors import InputError
from hvaclib.reference import value
from hvaclib.units import COUNT, FloatOrArray, calculation, checks, kinds, list_of, show

__all__ = ["TransformerLoad", "anticipator", "cooling_time_constant", "recovery_time", "transformer_load"]

_VOLTAGE = value("controls", "transformer", "voltage")
_RATING = value("controls", "transformer", "rating")
_LIVE = (
    "Electricity: only the 24 V circuit is measured here. The primary side of the transformer carries line voltage: "
    "switch off and lock the circuit before opening its box; licensed work where the local code says so."
)


@dataclass(frozen=True, slots=True)
class TransformerLoad:
    """Load of a control transformer.

    Attributes
    ----------
    load : apparent power
        Of everything that can be on at once.
    share : fraction
        Of the rating.
    spare : apparent power
        Left; below zero where it is overloaded.
    enough : bool
        Whether the rating covers the load.
    """

    load: Annotated[float, kinds.APPARENT_POWER]
    share: Annotated[float, kinds.FRACTION]
    spare: Annotated[float, kinds.APPARENT_POWER]
    enough: bool


@calculation(
    measured_current=kinds.CURRENT,
    turns=COUNT,
    gives=kinds.CURRENT,
    notes=(
        "Read after the burner has been on for 1 to 2 minutes, with the valve and everything it holds in.",
        _LIVE,
    ),
)
def anticipator(*, measured_current: FloatOrArray, turns: int = 1) -> FloatOrArray:
    """Setting of an adjustable heat anticipator from the measured current of the control circuit.

    Parameters
    ----------
    measured_current : electric current
        As the meter shows it; in series with the thermostat, or a clamp around the turns of wire. Zero or more.
    turns : int, default 1
        Turns of the wire through the clamp, at least 1; ten turns make a small current readable.

    Returns
    -------
    electric current
        Of the control circuit, to which the pointer is set; in A.

    Raises
    ------
    InputError
        If the current is negative or there is no turn.

    Notes
    -----
    No standard text is known for this: it is service practice. The current printed on the gas valve serves where it
    cannot be measured.

    References
    ----------
    .. [1] Service pages on thermostat heat anticipators: common practice, no standard.

    Examples
    --------
    >>> round(anticipator(measured_current="4.0 A", turns=10), 6)
    <Quantity(0.4, 'ampere')>
    """
    checks.not_negative(measured_current, "measured_current", kinds.CURRENT)
    if turns < 1:
        raise InputError(
            "a wire passes the clamp at least once", where="turns", given=turns, expected="1 or more"
        )
    return measured_current / turns


@calculation(
    currents=list_of(kinds.CURRENT),
    voltage=kinds.VOLTAGE,
    rating=kinds.APPARENT_POWER,
    gives=TransformerLoad,
    notes=(_LIVE,),
)
def transformer_load(
    *, currents: FloatOrArray, voltage: float = _VOLTAGE, rating: float = _RATING
) -> TransformerLoad:
    """Load of a control transformer by what hangs on it.

    Parameters
    ----------
    currents : list of electric current
        Of every valve, relay and thermostat that can be on at once; each zero or more.
    voltage : voltage, default 24 V
        Of the secondary side, above zero.
    rating : apparent power, default 40 VA
        On the transformer's plate, above zero.

    Returns
    -------
    TransformerLoad
        In VA.

    Raises
    ------
    InputError
        If a value is out of range.

    Notes
    -----
    Volts times amperes, added as if all currents were in step: never too small.

    References
    ----------
    .. [1] Definition of apparent power; NEC (NFPA 70), article 725, for class 2 circuits (from memory).

    Examples
    --------
    >>> round(transformer_load(currents="0.5 A, 0.2 A, 0.3 A").load, 6)
    <Quantity(24.0, 'volt_ampere')>
    """
    checks.not_negative(currents, "currents", kinds.CURRENT)
    checks.positive(voltage, "voltage", kinds.VOLTAGE)
    checks.positive(rating, "rating", kinds.APPARENT_POWER)
    load = float(np.sum(currents)) * voltage
    return TransformerLoad(load, load / rating, rating - load, load <= rating * (1.0 + 1e-12))


@calculation(
    start=kinds.TEMPERATURE,
    end=kinds.TEMPERATURE,
    outdoor=kinds.TEMPERATURE,
    time=kinds.TIME,
    gives=kinds.TIME,
)
def cooling_time_constant(
    *, start: FloatOrArray, end: FloatOrArray, outdoor: FloatOrArray, time: FloatOrArray
) -> FloatOrArray:
    """Time constant of a house from how far it cooled with the heat off.

    Parameters
    ----------
    start : temperature
        Indoors when the heat went off, above the end.
    end : temperature
        Indoors after the time, above outdoors.
    outdoor : temperature
        Mean over the time.
    time : time
        With the heat off, above zero.

    Returns
    -------
    time
        In s; heat capacity of the house over its heat loss for each degree.

    Raises
    ------
    InputError
        If the house did not cool, or not towards the outdoors.

    Notes
    -----
    One node: the house has one temperature, no sun and no other heat. The first hour, in which the air cools faster
    than the walls, makes the constant too small; take a whole night.

    References
    ----------
    .. [1] Newton's law of cooling, solved for the constant.

    Examples
    --------
    >>> round(cooling_time_constant(start="70 °F", end="62 °F", outdoor="30 °F", time="8 h").to("h"), 2)
    <Quantity(35.85, 'hour')>
    """
    checks.positive(time, "time", kinds.TIME)
    above, left = np.asarray(start) - outdoor, np.asarray(end) - outdoor
    if not ((left > 0.0) & (above > left)).all():
        raise InputError("the house must have cooled towards the outdoors", where="end",
                         given=_worst(end, np.minimum(left, above - left)),
                         expected="a temperature between the outdoors and the start")  # fmt: skip
    result = time / np.log(above / left)
    return float(result) if result.ndim == 0 else result


def _worst(temperatures: FloatOrArray, by: FloatOrArray) -> str:
    """The temperature that is out of range the most, where one or many are given."""
    every, margins = np.broadcast_arrays(temperatures, by)
    return show(float(every.flat[int(np.argmin(margins))]), kinds.TEMPERATURE)


@calculation(
    output=kinds.POWER,
    heat_loss=kinds.POWER,
    setback=kinds.TEMPERATURE,
    occupied=kinds.TEMPERATURE,
    outdoor=kinds.TEMPERATURE,
    time_constant=kinds.TIME,
    gives=kinds.TIME,
)
def recovery_time(
    *,
    output: FloatOrArray,
    heat_loss: FloatOrArray,
    setback: FloatOrArray,
    occupied: FloatOrArray,
    outdoor: FloatOrArray,
    time_constant: FloatOrArray,
) -> FloatOrArray:
    """Time in which a furnace brings a house back from a setback.

    Parameters
    ----------
    output : heat or power
        Of the furnace, burning without pause.
    heat_loss : heat or power
        Of the house at the occupied temperature in this weather, above zero and below the output.
    setback : temperature
        From which it starts, not above the occupied one.
    occupied : temperature
        To which it goes, above outdoors.
    outdoor : temperature
        Meanwhile.
    time_constant : time
        Of the house (`cooling_time_constant`), above zero.

    Returns
    -------
    time
        In s.

    Raises
    ------
    InputError
        If the furnace cannot hold the occupied temperature in this weather, or a value is out of range.

    Notes
    -----
    One node, ``τ ln((T∞ − T_setback)/(T∞ − T_occupied))``, where T∞ is the temperature that the furnace would reach in
    the end. Walls lag behind the air: the thermostat is satisfied earlier than this says.

    References
    ----------
    .. [1] Energy balance of one heat capacity with a constant gain, solved.

    Examples
    --------
    >>> time = recovery_time(output="64 kBtu/h", heat_loss="36 kBtu/h", setback="60 °F", occupied="68 °F",
    ...     outdoor="20 °F", time_constant="40 h")
    >>> round(time.to("h"), 2)
    <Quantity(7.77, 'hour')>
    """
    checks.positive(heat_loss, "heat_loss", kinds.POWER)
    checks.positive(time_constant, "time_constant", kinds.TIME)
    surplus = np.asarray(output) - heat_loss
    if not (surplus > 0.0).all():
        raise InputError("the furnace cannot hold the occupied temperature in this weather", where="output",
                         given=show(float(np.min(output)), kinds.POWER), expected="more than the heat loss")  # fmt: skip
    warmer, fallen = np.asarray(occupied) - outdoor, np.asarray(occupied) - setback
    if not (warmer > 0.0).all():
        raise InputError("the occupied temperature must lie above the outdoors", where="outdoor",
                         given=_worst(outdoor, warmer), expected="less than the occupied temperature")  # fmt: skip
    if not (fallen >= 0.0).all():
        raise InputError("the setback temperature lies above the occupied one", where="setback",
                         given=_worst(setback, fallen), expected="the occupied temperature at most")  # fmt: skip
    above = warmer * surplus / heat_loss  # T∞ over the occupied temperature
    result = time_constant * np.log1p(fallen / above)
    return float(result) if result.ndim == 0 else result
