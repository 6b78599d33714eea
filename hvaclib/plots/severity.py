"""How a severity is drawn: a colour, a shape and a word each, so that none of them carries it alone."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from hvaclib.errors import InputError
from hvaclib.plots.letters import text_width
from hvaclib.plots.style import BLUE, GREEN, GREY, ORANGE, PALE, PAPER, VERMILLION

if TYPE_CHECKING:
    from collections.abc import Iterable

    from hvaclib.plots.marks import Marks, Point
    from hvaclib.plots.style import Sheet

STYLES = {
    "stop and call": (VERMILLION, 8, math.pi / 8, True),
    "fail": (ORANGE, 4, math.pi / 4, True),
    "look again": (BLUE, 4, 0.0, False),
    "pass": (GREEN, 20, 0.0, False),
    "missing": (ORANGE, 3, math.pi / 2, False),
    "out of order": (BLUE, 3, -math.pi / 2, False),
    "not needed": (GREY, 0, 0.0, False),
    "not reviewed": (GREY, 0, 0.0, False),
}
"""Colour, corners, turn and whether it is filled; a filled octagon stops, as it does beside the road."""


def severity_mark(marks: Marks, at: Point, severity: str, radius: float = 8.0, *, pale: bool = False) -> None:
    """Draw the mark of one severity.

    Parameters
    ----------
    marks : Marks
        Display list to append to.
    at : tuple of float
        Middle, px.
    severity : str
        "stop and call", "fail", "look again", "pass", "missing", "out of order", "not needed" or
        "not reviewed".
    radius : float, optional
        Half its size, px.
    pale : bool, optional
        Drawn as an outline without colour: left out by a filter.

    Raises
    ------
    InputError
        If there is no such severity.
    """
    if severity not in STYLES:
        raise InputError("no such mark", given=severity, expected=" or ".join(STYLES))
    colour, corners, turn, filled = STYLES[severity]
    x, y = at
    if not corners:
        marks.stroke([(x - 0.6 * radius, y), (x + 0.6 * radius, y)], colour=colour, width=2.0, layer=6)
        return
    reach = radius * (1.2 if corners in (3, 4) and not (corners == 4 and turn) else 1.05)
    ring = [
        (
            x + reach * math.cos(turn + 2 * math.pi * i / corners),
            y + reach * math.sin(turn + 2 * math.pi * i / corners),
        )
        for i in range(corners)
    ]
    edge = PALE if pale else colour
    marks.polygon(ring, face=edge if filled and not pale else PAPER, edge=edge, width=2.4, layer=6)


def severity_key(
    marks: Marks, sheet: Sheet, at: Point, entries: Iterable[tuple[str, str]], right: float
) -> float:
    """Marks with their words in rows from the left.

    Parameters
    ----------
    marks : Marks
        Display list to append to.
    sheet : Sheet
        Size of the type.
    at : tuple of float
        Left end and middle of the first row, px.
    entries : iterable of tuple of str
        Severity and its words.
    right : float
        Where a row must end, px.

    Returns
    -------
    float
        Middle of the last row, px.
    """
    x, y = at
    for severity, words in entries:
        needed = 24 + text_width(words, sheet.small) + 18
        if x > at[0] and x + needed - 18 > right:
            x, y = at[0], y - 1.8 * sheet.small
        severity_mark(marks, (x + 8, y), severity, 0.5 * sheet.small)
        marks.label(x + 22, y, words, sheet.small, up="center")
        x += needed
    return y
