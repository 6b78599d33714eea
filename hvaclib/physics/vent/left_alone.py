"""A water heater that stays alone on the masonry flue that it shared with a furnace."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Annotated

from hvaclib.physics.vent.capacity import rating
from hvaclib.physics.vent.chimney import Chimney, outlet_temperature
from hvaclib.physics.vent.masonry import CHIMNEY_CAUTION, chimney_capacity
from hvaclib.physics.vent.rated import capacity
from hvaclib.reference import figure, load, value
from hvaclib.units import COUNT, calculation, checks, kinds

__all__ = ["LeftAlone", "left_alone"]

INCH, FOOT = 0.0254, 0.3048
_START = value("chimneys", "cold_start")


@dataclass(frozen=True, slots=True)
class LeftAlone:
    """A water heater alone on the flue that it shared with a furnace.

    Attributes
    ----------
    liner : size
        Smallest stock liner that carries this input within the code's limit of area; none where no stock size does.
    liner_capacity : capacity
        What it carries; none where there is none.
    capacity : capacity
        What the bare flue carries from the moment of lighting, cold.
    area_ratio : plain number
        Flue area over the outlet's area.
    flue_allowed : bool
        Whether the bare flue is within the code's limits of area and carries the input.
    outlet_temperature : temperature
        Of the gas at the top of the bare flue, five minutes after a cold start, indoors at 60 °F.
    """

    liner: Annotated[float | None, kinds.SIZE]
    liner_capacity: Annotated[float | None, kinds.CAPACITY]
    capacity: Annotated[float, kinds.CAPACITY]
    area_ratio: Annotated[float, kinds.DIMENSIONLESS]
    flue_allowed: bool
    outlet_temperature: Annotated[float, kinds.TEMPERATURE]


@calculation(
    input_rate=kinds.POWER,
    connector_diameter=kinds.SIZE,
    flue_area=kinds.AREA,
    height=kinds.LENGTH,
    lateral=kinds.LENGTH,
    elbows=COUNT,
    gives=LeftAlone,
    notes=(CHIMNEY_CAUTION,),
)
def left_alone(
    *,
    input_rate: float,
    connector_diameter: float,
    flue_area: float,
    height: float,
    lateral: float = 2.0 * FOOT,
    elbows: int | None = None,
) -> LeftAlone:
    """Judge the masonry flue of a draft-hood water heater whose furnace has been taken off, and find a liner.

    Parameters
    ----------
    input_rate : heat or power
        Of the water heater, above zero.
    connector_diameter : size
        Of its connector and draft hood outlet.
    flue_area : area
        Inside area of the masonry flue.
    height : length
        From the draft hood to the outlet.
    lateral : length, default 2 ft
        Horizontal run of the connector.
    elbows : int, optional
        90° elbows of the connector; two, the code tables' assumption, when left out. The entry comes on top.

    Returns
    -------
    LeftAlone
        The liner in inches (m through ``.si``).

    Raises
    ------
    InputError
        If a size is out of range, or the input is not above zero.

    Notes
    -----
    The flue may have at most seven times the outlet's area. A corrugated liner counts with 80 % of the capacity of a
    double-wall vent of its size (`capacity`), its connector as wide as itself.

    References
    ----------
    .. [1] IFGC (2018) Table 504.2(3), 504.2.10; corrugated liners: NFPA 54 13.1.7 (from memory).

    Examples
    --------
    >>> found = left_alone(
    ...     input_rate="40 kBtu/h", connector_diameter="3 in", flue_area="100 sq in", height="25 ft"
    ... )
    >>> found.flue_allowed, round(found.area_ratio, 1)
    (False, <Quantity(14.1, 'dimensionless')>)
    """
    checks.positive(input_rate, "input_rate", kinds.POWER)
    bare = chimney_capacity.si(
        connector_diameter=connector_diameter, height=height, lateral=lateral, flue_area=flue_area,
        elbows=elbows,
    )  # fmt: skip
    liner, carries = _stock_liner(input_rate, connector_diameter, height, lateral, elbows, bare.most_area)
    turns = float(load("vents")["rating"]["elbows_with_lateral"]["value"] if elbows is None else elbows)
    way = Chimney(
        connector_diameter, 2.0 * math.sqrt(flue_area / math.pi), height, lateral, turns, "masonry",
        "double-wall", _START,
    )  # fmt: skip
    enough = min(bare.capacity, math.inf if bare.table is None else bare.table) >= input_rate
    return LeftAlone(
        liner=liner,
        liner_capacity=carries,
        capacity=bare.capacity,
        area_ratio=flue_area / (math.pi / 4.0 * connector_diameter**2),
        flue_allowed=bare.area_allowed and enough,
        outlet_temperature=outlet_temperature(rating(fan_assisted=False), way, input_rate),
    )


def _stock_liner(
    rate: float, connector: float, height: float, lateral: float, elbows: int | None, most: float
) -> tuple[float | None, float | None]:
    """The smallest stock liner (m) that is no narrower than the connector and carries the input, and its capacity."""
    sizes = figure("chimneys", "liner", "sizes").value
    assert isinstance(sizes, tuple)  # a list in the table
    for size in sorted(item * INCH for item in sizes):
        if size < connector - 1e-6 or math.pi / 4.0 * size**2 > most:
            continue
        carries = value("chimneys", "liner", "share") * capacity.si(
            diameter=size, height=height, lateral=lateral, elbows=elbows
        )
        if carries >= rate:
            return size, carries
    return None, None
