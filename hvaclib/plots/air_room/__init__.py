"""A room with its appliances in section, its openings for combustion air, and how large they must be."""

from hvaclib.plots.air_room.drawing import AirRoom, Burner, air_room

__all__ = ["AirRoom", "Burner", "air_room"]
