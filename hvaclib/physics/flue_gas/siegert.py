"""The Siegert formula: flue loss by two parameters a fuel, as European practice has it."""

from __future__ import annotations

import numpy as np

from hvaclib.errors import InputError
from hvaclib.physics.flue_gas.analysis import check_probes, plain
from hvaclib.reference import figure
from hvaclib.units import FloatOrArray, calculation, checks, choice, kinds

__all__ = ["siegert_loss"]

_TABLES = {"natural gas": "natural_gas", "propane": "propane", "No. 2 oil": "oil"}
_PARAMETERS = {
    fuel: np.atleast_1d(figure("flue_gas", "siegert", key).value).tolist() for fuel, key in _TABLES.items()
}
_OXYGEN = 0.21


@calculation(
    fuel=choice(*_TABLES),
    stack_temperature=kinds.TEMPERATURE,
    air_temperature=kinds.TEMPERATURE,
    o2=kinds.FRACTION,
    co2=kinds.FRACTION,
    gives=kinds.FRACTION,
    notes=("A share of the lower heating value: not to be compared with American efficiencies.",),
)
def siegert_loss(
    *,
    fuel: str,
    stack_temperature: FloatOrArray,
    air_temperature: FloatOrArray,
    o2: FloatOrArray | None = None,
    co2: FloatOrArray | None = None,
) -> FloatOrArray:
    """Flue loss by the Siegert formula, as a share of the lower heating value.

    Parameters
    ----------
    fuel : {"natural gas", "propane", "No. 2 oil"}
        Fuel for which parameters are listed.
    stack_temperature : temperature
        Of the flue gas.
    air_temperature : temperature
        Of the combustion air.
    o2 : fraction, optional
        Oxygen of the dry flue gas, below 21 %.
    co2 : fraction, optional
        Carbon dioxide of the dry flue gas instead, above zero.

    Returns
    -------
    fraction
        In % of the lower heating value, broadcast shape.

    Raises
    ------
    InputError
        If not exactly one reading is given, it is out of range, or the flue gas is colder than the air.

    Notes
    -----
    ``(stack - air) (A2 / (21 - O2) + B)`` or ``(stack - air) (A1 / CO2 + B)``, temperatures in °C, gases in % of the dry
    flue gas. Nothing condenses. The air is counted with 21 % oxygen.

    References
    ----------
    .. [1] 1. BImSchV (German ordinance on small combustion plants), parameters as listed in technical glossaries.

    Examples
    --------
    >>> loss = siegert_loss(fuel="natural gas", stack_temperature="160 °C", air_temperature="20 °C", o2="5 %")
    >>> round(loss, 2)
    <Quantity(7.04, 'percent')>
    """
    a1, a2, b = _PARAMETERS[fuel]
    if (o2 is None) == (co2 is None):
        given = "neither" if o2 is None else "both"
        raise InputError("one reading is needed: o2 or co2", where="o2", given=given, expected="one of them")
    check_probes(stack_temperature, air_temperature)
    rise = np.asarray(stack_temperature) - np.asarray(air_temperature)
    if o2 is not None:
        checks.within(o2, 0.0, _OXYGEN - 1e-6, "o2", kinds.FRACTION)
        term = a2 / (100.0 * (_OXYGEN - np.asarray(o2)))
    else:
        assert co2 is not None  # looked at above
        checks.positive(co2, "co2", kinds.FRACTION)
        term = a1 / (100.0 * np.asarray(co2))
    return plain(0.01 * rise * (term + b))
