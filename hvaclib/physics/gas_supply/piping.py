"""Low-pressure gas pipe: capacity, pressure drop, and the size for a flow, by the code's equation."""

from __future__ import annotations

import numpy as np

from hvaclib.physics.gas_supply.arguments import INCH, PIPE, pipes
from hvaclib.reference import figure, value
from hvaclib.units import FloatOrArray, calculation, checks, kinds

__all__ = ["density_multiplier", "nominal_for", "pipe_capacity", "pipe_drop"]

_SCALE, _FLOW_POWER, _DROP_POWER = np.asarray(figure("gas_supply", "pipe_formula").value)
_FACTOR, _RANKINE, _VISCOSITY_POWER = np.asarray(figure("gas_supply", "pipe_gas_factor").value)
NATURAL_GAS = value("gas_supply", "relative_density", "natural_gas")
_VISCOSITY = (value("gas_supply", "viscosity", "natural_gas"), value("gas_supply", "viscosity", "propane"))
_CENTIPOISE = 1e-3
_WATER, _FOOT = 249.08891, 0.3048
_CUBIC_FOOT_AN_HOUR = _FOOT**3 / 3600.0
_LOW_PRESSURE = (
    "For an inlet below 1.5 psi. Fittings count as their equivalent length of pipe. Above 2000 ft the flow must be "
    "that of the derated appliances at local density (IRC G2413.2).",
)


def _gas_factor(relative_density: FloatOrArray, viscosity: FloatOrArray | None) -> FloatOrArray:
    """The code's Cr; the viscosity is natural gas's below air's density and propane's above, if not given."""
    if viscosity is None:
        centipoise: FloatOrArray = np.where(np.asarray(relative_density) < 1.0, *_VISCOSITY)
    else:
        centipoise = viscosity / _CENTIPOISE
    ratio = centipoise / relative_density
    result: FloatOrArray = _FACTOR * relative_density * _RANKINE * ratio**_VISCOSITY_POWER
    return result


def _plain(result: FloatOrArray) -> FloatOrArray:
    return float(result) if np.ndim(result) == 0 else result


@calculation(
    diameter=PIPE,
    length=kinds.LENGTH,
    drop=kinds.GAUGE_PRESSURE,
    relative_density=kinds.DIMENSIONLESS,
    viscosity=kinds.VISCOSITY,
    gives=kinds.GAS_FLOW,
    notes=_LOW_PRESSURE,
)
def pipe_capacity(
    *,
    diameter: FloatOrArray,
    length: FloatOrArray,
    drop: FloatOrArray,
    relative_density: FloatOrArray = NATURAL_GAS,
    viscosity: FloatOrArray | None = None,
) -> FloatOrArray:
    """Gas that a pipe carries at a pressure drop.

    Parameters
    ----------
    diameter : nominal size of Schedule 40 pipe, or inside diameter
        "3/4" or "3/4 in" is the nominal size, "0.824 in" an inside diameter; above zero.
    length : length
        Of the pipe with its fittings; above zero.
    drop : pressure above the surrounding air
        Pressure lost along it, zero or more.
    relative_density : plain number, default 0.6
        Of the gas, air = 1; above zero.
    viscosity : dynamic viscosity, optional
        Of the gas; 12 µPa·s if it is lighter than air, 8 µPa·s if it is heavier.

    Returns
    -------
    gas flow
        In ft³/h (m³/s through ``.si``), broadcast shape.

    Raises
    ------
    InputError
        If a value is out of range.

    Notes
    -----
    ``D = Q^0.381 / (19.17 (ΔH/(Cr L))^0.206)``. Printed natural-gas tables run about 0.5 % below it; tables of older
    editions, found in many manuals, differ by up to 5 %.

    References
    ----------
    .. [1] IFGC (2018), 402.4, equation 4-1; NFPA 54, 6.4.1.
    .. [2] IRC (2018), Table G2413.4: factors of the gases.

    Examples
    --------
    >>> round(pipe_capacity(diameter="3/4 in", length="60 ft", drop="0.5 in. w.c."))
    <Quantity(137, 'cubic_feet_per_hour')>
    """
    checks.positive(diameter, "diameter", kinds.SIZE)
    checks.positive(length, "length", kinds.LENGTH)
    checks.not_negative(drop, "drop", kinds.GAUGE_PRESSURE)
    checks.positive(relative_density, "relative_density", kinds.DIMENSIONLESS)
    slope = (drop / _WATER) / (_gas_factor(relative_density, viscosity) * (length / _FOOT))
    flow = (_SCALE * (diameter / INCH) * slope**_DROP_POWER) ** (1.0 / _FLOW_POWER)
    return _plain(flow * _CUBIC_FOOT_AN_HOUR)


@calculation(
    flow=kinds.GAS_FLOW,
    diameter=PIPE,
    length=kinds.LENGTH,
    relative_density=kinds.DIMENSIONLESS,
    viscosity=kinds.VISCOSITY,
    gives=kinds.GAUGE_PRESSURE,
    notes=_LOW_PRESSURE,
)
def pipe_drop(
    *,
    flow: FloatOrArray,
    diameter: FloatOrArray,
    length: FloatOrArray,
    relative_density: FloatOrArray = NATURAL_GAS,
    viscosity: FloatOrArray | None = None,
) -> FloatOrArray:
    """Pressure that gas loses along a pipe.

    Parameters
    ----------
    flow : gas flow
        Through the pipe, zero or more.
    diameter : nominal size of Schedule 40 pipe, or inside diameter
        As for `pipe_capacity`.
    length : length
        Of the pipe with its fittings; zero or more.
    relative_density : plain number, default 0.6
        Of the gas, air = 1; above zero.
    viscosity : dynamic viscosity, optional
        Of the gas; 12 µPa·s if it is lighter than air, 8 µPa·s if it is heavier.

    Returns
    -------
    pressure above the surrounding air
        The loss, in in. w.c. (Pa through ``.si``), broadcast shape.

    Raises
    ------
    InputError
        If a value is out of range.

    Notes
    -----
    The inverse of `pipe_capacity`: the loss goes with the flow to the power 1.85.

    References
    ----------
    .. [1] IFGC (2018), 402.4, equation 4-1; NFPA 54, 6.4.1.

    Examples
    --------
    >>> round(pipe_drop(flow="138 ft³/h", diameter="3/4 in", length="60 ft"), 2)
    <Quantity(0.5, 'inch_H2O')>
    """
    checks.not_negative(flow, "flow", kinds.GAS_FLOW)
    checks.positive(diameter, "diameter", kinds.SIZE)
    checks.not_negative(length, "length", kinds.LENGTH)
    checks.positive(relative_density, "relative_density", kinds.DIMENSIONLESS)
    reduced = (flow / _CUBIC_FOOT_AN_HOUR) ** _FLOW_POWER / (_SCALE * (diameter / INCH))
    drop = _gas_factor(relative_density, viscosity) * (length / _FOOT) * reduced ** (1.0 / _DROP_POWER)
    return _plain(drop * _WATER)


@calculation(relative_density=kinds.DIMENSIONLESS, gives=kinds.DIMENSIONLESS)
def density_multiplier(*, relative_density: FloatOrArray) -> FloatOrArray:
    """Number by which the flow of a gas is multiplied to enter a table for natural gas of 0.60.

    Parameters
    ----------
    relative_density : plain number
        Of the gas, air = 1; above zero.

    Returns
    -------
    plain number
        Broadcast shape.

    Raises
    ------
    InputError
        If the density is not above zero.

    Notes
    -----
    ``√(S/0.60)``, as the older tables have it. The equation behind the present tables counts viscosity too: for
    propane `pipe_capacity` gives 7 % more than a natural-gas table with this multiplier.

    References
    ----------
    .. [1] NFPA 54, an older edition, multipliers for relative density, as reprinted in a boiler manual.

    Examples
    --------
    >>> round(density_multiplier(relative_density=1.5), 3)
    <Quantity(1.581, 'dimensionless')>
    """
    checks.positive(relative_density, "relative_density", kinds.DIMENSIONLESS)
    return _plain(np.sqrt(np.asarray(relative_density) / NATURAL_GAS))


def nominal_for(flow: float, length: float, drop: float, relative_density: float = NATURAL_GAS) -> str:
    """The smallest nominal Schedule 40 size that carries a flow (m³/s) over a length (m) within a drop (Pa).

    Returns
    -------
    str
        "1-1/4", or nothing where the largest of the table is too small.
    """
    sizes = pipes()
    capacity = np.asarray(
        pipe_capacity.si(
            diameter=np.asarray(list(sizes.values())),
            length=length,
            drop=drop,
            relative_density=relative_density,
        )
    )
    enough = np.flatnonzero(capacity >= flow)
    return list(sizes)[int(enough[0])] if enough.size else ""
