"""The chimney board's answer: areas against the rules, lift at this input, temperatures; later capacity and liner."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from hvaclib.errors import InputError
from hvaclib.physics import vent
from hvaclib.physics.flue_gas import dew_point
from hvaclib.physics.fuel import excess_air_from_co2, fuel
from hvaclib.physics.vent.capacity import rating, surplus
from hvaclib.physics.vent.chimney import Chimney, lift_surplus
from hvaclib.physics.vent.profile import Piece, Profile, profile
from hvaclib.physics.vent_connector import ConnectorLimits, connector_limits
from hvaclib.reference import figure, value

if TYPE_CHECKING:
    from hvaclib.boards.base import Inputs

FOOT, INCH = 0.3048, 0.0254
MASONRY, LINED, VENT = "masonry", "lined-masonry", "double-wall"
ABOVE_ROOF = 3.0 * FOOT  # m of an indoor chimney that stand in outdoor air: a usual roof, drawn so
LIT, START = value("chimneys", "lighting"), value("chimneys", "cold_start")
TIMES = {"5 min": START, "20 min": 1200.0, "settled": math.inf}
LINER_SHARE = value("chimneys", "liner", "share")
HEIGHTS = (10.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 60.0)


@dataclass(frozen=True, slots=True)
class ChimneyAnswer:
    """What the board knows at once, in SI.

    Attributes
    ----------
    alone : bool
        Whether the water heater is alone.
    rate : float
        W of all that burns.
    connector, flue : float
        m, diameters of circles with the area of the connectors together and of the flue.
    area, least, most, ratio : float
        m², of the flue; its limits; the flue's area over that of the water heater's outlet.
    spare : float
        Pa, lift less losses at this input in the state that the code rates a vent in.
    climb_needed, run_allowed : float
        m, of the connector.
    dew : float
        K, dew point of the gas.
    profiles : dict of str to Profile
        By time of burning.
    theoretical : float
        Pa of the flue's column after five minutes against the outdoor air.
    """

    alone: bool
    rate: float
    connector: float
    flue: float
    area: float
    least: float
    most: float
    ratio: float
    spare: float
    climb_needed: float
    run_allowed: float
    dew: float
    profiles: dict[str, Profile]
    theoretical: float

    @property
    def area_allowed(self) -> bool:
        """Whether the area lies within the rule; the code table cuts off its decimals."""
        return self.least * 0.985 <= self.area <= self.most * (1 + 1e-9)

    @property
    def carries(self) -> bool:
        """Whether the lift is enough for this input."""
        return self.spare >= 0.0

    def wet_share(self, when: str) -> float:
        """Share of the flue's height whose inner face is below the dew point, 0 to 1."""
        found = self.profiles[when]
        inside = found.piece >= 2
        wet = inside & (found.wall < self.dew)
        return float(found.climb[wet].sum() / found.climb[inside].sum())


@dataclass(frozen=True, slots=True)
class Capacities:
    """The slow part, in SI.

    Attributes
    ----------
    now : float or None
        W that the flue carries; none where it lifts nothing.
    table : float or None
        W by the code table's row on the safe side, masonry alone; none where no row was read.
    liner, liner_capacity : float or None
        m and W of the smallest stock liner that would do for the water heater alone.
    heights, flue, lined : tuple
        m; W at each height of this flue, and of the liner (empty where there is none).
    """

    now: float | None
    table: float | None
    liner: float | None
    liner_capacity: float | None
    heights: tuple[float, ...]
    flue: tuple[float, ...]
    lined: tuple[float, ...]


def circle(diameter: float) -> float:
    """Area of a circle, m²."""
    return math.pi / 4.0 * diameter**2


def width_of(area: float) -> float:
    """Diameter of the circle with this area, m."""
    return 2.0 * math.sqrt(area / math.pi)


def answer(inputs: Inputs) -> ChimneyAnswer:
    """Areas, lift and temperatures; some ten milliseconds."""
    alone = inputs.furnace == "off"
    heater, other = circle(inputs.connector), circle(inputs.furnace_connector)
    rate = inputs.heater if alone else inputs.heater + inputs.furnace_input
    connector = inputs.connector if alone else width_of(heater + other)
    area = inputs.flue_area if inputs.kind == MASONRY else circle(inputs.size)
    least, most = _limits(inputs, alone, heater, other)
    rated = rating(fan_assisted=False)
    pieces = _pieces(inputs, connector, width_of(area), rated.ambient)
    profiles = {when: profile(rated, pieces, rate * rated.mass, time) for when, time in TIMES.items()}
    gas = fuel("natural gas")
    dew = dew_point.si(
        fuel=gas, excess_air=excess_air_from_co2(gas, value("vents", "rating", "hood_carbon_dioxide"))
    )
    start = profiles["5 min"]
    mean = float(start.gas[start.piece >= 2].mean())
    limits = _connector(inputs, alone)
    return ChimneyAnswer(
        alone, rate, connector, width_of(area), area, least, most, area / heater,
        _spare(inputs, rate, connector, width_of(area)), limits.least_climb, limits.longest_run, float(dew), profiles,
        vent.theoretical_draft.si(height=inputs.height, vent_temperature=mean, outside=inputs.outdoor),
    )  # fmt: skip


def _connector(inputs: Inputs, alone: bool) -> ConnectorLimits:
    """What the rules allow the water heater's connector."""
    return connector_limits.si(
        lateral=inputs.lateral, height=inputs.height, connector_diameter=inputs.connector,
        flue="alone" if alone else "common",
    )  # fmt: skip


def _limits(inputs: Inputs, alone: bool, heater: float, other: float) -> tuple[float, float]:
    """Least and largest area by the rule that fits."""
    if not alone:
        small, large = min(heater, other), max(heater, other)
        least = large + value("chimneys", "common", "share") * small
        return least, value("chimneys", "area", "most") * small
    found = vent.chimney_area.si(connector_diameter=inputs.connector)
    return (found.least if inputs.kind == MASONRY else heater), found.most


def _pieces(inputs: Inputs, connector: float, flue: float, room: float) -> list[Piece]:
    """Connector up, connector across, flue in the house, flue in outdoor air."""
    along = min(_connector(inputs, inputs.furnace == "off").least_climb, inputs.rise)
    up, left = inputs.rise - along, inputs.height - inputs.rise
    outside = left if inputs.place == "outside" else ABOVE_ROOF
    return [
        Piece(connector, up, up, VENT, room),
        Piece(connector, inputs.lateral, along, VENT, room),
        Piece(flue, left - outside, left - outside, inputs.kind, room),
        Piece(flue, outside, outside, inputs.kind, inputs.outdoor, outdoors=True),
    ]


def _spare(inputs: Inputs, rate: float, connector: float, flue: float) -> float:
    """Lift less losses (Pa) at this input, in the state that the codes rate a vent in."""
    rated, turns = rating(fan_assisted=False), float(round(inputs.elbows))
    if inputs.kind == MASONRY:
        way = Chimney(connector, flue, inputs.height, inputs.lateral, turns, MASONRY, VENT, LIT)
        return lift_surplus(rated, way, rate)
    share = LINER_SHARE if inputs.kind == LINED else 1.0
    return surplus(
        rate / share * rated.mass, rated, diameter=min(connector, flue), height=inputs.height,
        lateral=inputs.lateral, elbows=turns, kind=VENT,
    )  # fmt: skip


def _carried(inputs: Inputs, found: ChimneyAnswer, height: float) -> tuple[float, float | None]:
    """W that this kind of flue carries at a height (0 where it lifts nothing), and the code table's row."""
    turns = round(inputs.elbows)
    try:
        if inputs.kind == MASONRY:
            told = vent.chimney_capacity.si(
                connector_diameter=found.connector, height=height, lateral=inputs.lateral, flue_area=found.area,
                elbows=turns,
            )  # fmt: skip
            return told.capacity, told.table if found.alone else None
        share = LINER_SHARE if inputs.kind == LINED else 1.0
        size = min(found.connector, found.flue)
        return share * _vent(inputs, size, height), None
    except InputError:  # it lifts nothing at any input: no capacity is the answer, and the words say so
        return 0.0, None


def _vent(inputs: Inputs, size: float, height: float) -> float:
    return float(
        vent.capacity.si(diameter=size, height=height, lateral=inputs.lateral, elbows=round(inputs.elbows))
    )


def _liner_parts(inputs: Inputs) -> Iterator[tuple[float, float] | None]:
    """The liner that `vent.left_alone` would choose and its capacity, if any, with a pause after each stock size."""
    sizes = figure("chimneys", "liner", "sizes").value
    assert isinstance(sizes, tuple)  # a list in the table
    most = vent.chimney_area.si(connector_diameter=inputs.connector).most
    for size in sorted(item * INCH for item in sizes):
        if size < inputs.connector - 1e-6 or circle(size) > most:
            continue
        carries = LINER_SHARE * _vent(inputs, size, inputs.height)
        if carries >= inputs.heater:
            yield size, carries
            return
        yield None


def capacities(inputs: Inputs, found: ChimneyAnswer) -> Iterator[Capacities | None]:
    """Capacity, liner and the curves over the height, with pauses (None)."""
    now, table = _carried(inputs, found, inputs.height)
    yield None
    liner, carries = None, None
    if inputs.kind != VENT and now > 0.0:
        for told in _liner_parts(inputs):
            if told is not None:
                liner, carries = told
            yield None
    heights = tuple(feet * FOOT for feet in HEIGHTS)
    flue, lined = [], []
    for height in heights:
        flue.append(_carried(inputs, found, height)[0])
        yield None
        if liner is not None:
            lined.append(LINER_SHARE * _vent(inputs, liner, height))
            yield None
    yield Capacities(now or None, table, liner, carries, heights, tuple(flue), tuple(lined))
