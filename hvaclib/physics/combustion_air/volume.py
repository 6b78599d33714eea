"""Volume of the room (and the rooms open to it) whose own leakage is enough combustion air."""

from __future__ import annotations

import numpy as np

from hvaclib.physics.combustion_air.air_changes import HOUR, PER_HOUR
from hvaclib.reference import value
from hvaclib.units import FLAG, FloatOrArray, calculation, checks, kinds

__all__ = ["CAUTION", "required_volume", "standard_method_allowed"]

CUBIC_FOOT = 0.3048**3
KBTUH = 1055.05585262 / 3.6  # W, exact (international table)
_STANDARD = value("combustion_air", "volume", "standard") * CUBIC_FOOT / KBTUH
_NATURAL = value("combustion_air", "volume", "natural") * CUBIC_FOOT / HOUR / KBTUH
_FAN_ASSISTED = value("combustion_air", "volume", "fan_assisted") * CUBIC_FOOT / HOUR / KBTUH
_MOST = value("combustion_air", "volume", "most_air_changes") / HOUR
_STANDARD_FROM = value("combustion_air", "volume", "standard_from") / HOUR

CAUTION = (
    "Too little combustion air makes carbon monoxide and spillage. The adopted code and the manufacturer's "
    "instructions decide; exhaust fans, dryers and fireplaces in the same space need air besides: test the draft "
    "with them running."
)


@calculation(input_rate=kinds.POWER, ach=PER_HOUR, fan_assisted=FLAG, gives=kinds.VOLUME, notes=(CAUTION,))
def required_volume(
    *, input_rate: FloatOrArray, ach: FloatOrArray | None = None, fan_assisted: bool = False
) -> FloatOrArray:
    """Volume of indoor space whose own leakage feeds a fire.

    Parameters
    ----------
    input_rate : heat or power
        Input of the appliances together, zero or more.
    ach : air change rate, optional
        Known infiltration; with it the known-infiltration-rate method holds, without it the standard method. A bare
        number is per hour.
    fan_assisted : bool, default false
        Whether these appliances are fan-assisted; matters only with a known infiltration.

    Returns
    -------
    volume
        In ft³ (m³ through ``.si``), broadcast shape. Volumes of appliances of both kinds in one space add up.

    Raises
    ------
    InputError
        If the input is negative or the air change rate is not above zero.

    Notes
    -----
    Standard method: 50 ft³ for each 1000 Btu/h. Known infiltration: 21 ft³/h over the air changes an hour for each
    1000 Btu/h, 15 if fan-assisted; a rate above 0.60 counts as 0.60. Where the infiltration is known to be below 0.40
    an hour the standard method is not allowed (`standard_method_allowed`). Direct-vent appliances do not count.

    References
    ----------
    .. [1] IFGC (2018) 304.5.1 and 304.5.2, equations 3-1 and 3-2; NFPA 54 9.3.2.1 and 9.3.2.2.

    Examples
    --------
    >>> round(required_volume(input_rate="100 kBtu/h"), 6)
    <Quantity(5000.0, 'foot ** 3')>
    >>> round(required_volume(input_rate="40 kBtu/h", ach="0.35 ACH"), 6)
    <Quantity(2400.0, 'foot ** 3')>
    """
    checks.not_negative(input_rate, "input_rate", kinds.POWER)
    if ach is None:
        return _STANDARD * input_rate
    checks.positive(ach, "ach", kinds.AIR_CHANGES)
    return (_FAN_ASSISTED if fan_assisted else _NATURAL) / np.minimum(ach, _MOST) * input_rate


def standard_method_allowed(ach: float | None) -> bool:
    """Whether the standard method may be used: not where the infiltration (1/s) is known to be below 0.40 an hour."""
    return ach is None or ach >= _STANDARD_FROM * (1.0 - 1e-12)
