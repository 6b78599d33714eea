"""The board of one visit: what a finished job sheet says, step by step."""

from hvaclib.boards.one_visit.model import OneVisitBoard

__all__ = ["OneVisitBoard"]
