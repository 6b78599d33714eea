"""The chimney board: what is left of a flue's draft, and of its dryness, when the furnace is taken off it."""

from hvaclib.boards.chimney.model import ChimneyBoard

__all__ = ["ChimneyBoard"]
