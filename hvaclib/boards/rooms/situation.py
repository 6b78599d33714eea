"""What the controls of the rooms board mean: the dwelling, the doors' areas and the duct air, as moved on the board."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from hvaclib.house.dwelling import Dwelling
from hvaclib.house.rooms import Room, room_named
from hvaclib.house.setup import Setup
from hvaclib.procedures.room_relief import net_flow


@dataclass(frozen=True, slots=True)
class Situation:
    """A house as the board has it.

    Attributes
    ----------
    dwelling : Dwelling
        With the air handler's flow of the board.
    weather : Setup
        Outdoor temperature of the board.
    room : Room
        The chosen room.
    base : dict of str to float
        Door to free area beyond the file's: the undercut of the board, m².
    moved : dict of str to float
        Zone to duct air beyond the file's, m³/s: the register that is partly closed.
    net : float
        m³/s, supply less return of the chosen room.
    """

    dwelling: Dwelling
    weather: Setup
    room: Room
    base: dict[str, float]
    moved: dict[str, float]
    net: float


def situation(dwelling: Dwelling, inputs: Mapping[str, Any]) -> Situation:
    """The house that the controls describe."""
    changed = _with_flow(dwelling, float(inputs["flow"]))
    room = room_named(changed, inputs["room"])
    door = changed.part("doors", room.door)
    base = {room.door: (float(inputs["undercut"]) - door.undercut) * door.width}
    moved = closed_register(changed, room.zone, 1.0 - float(inputs["register"]))
    weather = changed.default_setup().with_outdoor_temperature(inputs["outdoor"])
    net = net_flow(changed, room.zone, moved.get(room.zone, 0.0))
    return Situation(changed, weather, room, base, moved, net)


@lru_cache(maxsize=32)
def _with_flow(dwelling: Dwelling, flow: float) -> Dwelling:
    handler = dwelling.air_handler
    assert handler is not None  # find_blockers has seen to it
    if abs(flow - handler.flow) < 1e-9:
        return dwelling
    return dwelling.changed(air_handler=handler.model_copy(update={"flow": flow}))


def closed_register(dwelling: Dwelling, zone: str, closed: float) -> dict[str, float]:
    """Duct air (m³/s) by zone beyond the file's when a share of a room's supply is shut off: the others get it."""
    handler = dwelling.air_handler
    if handler is None or closed <= 0.0:
        return {}
    whole = sum(item.share for item in (*handler.supplies, *handler.supply_leakage))
    others = {item.zone: item.share for item in handler.supplies if item.zone not in (zone, "outdoors")}
    own = sum(item.share for item in handler.supplies if item.zone == zone)
    if not own or not others:
        return {}
    away = closed * own / whole * handler.flow
    rest = sum(others.values())
    return {zone: -away, **{name: away * share / rest for name, share in others.items()}}
