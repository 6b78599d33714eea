"""Where fan and duct system meet, as a calculation that people ask for by name."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from hvaclib.physics.air_delivery.arguments import FAN, SYSTEM
from hvaclib.physics.air_delivery.fan import ConstantAirflow, Fan
from hvaclib.physics.air_delivery.system import Component, coefficients_of, operating_point_si
from hvaclib.units import calculation, kinds, list_of

__all__ = ["OperatingPoint", "operating_point"]


@dataclass(frozen=True, slots=True)
class OperatingPoint:
    """Airflow and static pressure at which the fan's curve and the duct system's curve cross.

    Parameters
    ----------
    airflow : float
        m³/s.
    static : float
        Pa, total external static pressure.
    losses : tuple of float
        Pa, of each component in the order given.
    notes : tuple of str
        Whether the point lies beyond what the fan's table says.
    """

    airflow: Annotated[float, kinds.VOLUME_FLOW]
    static: Annotated[float, kinds.GAUGE_PRESSURE]
    losses: Annotated[tuple[float, ...], list_of(kinds.GAUGE_PRESSURE)]
    notes: tuple[str, ...] = ()


@calculation(fan=FAN, system=SYSTEM, gives=OperatingPoint)
def operating_point(*, fan: Fan, system: tuple[Component, ...]) -> OperatingPoint:
    """Airflow and external static pressure of a furnace: where fan and duct system meet.

    Parameters
    ----------
    fan : fan
        Rows of external static pressure and airflow of the speed tap in use, as text or pairs; or a constant airflow
        and the static pressure up to which it is held. Through ``.si`` a `FanTable` or a `ConstantAirflow`.
    system : losses
        Each component outside the furnace with its loss at a flow and, where known, the exponent of its law (by its
        name otherwise: filter 1.4, coil 1.8, ducts 1.9, anything else 2). Through ``.si`` a tuple of `Component`.

    Returns
    -------
    OperatingPoint
        Airflow, static pressure and the loss of each component.

    Raises
    ------
    InputError
        If the fan's flow does not fall with static pressure, or a loss is negative or its exponent not 1 to 2.

    Notes
    -----
    Straight lines between the rows of the table, continued beyond its ends; a note says when the point lies there.
    What the fan's table counts as inside the furnace (often the filter, sometimes a coil) does not belong to `system`.

    References
    ----------
    .. [1] ASHRAE Handbook - HVAC Systems and Equipment, chapter on fans, system and fan curves.

    Examples
    --------
    >>> point = operating_point(
    ...     fan="0.1 in. w.c.: 1250 cfm, 0.5 in. w.c.: 1000 cfm",
    ...     system="filter 0.12 in. w.c. at 1000 cfm exponent 1.6, ducts 0.2 in. w.c. at 1000 cfm exponent 2",
    ... )
    >>> round(point.airflow)
    <Quantity(1081, 'cubic_feet_per_minute')>
    """
    flow, static = (float(item[0]) for item in operating_point_si(fan, *coefficients_of(system)))
    notes: tuple[str, ...] = ()
    if not bool(fan.covers(static)):
        notes = (
            "The static pressure is beyond the limit up to which this fan holds its flow: the flow has begun to fall."
            if isinstance(fan, ConstantAirflow)
            else "The point lies beyond the rows of the fan table; the curve was continued in a straight line, so "
            "ask for more rows before relying on it.",
        )
    return OperatingPoint(
        airflow=flow,
        static=static,
        losses=tuple(float(item.loss_at(flow)) for item in system),
        notes=notes,
    )
