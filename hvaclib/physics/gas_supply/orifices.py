"""Burner orifices: flow, the drill for a rate, the manifold pressure for another rate."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Annotated

import numpy as np

from hvaclib.errors import InputError
from hvaclib.physics.gas_supply.arguments import INCH, ORIFICE, RATE, VolumeRate, drills
from hvaclib.reference import value
from hvaclib.units import FloatOrArray, calculation, checks, kinds

__all__ = ["OrificeSize", "manifold_for", "orifice_flow", "orifice_size"]

NATURAL_GAS = value("gas_supply", "relative_density", "natural_gas")
_COEFFICIENT = value("gas_supply", "orifice", "coefficient")
_WATER = 249.08891  # Pa for an inch of water column, as in the unit table
#: m³/s for 1 m² at 1 Pa and relative density 1.
_CONSTANT = (
    value("gas_supply", "orifice", "constant") * (12 * INCH) ** 3 / 3600.0 / INCH**2 / math.sqrt(_WATER)
)
LICENSED = (
    "Orifices and manifold pressure are changed by a licensed technician, by the manufacturer's instructions."
)


@dataclass(frozen=True, slots=True)
class OrificeSize:
    """The orifice for a rate.

    Attributes
    ----------
    diameter : size
        That passes exactly the rate.
    flow : gas flow
        Wanted through one orifice.
    drill : str
        Largest number drill that does not pass more.
    drill_flow : gas flow
        What it passes.
    next_drill : str
        The next larger one, which passes more; empty where there is none.
    next_flow : gas flow
        What that passes.
    """

    diameter: Annotated[float, kinds.SIZE]
    flow: Annotated[float, kinds.GAS_FLOW]
    drill: str
    drill_flow: Annotated[float, kinds.GAS_FLOW]
    next_drill: str
    next_flow: Annotated[float, kinds.GAS_FLOW]


def _per_area(pressure: FloatOrArray, density: FloatOrArray, coefficient: FloatOrArray) -> FloatOrArray:
    """Volume flow through a unit of area, m/s."""
    result: FloatOrArray = _CONSTANT * coefficient * np.sqrt(pressure / density)
    return result


@calculation(
    diameter=ORIFICE,
    manifold_pressure=kinds.GAUGE_PRESSURE,
    relative_density=kinds.DIMENSIONLESS,
    coefficient=kinds.DIMENSIONLESS,
    gives=kinds.GAS_FLOW,
)
def orifice_flow(
    *,
    diameter: FloatOrArray,
    manifold_pressure: FloatOrArray,
    relative_density: FloatOrArray = NATURAL_GAS,
    coefficient: FloatOrArray = _COEFFICIENT,
) -> FloatOrArray:
    """Gas that a burner orifice passes.

    Parameters
    ----------
    diameter : size, or a drill number
        "0.076 in", or "#48"; above zero.
    manifold_pressure : pressure above the surrounding air
        Before the orifice, zero or more.
    relative_density : plain number, default 0.6
        Of the gas, air = 1; 0.60 is the natural gas of the tables, propane gas is 1.50 to 1.52. Above zero.
    coefficient : plain number, default 0.9
        Discharge coefficient; 0.90 is a drilled spud, 0.60 a thin sharp edge. 0.1 to 1.

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
    ``1658.5 A Cd √(h/g)`` in ft³/h, in², in. w.c.; a magazine column rounds the constant to 1660. The printed NFPA 54
    Table E.1.1(a) lies up to 5 % above it for drills smaller than #76.

    References
    ----------
    .. [1] Orifice-flow formula sheet of an industrial burner handbook.
    .. [2] Block E: Fuel Gas Systems (BCcampus, 2023), Appendix 2, orifice table.

    Examples
    --------
    >>> round(orifice_flow(diameter="#48", manifold_pressure="3.5 in. w.c."), 2)
    <Quantity(16.35, 'cubic_feet_per_hour')>
    """
    checks.positive(diameter, "diameter", kinds.SIZE)
    checks.not_negative(manifold_pressure, "manifold_pressure", kinds.GAUGE_PRESSURE)
    checks.positive(relative_density, "relative_density", kinds.DIMENSIONLESS)
    checks.within(coefficient, 0.1, 1.0, "coefficient", kinds.DIMENSIONLESS)
    return math.pi / 4.0 * diameter**2 * _per_area(manifold_pressure, relative_density, coefficient)


@calculation(
    input_rate=kinds.POWER,
    heating_value=kinds.HEATING_VALUE,
    manifold_pressure=kinds.GAUGE_PRESSURE,
    relative_density=kinds.DIMENSIONLESS,
    coefficient=kinds.DIMENSIONLESS,
    gives=OrificeSize,
    notes=(LICENSED,),
)
def orifice_size(
    *,
    input_rate: float,
    heating_value: float,
    manifold_pressure: float,
    relative_density: float = NATURAL_GAS,
    coefficient: float = _COEFFICIENT,
) -> OrificeSize:
    """Orifice for a rate through one burner, as a number drill.

    Parameters
    ----------
    input_rate : heat or power
        Of one burner, above zero.
    heating_value : heating value of a gas volume
        Of the local gas, above zero.
    manifold_pressure : pressure above the surrounding air
        Before the orifice, above zero.
    relative_density : plain number, default 0.6
        Of the gas, air = 1; above zero.
    coefficient : plain number, default 0.9
        Discharge coefficient, 0.1 to 1.

    Returns
    -------
    OrificeSize
        Exact diameter in in (m through ``.si``), the drill that does not overfire, and the next larger one.

    Raises
    ------
    InputError
        If a value is out of range, or the rate needs an orifice that no number drill makes.

    References
    ----------
    .. [1] Orifice-flow formula sheet of an industrial burner handbook.
    .. [2] Furnace instructions quoting NFPA 54, Tables E.1.1(a) and E.1.1(d): selection of the drill from the rate.

    Examples
    --------
    >>> size = orifice_size(input_rate="14000 Btu/h", heating_value="900 Btu/ft³", manifold_pressure="3.5 in. w.c.")
    >>> size.drill, size.next_drill
    ('#49', '#48')
    """
    checks.positive(input_rate, "input_rate", kinds.POWER)
    checks.positive(heating_value, "heating_value", kinds.HEATING_VALUE)
    checks.positive(manifold_pressure, "manifold_pressure", kinds.GAUGE_PRESSURE)
    checks.positive(relative_density, "relative_density", kinds.DIMENSIONLESS)
    checks.within(coefficient, 0.1, 1.0, "coefficient", kinds.DIMENSIONLESS)
    flow = input_rate / heating_value
    per_area = float(_per_area(manifold_pressure, relative_density, coefficient))
    diameter = math.sqrt(4.0 * flow / (math.pi * per_area))
    fitting = [number for number, size in drills().items() if size <= diameter * (1.0 + 1e-9)]
    if not fitting or diameter > 1.05 * drills()[1]:
        given = f"{diameter / INCH:.4f} in"
        raise InputError("no number drill makes this orifice", where="input_rate", given=given,
                         expected="a rate for one burner whose orifice is 0.0135 to 0.228 in")  # fmt: skip
    drill = min(fitting)

    def passes(number: int) -> float:
        return math.pi / 4.0 * drills()[number] ** 2 * per_area

    following = (f"#{drill - 1}", passes(drill - 1)) if drill > 1 else ("", math.nan)
    return OrificeSize(diameter, flow, f"#{drill}", passes(drill), *following)


@calculation(
    present_pressure=kinds.GAUGE_PRESSURE,
    present_rate=RATE,
    wanted_rate=RATE,
    gives=kinds.GAUGE_PRESSURE,
    notes=(
        "Only within the range that the manufacturer allows (commonly 0.3 in. w.c. either way for natural gas): a larger "
        "change means the orifice or the supply pressure is wrong, and the manifold is not the remedy "
        "(gas_supply.firing_correction judges it).",
        LICENSED,
    ),
)
def manifold_for(
    *, present_pressure: FloatOrArray, present_rate: FloatOrArray, wanted_rate: FloatOrArray
) -> FloatOrArray:
    """Manifold pressure at which the same orifices would pass another rate.

    Parameters
    ----------
    present_pressure : pressure above the surrounding air
        Manifold pressure now, above zero.
    present_rate : heat or gas volume in time
        Rate clocked at that pressure, above zero.
    wanted_rate : heat or gas volume in time
        Rate wanted, in the same way; zero or more.

    Returns
    -------
    pressure above the surrounding air
        In in. w.c. (Pa through ``.si``), broadcast shape.

    Raises
    ------
    InputError
        If a value is out of range, or one rate is heat and the other volume.

    Notes
    -----
    The flow of an orifice goes with the square root of the pressure: ``h₂ = h₁ (Q₂/Q₁)²``.

    References
    ----------
    .. [1] Orifice-flow formula sheet of an industrial burner handbook.

    Examples
    --------
    >>> round(manifold_for(present_pressure="3.5 in. w.c.", present_rate="84 ft³/h", wanted_rate="80 ft³/h"), 2)
    <Quantity(3.17, 'inch_H2O')>
    """
    checks.positive(present_pressure, "present_pressure", kinds.GAUGE_PRESSURE)
    checks.positive(present_rate, "present_rate", kinds.POWER)
    checks.not_negative(wanted_rate, "wanted_rate", kinds.POWER)
    if isinstance(present_rate, VolumeRate) != isinstance(wanted_rate, VolumeRate):
        raise InputError("one rate is heat and the other gas volume", where="wanted_rate",
                         expected="both in Btu/h, or both in ft³/h")  # fmt: skip
    return present_pressure * (wanted_rate / present_rate) ** 2
