"""Static pressure along the air's way, station by station, from the room through the furnace back to the room."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from hvaclib.house.air_side.components import SEGMENT_OF, SEGMENTS, FloatArray
from hvaclib.house.air_side.side import AirSide
from hvaclib.house.air_side.solve import AirState

_ORDER = tuple(SEGMENT_OF)


@dataclass(frozen=True, slots=True, eq=False)
class Station:
    """One place along the air's way.

    Parameters
    ----------
    name : str
        What lies just upstream: "room", the name of a component, or "blower and heat exchanger".
    pressure : ndarray, shape (S,)
        Static pressure against the room, Pa.
    hole : int
        Test hole at this place, 1 to 4; 0 where there is none.
    """

    name: str
    pressure: FloatArray
    hole: int = 0


def air_path(side: AirSide, state: AirState) -> tuple[Station, ...]:
    """Stations along the air's way.

    Parameters
    ----------
    side : AirSide
    state : AirState
        Of this air side.

    Returns
    -------
    tuple of Station
        From "room", at zero, through the four test holes to the last component, at zero again.
    """
    return tuple(_stations(side, state))


def _stations(side: AirSide, state: AirState) -> Iterator[Station]:
    pressure = np.zeros_like(state.flow)
    yield Station("room", pressure)
    for number, segment in enumerate(SEGMENTS, start=1):
        if number == 3:
            pressure = state.holes[2]
            yield Station("blower and heat exchanger", pressure, 3)
        rows = [index for index in _in_order(side) if side.components[index].segment == segment]
        hole = (1, 2, 4, 0)[number - 1]
        for place, index in enumerate(rows):
            pressure = pressure - state.losses[index]
            last = place == len(rows) - 1
            yield Station(side.components[index].name, pressure, hole if last else 0)
        if not rows and hole:
            yield Station(f"no {segment}", pressure, hole)


def _in_order(side: AirSide) -> list[int]:
    """Rows of the components as the air meets them: by kind, then as listed."""
    return sorted(range(len(side.components)), key=lambda index: _ORDER.index(side.components[index].kind))
