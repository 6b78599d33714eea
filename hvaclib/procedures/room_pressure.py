"""Pressure of every room behind its closed door: winter set-up, air handler on, doors shut one by one and together."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from hvaclib.errors import InputError
from hvaclib.house.dwelling import OUTDOORS, Dwelling
from hvaclib.house.relief import steady_with_relief
from hvaclib.house.rooms import Room, rooms
from hvaclib.house.setup import Setup, Switches
from hvaclib.house.state import State, reading_heights
from hvaclib.physics import air
from hvaclib.physics.air import GRAVITY
from hvaclib.readings import Reading, Readings

__all__ = [
    "ALL", "ALL_SHUT", "ALONE", "RoomPressures", "across_door", "pressure_at", "room_pressures", "room_readings",
    "winter_setup", "with_doors",
]  # fmt: skip

FloatArray = NDArray[np.float64]
ALONE = "this door alone shut"
ALL_SHUT = "all inner doors shut"
ALL = 1
"""Scenario of `RoomPressures.state` with all inner doors shut."""


@dataclass(frozen=True, slots=True)
class RoomPressures:
    """What the manometer shows at each door.

    Attributes
    ----------
    rooms : tuple of Room
        R rooms.
    setup : Setup
        Winter set-up, every inner door shut.
    alone, together : ndarray, shape (R,)
        Pa of each room against the other side of its door, with that door alone shut and with all of them shut.
    state : State
        Scenario 0 with all inner doors open, 1 (`ALL`) with all shut, 2 + r with the door of room r alone shut,
        2 + R + r with it alone open.
    readings : Readings
        The same as readings of ``room_pressure``.
    """

    dwelling: Dwelling
    rooms: tuple[Room, ...]
    setup: Setup
    alone: FloatArray
    together: FloatArray
    state: State
    readings: Readings

    def pressure(self, room: Room) -> float:
        """Pa across the door of a room, all inner doors shut."""
        return float(self.together[self.rooms.index(room)])

    def opened(self, room: Room) -> int:
        """Scenario of the state in which the room's door alone is open."""
        return 2 + len(self.rooms) + self.rooms.index(room)


def winter_setup(dwelling: Dwelling, weather: Setup | None = None) -> Setup:
    """Return the winter set-up: windows and outer doors shut, fans off, burners off, air handler on, inner doors shut.

    Parameters
    ----------
    dwelling : Dwelling
        What is there.
    weather : Setup, optional
        Where the weather comes from; the file's by default.

    Raises
    ------
    InputError
        If there is no air handler: then no duct blows a room up.
    """
    here = dwelling.default_setup() if weather is None else weather
    if here.air_handler is None:
        raise InputError(
            "there is no air handler, so no duct air moves into or out of a room",
            where=dwelling.name,
            expected="an [air_handler] table in the dwelling file",
        )
    if dwelling.air_handler is not None and dwelling.air_handler.flow <= 0.0:
        raise InputError("the air handler moves no air", where=dwelling.name, given="0 cfm")
    return Setup(
        outdoor_temperature=here.outdoor_temperature,
        wind_speed=here.wind_speed,
        wind_direction=here.wind_direction,
        fans=Switches(dict.fromkeys(here.fans, 0.0)),
        doors=Switches(dict.fromkeys(here.doors, False)),
        windows=Switches(dict.fromkeys(here.windows, False)),
        air_handler=True,
        firing=Switches(dict.fromkeys(here.firing, False)),
    )


def with_doors(dwelling: Dwelling, setup: Setup, shut: tuple[str, ...] | None) -> Setup:
    """Return the set-up with these inner doors shut and the others open; all shut where None is given."""
    for door in dwelling.doors:
        if not door.outer:
            setup = setup.with_door(door.name, open=shut is not None and door.name not in shut)
    return setup


def room_pressures(
    dwelling: Dwelling,
    weather: Setup | None = None,
    relief: Mapping[str, float] | None = None,
    moved: Mapping[str, float] | None = None,
) -> RoomPressures:
    """Read every room behind its closed door.

    Parameters
    ----------
    dwelling : Dwelling
        What is there.
    weather : Setup, optional
        Where the weather comes from; the file's by default. Fans, doors, windows and burners are set by the test.
    relief : mapping of str to float, optional
        Door to free area added to it, m².
    moved : mapping of str to float, optional
        Zone to duct air blown in beyond what the file says, m³/s.

    Returns
    -------
    RoomPressures

    Raises
    ------
    InputError
        If there is no inner door or no air handler.

    Notes
    -----
    All set-ups are solved in one call. A room with several doors has all of them shut. The hose goes under the door:
    the reading is the difference of the two sides at the door's sill.

    References
    ----------
    Common practice, no source: windows and outer doors shut, exhausts off, air handler on, each door in turn.
    """
    found = rooms(dwelling)
    shut = winter_setup(dwelling, weather)
    setups = [
        with_doors(dwelling, shut, ()),
        shut,
        *(with_doors(dwelling, shut, room.doors) for room in found),
        *(shut.with_door(room.door, open=True) for room in found),
    ]
    count = len(setups)
    state = steady_with_relief(
        dwelling,
        setups,
        {door: np.full(count, area) for door, area in (relief or {}).items()},
        {zone: np.full(count, flow) for zone, flow in (moved or {}).items()},
    )
    across = np.array([across_door(state, room) for room in found])
    alone = np.array([across[row, 2 + row] for row in range(len(found))])
    together = across[:, ALL]
    return RoomPressures(dwelling, found, shut, alone, together, state, room_readings(found, alone, together))


def room_readings(found: tuple[Room, ...], alone: FloatArray, together: FloatArray) -> Readings:
    """Return readings of ``room_pressure``: each room with its door alone shut, and with all shut."""
    readings = []
    for row, room in enumerate(found):
        readings.append(Reading("room_pressure", float(alone[row]), room.zone, ALONE))
        readings.append(Reading("room_pressure", float(together[row]), room.zone, ALL_SHUT))
    return Readings(readings)


def across_door(state: State, room: Room) -> FloatArray:
    """Return the pressure (Pa) of a room against the other side of its door, at the door's sill, shape (S,)."""
    dwelling = state.dwelling
    door = dwelling.part("doors", room.door)
    sill = max(dwelling.zone(name).floor for name in door.between) + door.sill
    return pressure_at(state, room.zone, sill) - pressure_at(state, room.reference, sill)


def pressure_at(state: State, zone: str, height: float) -> FloatArray:
    """Return the pressure (Pa) of a zone against outdoors at a height above outdoor ground, m, shape (S,)."""
    if zone == OUTDOORS:
        return np.zeros(len(state.setups))
    dwelling = state.dwelling
    row = dwelling.zone_names.index(zone)
    outdoor = np.array([setup.outdoor_temperature for setup in state.setups])
    inside = dwelling.zone(zone).temperature
    columns = [
        air.density.si(temperature=t, altitude=dwelling.site.altitude)
        for t in (outdoor, outdoor if inside is None else np.full_like(outdoor, inside))
    ]
    climb = height - reading_heights(dwelling)[row]
    found: FloatArray = state.zone_pressure[row] + GRAVITY * climb * (columns[0] - columns[1])
    return found
