"""The static board: where blower and ducts meet, the pressure along the air's way, and which part is out of line."""

from hvaclib.boards.static.model import StaticBoard

__all__ = ["StaticBoard"]
