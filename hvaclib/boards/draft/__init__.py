"""The draft board: whether a vent draws when fans run and doors are shut."""

from hvaclib.boards.draft.model import DraftBoard

__all__ = ["DraftBoard"]
