"""Calculations about a masonry chimney: its capacity, and the code's limits of its area."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Annotated

from hvaclib.errors import InputError
from hvaclib.physics.vent.capacity import rating
from hvaclib.physics.vent.chimney import Chimney, largest_chimney_input
from hvaclib.reference import load, rows, value
from hvaclib.units import COUNT, calculation, checks, choice, kinds

__all__ = ["CHIMNEY_CAUTION", "ChimneyArea", "ChimneyCapacity", "chimney_area", "chimney_capacity"]

INCH, FOOT, KBTUH = 0.0254, 0.3048, 1055.05585262 / 3.6
KINDS = ("masonry", "lined-masonry")
_LIT = value("chimneys", "lighting")
CHIMNEY_CAUTION = (
    "The physics lies within about 11 % of the code's table for masonry chimneys, more often above it than below: size by "
    "the adopted code's table and the manufacturer's instructions. A cold, oversized or cracked flue spills "
    "carbon monoxide and rots; have the chimney inspected before anything is vented into it. Roofs and ladders: not alone."
)


@dataclass(frozen=True, slots=True)
class ChimneyArea:
    """Limits of the flue's area for one appliance.

    Attributes
    ----------
    least : area
        The code table's minimum internal area for the connector.
    most : area
        Seven times the outlet's area.
    """

    least: Annotated[float, kinds.AREA]
    most: Annotated[float, kinds.AREA]


@dataclass(frozen=True, slots=True)
class ChimneyCapacity:
    """What a masonry chimney carries.

    Attributes
    ----------
    capacity : capacity
        Largest input whose gas the chimney lifts from the moment of lighting, flue and connector cold.
    table : capacity
        The code table's row for this connector that is on the safe side (no taller, lateral no shorter); none where no
        row was read.
    flue_area, least_area, most_area : area
        Of the flue, and the code's limits for it.
    area_allowed : bool
        Whether the flue lies within them.
    """

    capacity: Annotated[float, kinds.CAPACITY]
    table: Annotated[float | None, kinds.CAPACITY]
    flue_area: Annotated[float, kinds.AREA]
    least_area: Annotated[float, kinds.AREA]
    most_area: Annotated[float, kinds.AREA]
    area_allowed: bool


@calculation(connector_diameter=kinds.SIZE, gives=ChimneyArea, notes=(CHIMNEY_CAUTION,))
def chimney_area(*, connector_diameter: float) -> ChimneyArea:
    """Least and largest area of a masonry flue that serves one draft-hood appliance.

    Parameters
    ----------
    connector_diameter : size
        Of connector and draft hood outlet, above zero.

    Returns
    -------
    ChimneyArea
        In sq in (m² through ``.si``).

    Raises
    ------
    InputError
        If the diameter is not above zero.

    Notes
    -----
    The table's least areas are circles one inch wider than the connector, its decimals cut off. The largest is seven
    times the area of the draft hood outlet or flue collar.

    References
    ----------
    .. [1] IFGC (2018) Table 504.2(3), minimum and maximum internal area of chimney; 504.2.10.

    Examples
    --------
    >>> round(chimney_area(connector_diameter="5 in").most, 1)
    <Quantity(137.4, 'inch ** 2')>
    """
    checks.positive(connector_diameter, "connector_diameter", kinds.SIZE)
    step = value("chimneys", "area", "step") * INCH
    circle = math.pi / 4.0 * connector_diameter**2
    return ChimneyArea(
        math.pi / 4.0 * (connector_diameter + step) ** 2, value("chimneys", "area", "most") * circle
    )


def _table_row(connector: float, height: float, lateral: float) -> float | None:
    """The largest row (W) of the code's table that is on the safe side of a chimney, or none."""
    safe = [
        float(row["natural_kbtuh"]) * KBTUH
        for row in rows("chimney_capacity")
        if row["edition"] == "2018"
        and abs(float(row["connector_in"]) * INCH - connector) < 1e-4
        and float(row["height_ft"]) * FOOT <= height + 1e-6
        and float(row["lateral_ft"]) * FOOT >= lateral - 1e-6
    ]
    return max(safe, default=None)


@calculation(
    connector_diameter=kinds.SIZE,
    height=kinds.LENGTH,
    lateral=kinds.LENGTH,
    flue_area=kinds.AREA,
    kind=choice(*KINDS),
    elbows=COUNT,
    time=kinds.TIME,
    altitude=kinds.LENGTH,
    gives=ChimneyCapacity,
    notes=(CHIMNEY_CAUTION,),
)
def chimney_capacity(
    *,
    connector_diameter: float,
    height: float,
    lateral: float = 2.0 * FOOT,
    flue_area: float | None = None,
    kind: str = "masonry",
    elbows: int | None = None,
    time: float = _LIT,
    altitude: float = 0.0,
) -> ChimneyCapacity:
    """Largest input of one draft-hood appliance that a masonry chimney with a double-wall connector carries.

    Parameters
    ----------
    connector_diameter : size
        Inside diameter of the double-wall connector.
    height : length
        From the draft hood to the outlet.
    lateral : length, default 2 ft
        Horizontal run of the connector.
    flue_area : area, optional
        Inside area of flue or liner; the code's least for the connector when left out.
    kind : {"masonry", "lined-masonry"}, default "masonry"
        A clay-lined masonry flue indoors, or a metal liner inside one.
    elbows : int, optional
        90° elbows of the connector; two, the code tables' assumption, when left out. The entry comes on top.
    time : time, default 0 s
        Burning since the cold start; at 0 flue and connector are as cold as their surroundings.
    altitude : length, default 0 ft
        Above sea level.

    Returns
    -------
    ChimneyCapacity
        The capacity in kBtu/h, by gross heating value of natural gas.

    Raises
    ------
    InputError
        If a size is out of range, or the chimney lifts nothing.

    Notes
    -----
    The model of `capacity`, with the same coefficients, which the draft board shares: gas, hood, elbows, tee, cap,
    walls. A masonry flue differs by what it is: a square tile (more wall for its area), the friction of a refractory
    liner, and the sudden enlargement from connector to flue (Borda-Carnot) on top of the tee. The chimney is rated at
    lighting, when connector and flue are as cold as their surroundings, because a clay liner takes the better part of
    an hour to warm; no document was found that says in which state the code's table was computed, and this state was
    chosen after comparing with it, so that the agreement is no independent check. Mean (mean absolute, worst) error
    against 32 rows of the code's table (30 and 50 ft, least area): +3 % (5 %, -10 %); against 20 rows of an early-1990s
    edition (6 to 20 ft): +5 % (5 %, +11 %). Five minutes after lighting it is +20 % (+40 %), with a settled, warm flue
    +45 % (+74 %). A larger flue comes out with more capacity, which the table does not grant.

    References
    ----------
    .. [1] IFGC (2018) Table 504.2(3) (checked against).
    .. [2] ASHRAE Handbook, HVAC Systems and Equipment (2016), chimney chapter (method and coefficients).
    .. [3] EN 13384-1:2015 (roughness, walls).

    Examples
    --------
    >>> found = chimney_capacity(connector_diameter="6 in", height="30 ft", lateral="2 ft")
    >>> found.table, found.area_allowed
    (<Quantity(216.0, 'kilobritish_thermal_unit / hour')>, True)
    """
    for name, given, least, most in (
        ("connector_diameter", connector_diameter, 0.05, 0.6), ("height", height, 0.5, 60.0),
        ("lateral", lateral, 0.0, 30.0),
    ):  # fmt: skip
        checks.within(given, least, most, name, kinds.SIZE if name == "connector_diameter" else kinds.LENGTH)
    checks.not_negative(time, "time", kinds.TIME)
    area = chimney_area.si(connector_diameter=connector_diameter)
    flue = area.least if flue_area is None else flue_area
    checks.within(flue, 0.002, 1.0, "flue_area", kinds.AREA)
    turns = (
        float(load("vents")["rating"]["elbows_with_lateral"]["value"]) if elbows is None else float(elbows)
    )
    way = Chimney(
        connector_diameter, 2.0 * math.sqrt(flue / math.pi), height, lateral, turns, kind, "double-wall", time
    )
    found = largest_chimney_input(rating(fan_assisted=False), way, altitude)
    if found <= 0.0:
        raise InputError(
            "this chimney cools the gas so far that it lifts nothing at any input", where="chimney",
            given=f"{lateral:.1f} m of lateral below {height:.1f} m of height", expected="a shorter lateral or a liner",
        )  # fmt: skip
    return ChimneyCapacity(
        capacity=found,
        table=_table_row(connector_diameter, height, lateral),
        flue_area=flue,
        least_area=area.least,
        most_area=area.most,
        area_allowed=area.least * 0.985
        <= flue
        <= area.most * (1.0 + 1e-9),  # the table cuts off its decimals
    )
