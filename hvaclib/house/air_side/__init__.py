"""The air side of a furnace: plate, blower and ducts, solved for any number of variants in one call.

Test holes along the air's way: 1 in the return ahead of the filter, 2 behind it at the blower, 3 behind the heat
exchanger ahead of the coil, 4 behind the coil. Pressures are against the room.
"""

from __future__ import annotations

from hvaclib.house.air_side.components import SEGMENT_OF, SEGMENTS, AirComponent, DuctSize, component_of
from hvaclib.house.air_side.from_dwelling import UNKNOWN_BLOWER, air_side_of
from hvaclib.house.air_side.profile import Station, air_path
from hvaclib.house.air_side.side import AirSide
from hvaclib.house.air_side.solve import IN_SIGHT, AirState, segment_losses, solve_air_side, solve_cases
from hvaclib.readings import TEST_HOLES as HOLES

__all__ = [
    "HOLES",
    "IN_SIGHT",
    "SEGMENTS",
    "SEGMENT_OF",
    "UNKNOWN_BLOWER",
    "AirComponent",
    "AirSide",
    "AirState",
    "DuctSize",
    "Station",
    "air_path",
    "air_side_of",
    "component_of",
    "segment_losses",
    "solve_air_side",
    "solve_cases",
]
