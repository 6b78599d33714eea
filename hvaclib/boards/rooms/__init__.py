"""The rooms board: what closed doors do to the pressure of rooms, and what relieves them."""

from hvaclib.boards.rooms.model import RoomsBoard

__all__ = ["RoomsBoard"]
