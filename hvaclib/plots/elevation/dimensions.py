"""Distances that lack, as dimension lines with numbered badges, and the reach of the rule as a dashed outline."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from hvaclib.plots.elevation.hatch import PALE_GREEN
from hvaclib.plots.letters import text_width, wrap
from hvaclib.plots.pointers import CIRCLE
from hvaclib.plots.style import GREEN, INK, PAPER, VERMILLION
from hvaclib.units import kinds, show

if TYPE_CHECKING:
    from hvaclib.physics.terminations import TooClose
    from hvaclib.plots.elevation.frame import Frame
    from hvaclib.plots.letters import Rectangle
    from hvaclib.plots.marks import Marks, Point
    from hvaclib.plots.style import System

RED = "#b34700"  # vermillion, dark enough for words


def reach(marks: Marks, frame: Frame, lack: TooClose) -> None:
    """Dashed outline within which the terminal's edge may not come, cut off at the wall's edges."""
    left, bottom, right, top = (float(edge) for edge in lack.neighbour.span)
    rule, d = lack.rule, lack.rule.distance
    if rule.shape == "around":
        corners = [
            (cx + d * math.cos(a), cy + d * math.sin(a))
            for (cx, cy), first in zip(
                ((right, top), (left, top), (left, bottom), (right, bottom)), range(4), strict=True
            )
            for a in (math.pi / 2 * (first + step / 6) for step in range(7))
        ]
    elif rule.shape == "beside":
        corners = _corners(left - d, bottom - rule.below, right + d, top + rule.above)
    elif rule.shape == "over":
        corners = _corners(left - rule.within, 0.0, right + rule.within, top + d)
    elif rule.shape == "column":
        middle = (left + right) / 2
        corners = _corners(middle - d, top, middle + d, top + rule.height)
    else:
        corners = [(left, top + d), (right, top + d)]
    points = [frame.at(min(max(x, 0.0), frame.width), min(max(y, 0.0), frame.height)) for x, y in corners]
    ends = points if rule.shape == "height" else [*points, points[0]]
    marks.stroke(ends, colour=VERMILLION, width=1.6, layer=16, dash=(6.0, 5.0))


def _corners(left: float, bottom: float, right: float, top: float) -> list[tuple[float, float]]:
    return [(left, bottom), (right, bottom), (right, top), (left, top)]


def _toward(low: float, high: float, other_low: float, other_high: float) -> tuple[float, float]:
    """Ends of the gap between two stretches; the middle of their common part where they overlap."""
    if high <= other_low:
        return high, other_low
    if other_high <= low:
        return low, other_high
    middle = (max(low, other_low) + min(high, other_high)) / 2
    return middle, middle


def ends_of(lack: TooClose) -> tuple[Point, Point]:
    """Where the dimension line begins (at the terminal) and ends (at the neighbour), m."""
    left, bottom, right, top = (float(edge) for edge in lack.terminal.span)
    nl, nb, nr, nt = (float(edge) for edge in lack.neighbour.span)
    x, y = lack.terminal.centre
    if lack.direction == "above":
        return (x, bottom), (x, nt)
    if lack.direction == "below":
        return (x, top), (x, nb)
    if lack.direction == "beside its centre line":
        axis = (nl + nr) / 2
        return (left if x > axis else right, y), (axis, y)
    across = _toward(left, right, nl, nr)
    if lack.direction == "beside":
        return (across[0], y), (across[1], y)
    up = _toward(bottom, top, nb, nt)
    return (across[0], up[0]), (across[1], up[1])


def dimension(
    marks: Marks, frame: Frame, lack: TooClose, number: int, system: System, taken: list[Rectangle]
) -> Rectangle:
    """One dimension line: a head at each end, an extension to the neighbour, the badge, on wide sheets the figure.

    Returns
    -------
    tuple of float
        What badge and figure cover, px; they keep clear of `taken` as well as they can.
    """
    start, end = (frame.at(*place) for place in ends_of(lack))
    length = math.hypot(end[0] - start[0], end[1] - start[1])
    if length > 3.0:
        marks.stroke([start, end], colour=PAPER, width=5.0, layer=20)
        marks.stroke([start, end], colour=RED, width=2.0, layer=21)
        for here, there in ((start, end), (end, start)):
            _head(marks, here, there, length)
    _extension(marks, frame, lack, end)
    size = frame.sheet.small
    words = "" if frame.sheet.narrow else show(abs(lack.present), kinds.SIZE, system, 0)
    wide = 1.7 * size + (text_width(words, size, bold=True) + 6 if words else 0.0)
    x, y = min(
        _badge_places(start, end, wide, size),
        key=lambda at: cover((at[0], at[1] - size, at[0] + wide, at[1] + size), taken, frame),
    )
    badge(marks, x + 0.85 * size, y, number, size)
    if words:
        plate(marks, x + 1.7 * size + 1, y, wide - 1.7 * size, size)
        marks.label(x + 1.7 * size + 4, y, words, size, colour=RED, bold=True, up="center")
    return x, y - size, x + wide, y + size


def _badge_places(start: Point, end: Point, wide: float, size: float) -> list[Point]:
    """Left ends of a badge with its figure beside the line's middle, in order of liking."""
    x, y = (start[0] + end[0]) / 2, (start[1] + end[1]) / 2
    if abs(end[1] - start[1]) > abs(end[0] - start[0]):
        places = [(x + 8, y), (x - 8 - wide, y), (x + 8, y + 2 * size), (x + 8, y - 2 * size)]
    else:
        places = [(x - wide / 2, y + shift * size) for shift in (1.4, -1.4, 3.2, -3.2)]
    return places


def cover(box: Rectangle, taken: list[Rectangle], frame: Frame) -> float:
    """Square pixels of what is drawn already that a box would cover, and of itself off the wall."""
    covered = sum(
        max(0.0, min(box[2], other[2]) - max(box[0], other[0]))
        * max(0.0, min(box[3], other[3]) - max(box[1], other[1]))
        for other in taken
    )
    off = max(0.0, 2 - box[0]) + max(0.0, box[2] - frame.sheet.width + 2)
    off += max(0.0, frame.grade - 14 - box[1]) + max(0.0, box[3] - frame.y(frame.height))
    return covered + 40.0 * off


def _head(marks: Marks, tip: Point, other: Point, length: float) -> None:
    size = min(9.0, 0.4 * length)
    ux, uy = (other[0] - tip[0]) / length, (other[1] - tip[1]) / length
    back = (tip[0] + size * ux, tip[1] + size * uy)
    half = 0.4 * size
    corners = [tip, (back[0] - half * uy, back[1] + half * ux), (back[0] + half * uy, back[1] - half * ux)]
    marks.polygon(corners, face=RED, edge=RED, width=0.5, layer=21)


def _extension(marks: Marks, frame: Frame, lack: TooClose, end: Point) -> None:
    """A thin line from the neighbour's edge to the dimension line's end where that lies off the neighbour."""
    left, bottom, right, top = (float(edge) for edge in lack.neighbour.span)
    near_x = min(max(end[0], frame.x(left)), frame.x(right))
    near_y = min(max(end[1], frame.y(bottom)), frame.y(top))
    if math.hypot(near_x - end[0], near_y - end[1]) > 2.0:
        marks.stroke([(near_x, near_y), end], colour=RED, width=1.0, layer=20)


def badge(marks: Marks, x: float, y: float, number: int, size: float) -> None:
    """A number in a filled circle."""
    radius = 0.78 * size
    marks.polygon(
        [(x + radius * c, y + radius * s) for c, s in CIRCLE], face=RED, edge=PAPER, width=1.6, layer=23
    )
    marks.label(x, y, str(number), size, colour=PAPER, bold=True, across="center", up="center")


def plate(marks: Marks, left: float, middle: float, wide: float, size: float) -> None:
    """Paper behind words, so that hatch and boards do not run through them."""
    low, high = middle - 0.68 * size, middle + 0.68 * size
    marks.polygon([(left, low), (left + wide, low), (left + wide, high), (left, high)], face=PAPER, edge=PAPER,
                  width=0.0, layer=22)  # fmt: skip


def key(marks: Marks, frame: Frame, sentences: list[str]) -> None:
    """The numbered sentences below the wall, as many as there is room for; what the hatch means in the last row."""
    sheet = frame.sheet
    step = 1.55 * sheet.small
    y = sheet.foot - 0.5 * step - 2
    rows = round((sheet.foot - 8.0) / step) - 1
    for number, sentence in enumerate(sentences, 1):
        lines = wrap(sentence, sheet.width - 34.0, sheet.small)
        more = number < len(sentences)
        if len(lines) + more > rows:
            words = f"and {len(sentences) - number + 1} more: see the table"
            marks.label(30.0, y, words, sheet.small, colour=INK, up="center")
            y -= step
            break
        badge(marks, 14.0, y, number, sheet.small)
        for line in lines:
            marks.label(30.0, y, line, sheet.small, colour=INK, up="center")
            y -= step
        rows -= len(lines)
    patch = [(4, y - 6), (25, y - 6), (25, y + 7), (4, y + 7)]
    marks.polygon(patch, face=PALE_GREEN, edge=GREEN, layer=6)
    for left in (5.0, 13.0):
        marks.stroke([(left, y - 5), (left + 11, y + 6)], colour=GREEN, layer=7)
    marks.label(30.0, y, "the new terminal's centre may lie here", sheet.small, colour=INK, up="center")
