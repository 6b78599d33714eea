"""Relieving one room: the area by calculation and by the door-crack method, the remedy as built, and the retest."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from hvaclib.errors import InputError
from hvaclib.house.dwelling import Dwelling
from hvaclib.house.relief import steady_with_relief
from hvaclib.house.rooms import Room
from hvaclib.house.setup import Setup
from hvaclib.physics.openings import orifice_flow
from hvaclib.physics.room_pressure import TransferPath, door_crack_area, relief_area, transfer_path
from hvaclib.procedures.room_pressure import ALL, RoomPressures, across_door
from hvaclib.procedures.room_walls import through_walls
from hvaclib.reference import value

__all__ = [
    "Relief", "door_area", "gap_for_area", "gap_pressures", "measured_gap", "needed_area", "net_flow",
    "net_flow_of_reading", "relieve",
]  # fmt: skip

FloatArray = NDArray[np.float64]


def net_flow(dwelling: Dwelling, zone: str, moved: float = 0.0) -> float:
    """Return supply less return of a zone, duct leaks included, m³/s; `moved` is what the ducts blow in beyond the file."""
    handler = dwelling.air_handler
    if handler is None:
        return moved
    sides = (
        (1.0, (*handler.supplies, *handler.supply_leakage)),
        (-1.0, (*handler.returns, *handler.return_leakage)),
    )
    net = 0.0
    for sign, items in sides:
        whole = sum(item.share for item in items)
        net += sign * sum(item.share for item in items if item.zone == zone) / whole if whole else 0.0
    return handler.flow * net + moved


def door_area(dwelling: Dwelling, room: Room, undercut: float | None = None) -> float:
    """Return the free area of the room's doors as they are when shut, m²; with another undercut of the first."""
    total = 0.0
    for name in room.doors:
        door = dwelling.part("doors", name)
        gap = undercut if undercut is not None and name == room.door else door.undercut
        total += door.crack_area + gap * door.width
    return total


def needed_area(found: RoomPressures, room: Room, limit: float, net: float) -> float:
    """Return the free area (m²) in all, door included, that holds a room within ±limit (Pa), by calculation.

    Parameters
    ----------
    found : RoomPressures
        The house as found.
    room : Room
        Which room.
    limit : float
        Pa, above zero.
    net : float
        Supply less return, m³/s; see `net_flow`.

    Returns
    -------
    float
        Zero where the room's own leaks hold it within the limit.

    Raises
    ------
    InputError
        If the limit is not above zero.

    Notes
    -----
    All inner doors shut. What goes up the vents of the room is taken from the house as found.
    """
    if limit <= 0.0:
        raise InputError(
            "the limit leaves a room no pressure at all",
            where="limit",
            given=f"{limit:g} Pa",
            expected="a pressure above zero",
        )
    way = -1.0 if found.pressure(room) < 0.0 else 1.0
    left = net - through_walls(found.state, room, way * limit, ALL, found.opened(room))
    if way * left <= 0.0:
        return 0.0
    return float(relief_area.si(net_flow=left, limit=limit))


def net_flow_of_reading(found: RoomPressures, room: Room, reading: float, area: float) -> float:
    """Return supply less return (m³/s) from a reading at the door, Pa, all doors shut, and the shut door's free area, m²."""
    door = float(orifice_flow.si(area=area, pressure_difference=reading))
    return door + through_walls(found.state, room, reading, ALL, found.opened(room))


def gap_pressures(
    dwelling: Dwelling,
    setup: Setup,
    room: Room,
    gaps: FloatArray,
    base: Mapping[str, float] | None = None,
    moved: Mapping[str, float] | None = None,
) -> FloatArray:
    """Return the room's pressure (Pa) with its door ajar by each gap (m), one batch, shape (S,).

    Parameters
    ----------
    dwelling, setup, room
        As found; the door must be shut in the set-up.
    gaps : ndarray, shape (S,)
        m, at the latch side.
    base, moved : mapping, optional
        Other doors' relief, m², and duct air, m³/s, as in `room_pressures`.

    Raises
    ------
    InputError
        If a gap is larger than the door.
    """
    door = dwelling.part("doors", room.door)
    count = gaps.size
    relief = {name: np.full(count, area) for name, area in (base or {}).items()}
    opened = door_crack_area.si(gap=gaps, door_width=door.width, door_height=door.height)
    relief[room.door] = relief.get(room.door, np.zeros(count)) + opened
    state = steady_with_relief(
        dwelling, [setup] * count, relief, {z: np.full(count, f) for z, f in (moved or {}).items()}
    )
    return across_door(state, room)


def measured_gap(gaps: FloatArray, pressures: FloatArray, limit: float) -> float | None:
    """Return the least gap (m) at which the pressure is within ±limit, between two points in proportion; None if none."""
    inside = np.flatnonzero(np.abs(pressures) <= limit)
    if not inside.size:
        return None
    first = int(inside[0])
    if first == 0:
        return float(gaps[0])
    before, after = abs(float(pressures[first - 1])), abs(float(pressures[first]))
    share = (before - limit) / (before - after)
    return float(gaps[first - 1] + share * (gaps[first] - gaps[first - 1]))


def gap_for_area(dwelling: Dwelling, room: Room, area: float) -> float:
    """Return the gap (m) at the latch side whose crack is a free area beyond that of the shut door, m²."""
    door = dwelling.part("doors", room.door)
    return float(area / (door.height + door.width))


@dataclass(frozen=True, slots=True)
class Relief:
    """One room relieved.

    Attributes
    ----------
    room : Room
    before, after : float
        Pa across the door, all inner doors shut, as found and with the remedy as built.
    net : float
        m³/s, supply less return.
    total, existing, added : float
        m²: all free area needed, what the shut door has, what the remedy must add.
    gap : float
        m, gap at the latch side whose crack is `added`.
    path : TransferPath or None
        The remedy as built; None where nothing is to be added.
    undone : float
        Pa with the rule of thumb: each of the three restrictions made as large as the single opening.
    """

    room: Room
    before: float
    after: float
    net: float
    total: float
    existing: float
    added: float
    gap: float
    path: TransferPath | None
    undone: float


def relieve(
    found: RoomPressures,
    room: Room,
    limit: float,
    stud_bays: int = 1,
    ratio: float = value("grilles", "free_area", "ratio"),
) -> Relief:
    """Size the remedy of one room by calculation and test it again in the network, all inner doors shut.

    Parameters
    ----------
    found : RoomPressures
        The house as found.
    room : Room
        Which room.
    limit : float
        Pa, above zero.
    stud_bays : int
        Stud bays used side by side.
    ratio : float
        Free area of a grille over its face.

    Returns
    -------
    Relief

    Raises
    ------
    InputError
        If the limit is not above zero, or there is no stud bay.
    """
    dwelling = found.dwelling
    net = net_flow(dwelling, room.zone)
    existing = door_area(dwelling, room)
    total = needed_area(found, room, limit, net)
    within = abs(found.pressure(room)) <= limit  # then the door is enough, whatever a calculation says
    added = 0.0 if within else max(total - existing, 0.0)
    path = (
        transfer_path.si(required_area=added, stud_bays=stud_bays, grille_free_area_ratio=ratio)
        if added > 0.0
        else None
    )
    built = 0.0 if path is None else path.effective_area
    retest = steady_with_relief(dwelling, [found.setup] * 2, {room.door: np.array([built, added / 3.0**0.5])})
    after = across_door(retest, room)
    return Relief(
        room=room,
        before=found.pressure(room),
        after=float(after[0]),
        net=net,
        total=total,
        existing=existing,
        added=added,
        gap=gap_for_area(dwelling, room, added),
        path=path,
        undone=float(after[1]),
    )
