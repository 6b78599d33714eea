"""Pictures of room pressure: bars of all rooms, the door ajar, the path through the wall, the curve over the gap."""

from hvaclib.plots.rooms.bars import RoomBar, room_bars
from hvaclib.plots.rooms.curve import gap_curve
from hvaclib.plots.rooms.door import DoorAjar, door_picture
from hvaclib.plots.rooms.wall import WallPath, wall_picture

__all__ = [
    "DoorAjar", "RoomBar", "WallPath", "door_picture", "gap_curve", "room_bars", "wall_picture",
]  # fmt: skip
