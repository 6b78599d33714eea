"""Which zones of a dwelling are rooms behind an inner door, and which are the main body that they are read against."""

from __future__ import annotations

from dataclasses import dataclass

from hvaclib.errors import InputError
from hvaclib.house.dwelling import OUTDOORS, Door, Dwelling

WALK_THROUGH = 0.5
"""m² (5.4 sq ft): zones joined by a larger opening are one body of air; a smaller one is a grille or a duct."""


@dataclass(frozen=True, slots=True)
class Room:
    """A zone that its inner door parts from the main body.

    Parameters
    ----------
    zone : str
        The room.
    door : str
        The door on the way to the main body.
    reference : str
        Zone on the other side of that door, where the manometer stands.
    doors : tuple of str
        Every inner door of the room, the one above first.
    """

    zone: str
    door: str
    reference: str
    doors: tuple[str, ...]


def main_body(dwelling: Dwelling) -> tuple[str, ...]:
    """Return the zones that make up the main body: halls, stairs, living rooms joined without a door.

    Raises
    ------
    InputError
        If no inner door parts a room from the rest.

    Notes
    -----
    Of all bodies of air it is the one that most inner doors lead to; among equals the one from which the air handler
    draws most, then the one with the larger floor.
    """
    inner = _inner_doors(dwelling)
    if not inner:
        raise InputError(
            "no inner door parts a room from the rest of the house",
            where=dwelling.name,
            expected="a [[door]] between two zones",
        )
    returns = {} if dwelling.air_handler is None else {r.zone: r.share for r in dwelling.air_handler.returns}

    def rank(body: tuple[str, ...]) -> tuple[float, float, float]:
        doors = sum((door.between[0] in body) != (door.between[1] in body) for door in inner)
        floor = sum(dwelling.zone(name).floor_area for name in body)
        return float(doors), sum(returns.get(name, 0.0) for name in body), floor

    return max(_bodies(dwelling), key=rank)


def rooms(dwelling: Dwelling) -> tuple[Room, ...]:
    """Return the rooms, those next to the main body first, else in the file's order.

    Raises
    ------
    InputError
        If no inner door parts a room from the rest.
    """
    reached = list(main_body(dwelling))
    found: list[Room] = []
    inner = _inner_doors(dwelling)
    for behind in reached:  # grows while it is walked: rooms behind rooms follow
        for door in inner:
            if behind not in door.between:
                continue
            zone = door.between[0] if door.between[1] == behind else door.between[1]
            if zone not in reached:
                others = tuple(d.name for d in inner if zone in d.between and d.name != door.name)
                found.append(Room(zone, door.name, behind, (door.name, *others)))
                reached.append(zone)
    order = dwelling.zone_names
    near = set(main_body(dwelling))
    return tuple(sorted(found, key=lambda room: (room.reference not in near, order.index(room.zone))))


def room_named(dwelling: Dwelling, zone: str) -> Room:
    """Return one room by its zone.

    Raises
    ------
    InputError
        If this zone is no room behind a door.
    """
    known = {room.zone: room for room in rooms(dwelling)}
    if zone not in known:
        raise InputError(
            "this is no room behind an inner door", where="room", given=zone, expected=" or ".join(known)
        )
    return known[zone]


def _inner_doors(dwelling: Dwelling) -> list[Door]:
    return [door for door in dwelling.doors if not door.outer]


def _bodies(dwelling: Dwelling) -> list[tuple[str, ...]]:
    """Zones grouped by the openings that one could walk through."""
    body = {name: {name} for name in dwelling.zone_names}
    for opening in dwelling.openings:
        if OUTDOORS not in opening.between and opening.area >= WALK_THROUGH:
            joined = body[opening.between[0]] | body[opening.between[1]]
            for name in joined:
                body[name] = joined
    return [tuple(name for name in dwelling.zone_names if name in group) for group in _unique(body)]


def _unique(body: dict[str, set[str]]) -> list[set[str]]:
    found: list[set[str]] = []
    for group in body.values():
        if group not in found:
            found.append(group)
    return found
