"""Marks that point: arrows, points, error bars and samples of lines for a key."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from hvaclib.plots.letters import text_width
from hvaclib.plots.style import INK, PAPER

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hvaclib.plots.marks import Marks, Point
    from hvaclib.plots.style import Sheet

CIRCLE = tuple((math.cos(2 * math.pi * i / 20), math.sin(2 * math.pi * i / 20)) for i in range(20))
Key = tuple[str, str, float, tuple[float, float] | None]
"""Words, colour, width and dash of one line of a chart."""


def arrow(
    marks: Marks, start: Point, end: Point, colour: str = INK, width: float = 2.4, layer: int = 8
) -> None:
    """An arrow with a filled head; a move too short for a head is a thick tick across its place."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    length = math.hypot(dx, dy)
    if length < 2.0:
        marks.stroke([(end[0] - 6, end[1]), (end[0] + 6, end[1])], colour=colour, width=width, layer=layer)
        return
    head = min(4.2 * width, 0.8 * length)
    ux, uy = dx / length, dy / length
    neck = (end[0] - head * ux, end[1] - head * uy)
    marks.stroke([start, neck], colour=colour, width=width, layer=layer)
    half = 0.5 * head + 1.0
    corners = [end, (neck[0] - half * uy, neck[1] + half * ux), (neck[0] + half * uy, neck[1] - half * ux)]
    marks.polygon(corners, face=colour, edge=colour, width=0.5, layer=layer)


def between(marks: Marks, start: Point, end: Point, colour: str = INK, radius: float = 8.0) -> None:
    """An arrow from one spot to another that starts and ends at their rims; nothing where they touch."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    length = math.hypot(dx, dy)
    if length > 2 * radius + 4:
        ux, uy = radius * dx / length, radius * dy / length
        arrow(marks, (start[0] + ux, start[1] + uy), (end[0] - ux, end[1] - uy), colour, 2.2, 8)


def spot(
    marks: Marks, at: Point, colour: str, *, filled: bool = True, radius: float = 6.0, layer: int = 9
) -> None:
    """A point of a chart: filled for what is now, hollow for what was before."""
    ring = [(at[0] + radius * c, at[1] + radius * s) for c, s in CIRCLE]
    marks.polygon(
        ring, face=colour if filled else PAPER, edge=PAPER if filled else colour, width=2.0, layer=layer
    )


def diamond(marks: Marks, at: Point, colour: str, layer: int = 9) -> None:
    """A hollow diamond: what was measured."""
    x, y = at
    corners = [(x - 7, y), (x, y + 7), (x + 7, y), (x, y - 7)]
    marks.polygon(corners, face=PAPER, edge=colour, width=2.4, layer=layer)


def error_bar(marks: Marks, x: float, low: float, high: float, colour: str = INK, layer: int = 8) -> None:
    """A vertical bar with caps from low to high, px."""
    marks.stroke([(x, low), (x, high)], colour=colour, width=1.8, layer=layer)
    for y in (low, high):
        marks.stroke([(x - 10, y), (x + 10, y)], colour=colour, width=1.8, layer=layer)


def key_row(marks: Marks, sheet: Sheet, at: Point, entries: Sequence[Key], right: float) -> float:
    """Samples of lines with their words in rows from the left; gives back the lowest line of the rows, px."""
    x, y = at
    for words, colour, width, dash in entries:
        needed = 34 + text_width(words, sheet.small) + 20
        if x > at[0] and x + needed - 20 > right:
            x, y = at[0], y - 1.5 * sheet.small
        marks.stroke([(x, y), (x + 27, y)], colour=colour, width=width, layer=6, dash=dash)
        marks.label(x + 33, y, words, sheet.small, up="center")
        x += needed
    return y


def key_rows(sheet: Sheet, entries: Sequence[Key], room: float) -> int:
    """How many rows `key_row` will take in so many pixels."""
    rows, used = 1, 0.0
    for words, *_ in entries:
        needed = 34 + text_width(words, sheet.small) + 20
        if used and used + needed - 20 > room:
            rows, used = rows + 1, 0.0
        used += needed
    return rows
