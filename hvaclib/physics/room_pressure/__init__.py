"""Pressure of a room behind its closed door: what it is, what relieves it, and how a door tells the area needed."""

from hvaclib.physics.room_pressure.crack import door_crack_area
from hvaclib.physics.room_pressure.door import closed_door_pressure, relief_area
from hvaclib.physics.room_pressure.transfer import TransferPath, jump_duct_diameter, transfer_path

__all__ = [
    "TransferPath", "closed_door_pressure", "door_crack_area", "jump_duct_diameter", "relief_area", "transfer_path",
]  # fmt: skip
