"""The firing board: whether a burner takes the gas that its plate allows, and what would put it right."""

from hvaclib.boards.firing.model import FiringBoard

__all__ = ["FiringBoard"]
