"""The terminations board: where in a wall a vent may end."""

from hvaclib.boards.terminations.model import TerminationsBoard

__all__ = ["TerminationsBoard"]
