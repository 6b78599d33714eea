"""The what-if board: a house fitted to its readings, on another day, with a larger hood, a door shut, a liner, an opening."""

from hvaclib.boards.what_if.model import WhatIfBoard

__all__ = ["WhatIfBoard"]
