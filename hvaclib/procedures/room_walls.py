"""Air that a room loses through its walls, and how the rest of the house moves with it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from hvaclib.house.rooms import Room
from hvaclib.house.state import State
from hvaclib.physics.air import STANDARD_DENSITY
from hvaclib.physics.openings import orifice_coefficient, power_law_coefficient
from hvaclib.procedures.room_pressure import across_door, pressure_at

__all__ = ["through_walls"]

FloatArray = NDArray[np.float64]
PASSES = 20
"""Each halves what is left of the way: a millionth of it remains."""


@dataclass(frozen=True, slots=True)
class _Walls:
    """Leaks and openings of a room, one row a height; ``opened`` and ``shut`` are the house at the door against what
    lies behind each, Pa, with the room's door open and shut; ``lost`` marks air that does not come out at the door's
    other side; ``vents`` is m³/s up the vents, door open and shut.
    """

    coefficient: FloatArray
    exponent: FloatArray
    opened: FloatArray
    shut: FloatArray
    lost: NDArray[np.bool_]
    vents: tuple[float, float]

    def flows(self, pressure: float, share: float) -> FloatArray:
        """m³/s through each row at a pressure across the door, the house so far on its way from open to shut."""
        across = pressure + self.opened + share * (self.shut - self.opened)
        found: FloatArray = self.coefficient * np.copysign(np.abs(across) ** self.exponent, across)
        return found

    def vent_air(self, share: float) -> float:
        """m³/s up the vents of the room, between what the house showed with the door open and shut."""
        return self.vents[0] + share * (self.vents[1] - self.vents[0])

    def lost_air(self, pressure: float, share: float) -> float:
        """m³/s that the rest of the house must draw in from elsewhere."""
        return float(self.flows(pressure, share)[self.lost].sum()) + self.vent_air(share)


def through_walls(state: State, room: Room, pressure: float, shut: int, opened: int) -> float:
    """Return the air (m³/s) that leaves a room by its leaks and openings at a pressure against the door's other side.

    Parameters
    ----------
    state, room : State, Room
        The house as found.
    pressure : float
        Pa across the door.
    shut, opened : int
        Scenarios with the room's door shut and open, all else alike.

    Notes
    -----
    What a room loses through its walls the rest of the house draws in, so that relieving the room moves the house
    too: from its reading with the door shut to its reading with the door open, in proportion to the air lost. Each
    leak is looked at where it is, so that the stack of warm air counts.
    """
    walls = _walls(state, room, shut, opened)
    across = across_door(state, room)
    least, most = walls.lost_air(float(across[opened]), 0.0), walls.lost_air(float(across[shut]), 1.0)
    share = 0.0
    if most != least:
        for _ in range(PASSES):
            lost = walls.lost_air(pressure, share)
            share = 0.5 * (share + min(max((lost - least) / (most - least), 0.0), 1.0))
    return float(walls.flows(pressure, share).sum()) + walls.vent_air(share)


def _walls(state: State, room: Room, shut: int, opened: int) -> _Walls:
    dwelling = state.dwelling
    across = across_door(state, room)
    rows: list[tuple[float, float, float, float, bool]] = []

    def add(between: tuple[str, str], height: float, coefficient: float, exponent: float) -> None:
        other = between[1] if between[0] == room.zone else between[0]
        offset = pressure_at(state, room.zone, height) - pressure_at(state, other, height) - across
        rows.append(
            (coefficient, exponent, float(offset[opened]), float(offset[shut]), other != room.reference)
        )

    for leak in dwelling.leaks:
        if room.zone in leak.between:
            climb = 0.0 if leak.top is None else leak.top - leak.height
            whole = float(
                power_law_coefficient.si(flow_at_50=leak.flow_at_50, exponent=leak.exponent, density=1.0)
            )
            for part in (0.25, 0.75):  # two middles, as the network has them
                add(leak.between, leak.height + part * climb, 0.5 * whole, leak.exponent)
    for opening in dwelling.openings:
        if room.zone in opening.between:
            mass = orifice_coefficient.si(area=opening.area, coefficient=opening.coefficient)
            add(opening.between, opening.height, float(mass) / STANDARD_DENSITY, 0.5)
    table = np.array(rows, dtype=np.float64).reshape(len(rows), 5).T
    return _Walls(
        table[0], table[1], table[2], table[3], table[4] > 0.0,
        (_up_the_vents(state, room, opened), _up_the_vents(state, room, shut)),
    )  # fmt: skip


def _up_the_vents(state: State, room: Room, scenario: int) -> float:
    """Air (m³/s) that leaves the room by the connectors of its appliances; below zero where it comes down."""
    mass = sum(
        float(state.path_forward[row, scenario] - state.path_backward[row, scenario])
        for row, kind in enumerate(state.path_kinds)
        if kind == "connector" and state.path_start[row] == room.zone
    )
    return mass / STANDARD_DENSITY
