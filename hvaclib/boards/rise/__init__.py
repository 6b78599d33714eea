"""The rise board: the temperature rise through a furnace against its rating plate, and what moves it."""

from hvaclib.boards.rise.model import RiseBoard

__all__ = ["RiseBoard"]
