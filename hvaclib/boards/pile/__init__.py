"""The pile board: many finished job sheets, and which of them need somebody first."""

from hvaclib.boards.pile.model import PileBoard

__all__ = ["PileBoard"]
