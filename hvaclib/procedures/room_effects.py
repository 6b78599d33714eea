"""What relieving one room does to the others, to the appliance zone and to the draft of what burns there."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from hvaclib.house.dwelling import Appliance, Dwelling
from hvaclib.house.relief import steady_with_relief
from hvaclib.house.rooms import Room, rooms
from hvaclib.house.setup import Setup
from hvaclib.house.state import State
from hvaclib.procedures.room_pressure import across_door

__all__ = ["Effects", "first_fire", "relief_effects"]

FloatArray = NDArray[np.float64]
SPILLS = 0.01
"""Share of the flue gas in the room above which an appliance is said to spill."""
BEFORE, AFTER, FIRED_BEFORE, FIRED_AFTER = range(4)


@dataclass(frozen=True, slots=True)
class Effects:
    """A house before and after its doors are relieved.

    Attributes
    ----------
    rooms : tuple of Room
        R rooms.
    before, after : ndarray, shape (R,)
        Pa across each door.
    appliance, zone : str
        Vented appliance with the smallest input, and where it stands; empty where there is none.
    zone_before, zone_after : float
        Pa of that zone against outdoors, nothing burning; NaN where there is none.
    draft_before, draft_after : float
        Pa at the test hole, burning alone at steady state from a cold vent; NaN where there is none.
    spillage_before, spillage_after : float
        Share of its flue gas that enters the room.
    """

    rooms: tuple[Room, ...]
    before: FloatArray
    after: FloatArray
    appliance: str
    zone: str
    zone_before: float
    zone_after: float
    draft_before: float
    draft_after: float
    spillage_before: float
    spillage_after: float

    @property
    def spills_before(self) -> bool:
        """Whether the appliance gives flue gas to the room as found."""
        return self.spillage_before > SPILLS

    @property
    def spills_after(self) -> bool:
        """Whether it does with the doors relieved."""
        return self.spillage_after > SPILLS


def first_fire(dwelling: Dwelling) -> Appliance | None:
    """Return the vented appliance with the smallest input, the one that a draft test fires first."""
    return min(
        (item for item in dwelling.appliances if item.vented), key=lambda item: item.input, default=None
    )


def relief_effects(
    dwelling: Dwelling,
    setup: Setup,
    relief: Mapping[str, float],
    present: Mapping[str, float] | None = None,
    moved: Mapping[str, float] | None = None,
) -> Effects:
    """Compare a house as found with the same house relieved, nothing burning and with the first appliance burning.

    Parameters
    ----------
    dwelling, setup : Dwelling, Setup
        As found.
    relief : mapping of str to float
        Door to the free area the remedy adds, m².
    present : mapping of str to float, optional
        Door to free area that is there beyond the file's in both cases, m².
    moved : mapping of str to float, optional
        Zone to duct air blown in beyond the file's, m³/s.

    Returns
    -------
    Effects
    """
    fire = first_fire(dwelling)
    lit = setup if fire is None else setup.with_firing(fire.name, on=True)
    now = dict(present or {})
    areas = {
        door: now.get(door, 0.0) + relief.get(door, 0.0) * np.array([0.0, 1.0, 0.0, 1.0])
        for door in {**now, **relief}
    }
    state = steady_with_relief(
        dwelling,
        [setup, setup, lit, lit],
        areas,
        {zone: np.full(4, flow) for zone, flow in (moved or {}).items()},
    )
    return effects_of(state, BEFORE, AFTER, FIRED_BEFORE, FIRED_AFTER)


def effects_of(state: State, before: int, after: int, fired_before: int, fired_after: int) -> Effects:
    """Return the comparison of four scenarios of a state."""
    dwelling = state.dwelling
    found = rooms(dwelling)
    across = np.array([across_door(state, room) for room in found])
    fire = first_fire(dwelling)
    if fire is None:
        nothing = float("nan")
        return Effects(found, across[:, before], across[:, after], "", "", *([nothing] * 6))
    pressure = state.pressure(fire.zone)
    vents = state.vents
    row = vents.names.index(fire.name)
    return Effects(
        rooms=found,
        before=across[:, before],
        after=across[:, after],
        appliance=fire.name,
        zone=fire.zone,
        zone_before=float(pressure[before]),
        zone_after=float(pressure[after]),
        draft_before=float(vents.draft[row, fired_before]),
        draft_after=float(vents.draft[row, fired_after]),
        spillage_before=float(vents.spillage[row, fired_before]),
        spillage_after=float(vents.spillage[row, fired_after]),
    )
