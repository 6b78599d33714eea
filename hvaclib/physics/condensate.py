"""Condensate on its way to the drain: head of a line, what a pump delivers into it, the water seal of a trap."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Annotated

import numpy as np

from hvaclib.physics.air import GRAVITY
from hvaclib.physics.pipe_flow import friction_factor
from hvaclib.reference import value
from hvaclib.units import FloatOrArray, calculation, checks, kinds

__all__ = ["PumpDuty", "line_head", "pump_duty", "trap_depth"]

_DENSITY = value("condensate", "water", "density")
_VISCOSITY = value("condensate", "water", "viscosity")
_ROUGHNESS = value("condensate", "tube", "roughness")
_RESERVE = value("condensate", "pump", "reserve")
_MARGIN = value("condensate", "trap", "margin") * 0.0254
_ACID = (
    "Condensate is acid (pH 3 to 5): neutralize it where the code or the drain's material asks for it, and keep the line "
    "from freezing. A pump's overflow switch must stop the appliance: a wet floor beside live parts is a shock hazard."
)


@dataclass(frozen=True, slots=True)
class PumpDuty:
    """What a pump does in a line.

    Attributes
    ----------
    delivered : mass flow
        While the pump runs; zero where the lift is beyond it.
    head : length
        At that flow, column of water.
    running : fraction
        Of the time while the appliance condenses; above 100 % the tank overflows.
    enough : bool
        Whether it delivers at least twice the condensate.
    """

    delivered: Annotated[float, kinds.MASS_FLOW]
    head: Annotated[float, kinds.LENGTH]
    running: Annotated[float, kinds.FRACTION]
    enough: bool


def _friction(flow: FloatOrArray, length: FloatOrArray, diameter: FloatOrArray) -> FloatOrArray:
    """Column of water (m) lost along a tube, the velocity head at its end included."""
    speed = np.asarray(flow) / (_DENSITY * math.pi / 4.0 * np.asarray(diameter) ** 2)
    reynolds = speed * diameter * _DENSITY / _VISCOSITY
    factor = friction_factor(reynolds, _ROUGHNESS / np.asarray(diameter))
    loss: FloatOrArray = (factor * np.asarray(length) / diameter + 1.0) * speed**2 / (2.0 * GRAVITY)
    return loss


@calculation(
    flow=kinds.MASS_FLOW,
    lift=kinds.LENGTH,
    length=kinds.LENGTH,
    diameter=kinds.SIZE,
    gives=kinds.LENGTH,
    notes=(_ACID,),
)
def line_head(
    *, flow: FloatOrArray, lift: FloatOrArray, length: FloatOrArray, diameter: FloatOrArray
) -> FloatOrArray:
    """Head that a condensate line asks of its pump.

    Parameters
    ----------
    flow : mass flow
        Through the line while the pump runs, zero or more.
    lift : length
        From the water in the tank to the highest point of the line.
    length : length
        Of the whole line, zero or more.
    diameter : size
        Inside, above zero; tube of 3/8 in is 0.375 in inside.

    Returns
    -------
    length
        Column of water, in ft (m through ``.si``), broadcast shape.

    Raises
    ------
    InputError
        If a value is out of range.

    Notes
    -----
    Lift, friction by Darcy with Churchill's factor in a smooth tube, and one velocity head. A line that falls beyond
    its highest point is counted as if it did not help: it rarely runs full.

    References
    ----------
    .. [1] S. W. Churchill, "Friction-factor equation spans all fluid-flow regimes", Chemical Engineering 84(24), 1977.

    Examples
    --------
    >>> round(line_head(flow="200 lb/h", lift="6 ft", length="30 ft", diameter="0.375 in"), 1)
    <Quantity(6.9, 'foot')>
    """
    checks.not_negative(flow, "flow", kinds.MASS_FLOW)
    checks.not_negative(length, "length", kinds.LENGTH)
    checks.positive(diameter, "diameter", kinds.SIZE)
    head = np.asarray(lift + _friction(flow, length, diameter))
    return float(head) if head.ndim == 0 else head


@calculation(
    condensate=kinds.MASS_FLOW,
    shutoff_head=kinds.LENGTH,
    free_flow=kinds.MASS_FLOW,
    lift=kinds.LENGTH,
    length=kinds.LENGTH,
    diameter=kinds.SIZE,
    gives=PumpDuty,
    notes=(_ACID,),
)
def pump_duty(
    *, condensate: float, shutoff_head: float, free_flow: float, lift: float, length: float, diameter: float
) -> PumpDuty:
    """Flow of a condensate pump into its line, and whether it keeps up.

    Parameters
    ----------
    condensate : mass flow
        Of the appliance, zero or more.
    shutoff_head : length
        Greatest lift on the pump's plate, at which nothing flows; above zero.
    free_flow : mass flow
        At no head, on the plate; above zero.
    lift : length
        From the water in the tank to the highest point of the line, zero or more.
    length : length
        Of the whole line, zero or more.
    diameter : size
        Inside, above zero.

    Returns
    -------
    PumpDuty
        In lb/h and ft (kg/s and m through ``.si``).

    Raises
    ------
    InputError
        If a value is out of range.

    Notes
    -----
    The pump's curve is taken as a straight line between the two figures of its plate, which lies below the true curve
    of a small centrifugal pump. Enough is twice the condensate (common practice, no source).

    References
    ----------
    .. [1] S. W. Churchill, "Friction-factor equation spans all fluid-flow regimes", Chemical Engineering 84(24), 1977.

    Examples
    --------
    >>> duty = pump_duty(condensate="8 lb/h", shutoff_head="15 ft", free_flow="660 lb/h", lift="6 ft",
    ...     length="30 ft", diameter="0.375 in")
    >>> duty.enough, round(duty.delivered)
    (True, <Quantity(313, 'pound / hour')>)
    """
    checks.not_negative(condensate, "condensate", kinds.MASS_FLOW)
    checks.positive(shutoff_head, "shutoff_head", kinds.LENGTH)
    checks.positive(free_flow, "free_flow", kinds.MASS_FLOW)
    checks.not_negative(lift, "lift", kinds.LENGTH)
    checks.not_negative(length, "length", kinds.LENGTH)
    checks.positive(diameter, "diameter", kinds.SIZE)
    if lift >= shutoff_head:
        return PumpDuty(0.0, lift, math.inf if condensate > 0 else 0.0, condensate == 0)
    low, high = 0.0, free_flow
    for _ in range(60):  # halving: the pump falls and the line rises with the flow, so there is one crossing
        flow = 0.5 * (low + high)
        surplus = shutoff_head * (1.0 - flow / free_flow) - lift - float(_friction(flow, length, diameter))
        low, high = (flow, high) if surplus > 0 else (low, flow)
    flow = 0.5 * (low + high)
    head = shutoff_head * (1.0 - flow / free_flow)
    return PumpDuty(flow, head, condensate / flow, flow >= _RESERVE * condensate)


@calculation(pressure=kinds.GAUGE_PRESSURE, margin=kinds.SIZE, gives=kinds.SIZE, notes=(_ACID,))
def trap_depth(*, pressure: FloatOrArray, margin: FloatOrArray = _MARGIN) -> FloatOrArray:
    """Water seal that a condensate trap needs against the pressure in its cabinet.

    Parameters
    ----------
    pressure : pressure above the surrounding air
        Where the trap is connected; below zero on the suction side of a fan.
    margin : size, default 1 in
        Of seal beyond that pressure, zero or more.

    Returns
    -------
    size
        In in (m through ``.si``), broadcast shape.

    Raises
    ------
    InputError
        If the margin is negative.

    Notes
    -----
    A column of water that balances the pressure, and a margin (common practice, no source). The maker's trap for the
    appliance comes before it.

    References
    ----------
    .. [1] Hydrostatics: p = ρ g h.

    Examples
    --------
    >>> round(trap_depth(pressure="-0.5 in. w.c."), 2)
    <Quantity(1.5, 'inch')>
    """
    checks.not_negative(margin, "margin", kinds.SIZE)
    depth = np.asarray(np.abs(pressure) / (_DENSITY * GRAVITY) + margin)
    return float(depth) if depth.ndim == 0 else depth
