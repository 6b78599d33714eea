"""The combustion-air board: is the room large enough, and if not, how large must the openings be."""

from hvaclib.boards.combustion_air.model import CombustionAirBoard

__all__ = ["CombustionAirBoard"]
