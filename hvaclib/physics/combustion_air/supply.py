"""Combustion air by a fan."""

from __future__ import annotations

from hvaclib.physics.combustion_air.volume import CAUTION, KBTUH
from hvaclib.reference import value
from hvaclib.units import FloatOrArray, calculation, checks, kinds

__all__ = ["mechanical_supply"]

CFM = 0.3048**3 / 60.0
_SUPPLY = value("combustion_air", "mechanical") * CFM / KBTUH


@calculation(input_rate=kinds.POWER, exhaust=kinds.VOLUME_FLOW, gives=kinds.VOLUME_FLOW, notes=(CAUTION,))
def mechanical_supply(*, input_rate: FloatOrArray, exhaust: FloatOrArray = 0.0) -> FloatOrArray:
    """Outdoor air that a fan must bring where it brings all combustion air.

    Parameters
    ----------
    input_rate : heat or power
        Input of all appliances in the space, zero or more.
    exhaust : air flow, default 0 cfm
        What exhaust fans take from the space; it comes on top.

    Returns
    -------
    air flow
        In cfm (m³/s through ``.si``), broadcast shape.

    Raises
    ------
    InputError
        If the input or the exhaust is negative.

    Notes
    -----
    0.35 cfm for each 1000 Btu/h. Every appliance is interlocked with the fan, so that none burns while it stands.

    References
    ----------
    .. [1] IFGC (2018) 304.9; NFPA 54 9.3.6.

    Examples
    --------
    >>> round(mechanical_supply(input_rate="100 kBtu/h"), 6)
    <Quantity(35.0, 'cubic_feet_per_minute')>
    """
    checks.not_negative(input_rate, "input_rate", kinds.POWER)
    checks.not_negative(exhaust, "exhaust", kinds.VOLUME_FLOW)
    return _SUPPLY * input_rate + exhaust
