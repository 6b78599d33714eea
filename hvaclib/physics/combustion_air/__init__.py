"""Combustion air: volume of the room, free area of openings by route, mechanical supply."""

from hvaclib.physics.combustion_air.air_changes import PER_HOUR
from hvaclib.physics.combustion_air.area import OpeningArea, opening_area
from hvaclib.physics.combustion_air.supply import mechanical_supply
from hvaclib.physics.combustion_air.volume import required_volume, standard_method_allowed

__all__ = [
    "PER_HOUR", "OpeningArea", "mechanical_supply", "opening_area", "required_volume", "standard_method_allowed",
]  # fmt: skip
