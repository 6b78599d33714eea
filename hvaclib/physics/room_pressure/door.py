"""One room: the pressure its ducts make behind a closed door, and the free area that holds it to a limit."""

from __future__ import annotations

import numpy as np

from hvaclib.errors import InputError
from hvaclib.physics.air import STANDARD_DENSITY
from hvaclib.physics.openings import orifice_area
from hvaclib.reference import value
from hvaclib.units import FloatOrArray, calculation, checks, kinds

__all__ = ["closed_door_pressure", "relief_area"]

_EXPONENT = value("openings", "leakage", "exponent")
_SHARP_EDGED = value("openings", "discharge", "sharp-edged")
_TEST_PRESSURE = 50.0
"""Pa, of a fan test's headline figure, by the definition of that figure."""
_HALVINGS = 80
"""Of the interval that holds the pressure: leaves 1e-24 of it, below what a float tells."""
_LEAST_FLOW = 1e-9
"""m³/s: less air than this through a room is none (0.000002 cfm)."""


@calculation(
    supply=kinds.VOLUME_FLOW,
    return_=kinds.VOLUME_FLOW,
    relief_area=kinds.AREA,
    leakage_at_50=kinds.VOLUME_FLOW,
    exponent=kinds.DIMENSIONLESS,
    house_pressure=kinds.PRESSURE_DIFFERENCE,
    gives=kinds.PRESSURE_DIFFERENCE,
)
def closed_door_pressure(
    *,
    supply: FloatOrArray,
    return_: FloatOrArray = 0.0,
    relief_area: FloatOrArray,
    leakage_at_50: FloatOrArray = 0.0,
    exponent: FloatOrArray = _EXPONENT,
    house_pressure: FloatOrArray = 0.0,
) -> FloatOrArray:
    """Pressure of a room behind its closed door against the rest of the house.

    Parameters
    ----------
    supply : air flow
        Blown into the room, zero or more.
    return_ : air flow, default 0 cfm
        Drawn from the room, zero or more.
    relief_area : area
        Free area from the room to the rest of the house with the door shut: undercut, cracks, grilles; zero or more.
    leakage_at_50 : air flow, default 0 cfm
        That the room's own walls and ceiling leak to outdoors at 50 Pa; zero leaves them tight.
    exponent : plain number, default 0.65
        Of that leakage, from 0.5 to 1.
    house_pressure : pressure difference, default 0 Pa
        Of the rest of the house against outdoors; it matters only for a leaky room.

    Returns
    -------
    pressure difference
        In Pa, broadcast shape: above zero where the room is blown up, below where it is drawn down.

    Raises
    ------
    InputError
        If a value is out of range, no air is moved at all, or there is no way out for it.

    Notes
    -----
    What the ducts leave over passes the relief area as an orifice (discharge coefficient 0.61, standard air) and the
    walls as a power law: ``q = 0.61 A √(2 Δp/ρ) + q50 ((Δp + p_house)/50)ⁿ``. Both rise with Δp, so the pressure is
    unique; it is found by halving an interval. A fan that pushes against the room is taken to keep its flow.

    References
    ----------
    .. [1] Building Science Corporation, RR-0005, Transfer Grille Sizing Charts.
    .. [2] ASTM E779, Standard Test Method for Determining Air Leakage Rate by Fan Pressurization (power law).

    Examples
    --------
    >>> round(closed_door_pressure(supply="100 cfm", relief_area="54 sq in"), 2)
    <Quantity(2.97, 'pascal')>
    """
    net = _net_flow(supply, return_)
    checks.not_negative(relief_area, "relief_area", kinds.AREA)
    _check_leakage(leakage_at_50, exponent)
    net, area, leak, power, house = np.broadcast_arrays(
        net, relief_area, leakage_at_50, exponent, house_pressure
    )
    if np.any((area <= 0.0) & (leak <= 0.0) & (net != 0.0)):
        raise InputError(
            "the air that the ducts leave in the room has no way out",
            where="relief_area",
            given="0 sq in",
            expected="an area above zero, or leakage_at_50 above zero",
        )
    high = _highest(net, area, leak, power, house)
    low = -high
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        over = _outflow(middle, area, leak, power, house) > net
        low, high = np.where(over, low, middle), np.where(over, middle, high)
    return np.asarray(0.5 * (low + high))


def _highest(
    net: FloatOrArray, area: FloatOrArray, leak: FloatOrArray, power: FloatOrArray, house: FloatOrArray
) -> FloatOrArray:
    """A pressure beyond that of the room either way: what the wider of its two ways would need alone."""
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        tight = 0.5 * STANDARD_DENSITY * (net / (_SHARP_EDGED * np.asarray(area))) ** 2
        leaky = _TEST_PRESSURE * np.abs(net / np.asarray(leak)) ** (1.0 / np.asarray(power))
    return np.fmin(tight, leaky) + np.abs(house) + 1.0


def _outflow(
    pressure: FloatOrArray, area: FloatOrArray, leak: FloatOrArray, power: FloatOrArray, house: FloatOrArray
) -> FloatOrArray:
    """Air (m³/s) that leaves a room for the house and for outdoors at a pressure against the house."""
    through_door = (
        _SHARP_EDGED * area * np.copysign(np.sqrt(2.0 * np.abs(pressure) / STANDARD_DENSITY), pressure)
    )
    return through_door + _leak(pressure + house, leak, power)


def _leak(pressure: FloatOrArray, leak: FloatOrArray, power: FloatOrArray) -> FloatOrArray:
    return leak * np.copysign((np.abs(pressure) / _TEST_PRESSURE) ** power, pressure)


def _net_flow(supply: FloatOrArray, return_: FloatOrArray) -> FloatOrArray:
    checks.not_negative(supply, "supply", kinds.VOLUME_FLOW)
    checks.not_negative(return_, "return_", kinds.VOLUME_FLOW)
    if np.any(np.maximum(supply, return_) < _LEAST_FLOW):
        raise InputError(
            "no air is blown into the room and none is drawn from it",
            where="supply",
            given="0 cfm",
            expected="a supply or a return above zero; is the air handler on, and is the register open?",
        )
    return np.subtract(supply, return_)


def _check_leakage(leakage_at_50: FloatOrArray, exponent: FloatOrArray) -> None:
    checks.not_negative(leakage_at_50, "leakage_at_50", kinds.VOLUME_FLOW)
    checks.within(exponent, 0.5, 1.0, "exponent", kinds.DIMENSIONLESS)


@calculation(
    net_flow=kinds.VOLUME_FLOW,
    limit=kinds.PRESSURE_DIFFERENCE,
    leakage_at_50=kinds.VOLUME_FLOW,
    exponent=kinds.DIMENSIONLESS,
    house_pressure=kinds.PRESSURE_DIFFERENCE,
    gives=kinds.AREA,
)
def relief_area(
    *,
    net_flow: FloatOrArray,
    limit: FloatOrArray,
    leakage_at_50: FloatOrArray = 0.0,
    exponent: FloatOrArray = _EXPONENT,
    house_pressure: FloatOrArray = 0.0,
) -> FloatOrArray:
    """Free area between a room and the rest of the house that holds the room within a limit, all ways together.

    Parameters
    ----------
    net_flow : air flow
        Supply less return: above zero in a room that is blown up, below in one that is drawn down; not zero.
    limit : pressure difference
        Largest pressure of the room against the house either way, above zero.
    leakage_at_50 : air flow, default 0 cfm
        That the room's own walls and ceiling leak to outdoors at 50 Pa; zero is the safe side for a blown-up room.
    exponent : plain number, default 0.65
        Of that leakage, from 0.5 to 1.
    house_pressure : pressure difference, default 0 Pa
        Of the rest of the house against outdoors; it matters only for a leaky room.

    Returns
    -------
    area
        In sq in (m² through ``.si``), broadcast shape; the existing undercut counts towards it. Zero where the
        room's leaks alone hold it within the limit.

    Raises
    ------
    InputError
        If there is no flow to relieve, or the limit is not above zero.

    Notes
    -----
    The inverse of `closed_door_pressure` at the limit: what the leaks do not take passes an orifice. A path through
    a wall is several restrictions one after the other, and each must be larger than this: see `transfer_path`.

    References
    ----------
    .. [1] Building Science Corporation, RR-0005, Transfer Grille Sizing Charts.

    Examples
    --------
    >>> round(relief_area(net_flow="100 cfm", limit="3 Pa"), 1)
    <Quantity(53.7, 'inch ** 2')>
    """
    if np.any(np.abs(net_flow) < _LEAST_FLOW):
        raise InputError(
            "there is no flow to relieve",
            where="net_flow",
            given="0 cfm",
            expected="supply less return of the room, above or below zero",
        )
    checks.positive(limit, "limit", kinds.PRESSURE_DIFFERENCE)
    _check_leakage(leakage_at_50, exponent)
    way = np.sign(net_flow)
    leak = _leak(way * limit + house_pressure, leakage_at_50, exponent)
    left = np.maximum(way * (net_flow - leak), 0.0)
    return orifice_area.si(flow=left, pressure_difference=limit)
