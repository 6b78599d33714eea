"""The draft board: does this vent draw when fans run and doors are shut?"""

from hvaclib.boards.draft.model import DraftBoard

__all__ = ["DraftBoard"]
