"""Words beside moving parts: each takes the first of its places where it covers no other word, arrow, door or wall."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, Literal

import numpy as np

from hvaclib.plots.letters import DROP, RISE, Rectangle, label_box, text_width
from hvaclib.plots.style import INK

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    import numpy.typing as npt

    from hvaclib.plots.marks import Marks, Point
    from hvaclib.plots.section.layout import Box, Layout
    from hvaclib.plots.style import Sheet

Across = Literal["left", "right"]
LEADING = 1.2  # from line to line, of the size
AIR = 1.5  # px kept free round every word
MOVING_LAYER = 5  # from this layer up a shape must stay in sight; below it lie earth, shades and walls


@dataclass(frozen=True, slots=True)
class Line:
    """One line of words."""

    text: str
    bold: bool = False
    colour: str = INK


@dataclass(frozen=True, slots=True)
class Wanted:
    """Lines that want a place: anchors (x, top, which side of x) from the best on, and a symbol before the words.

    ``indent`` is the width of the symbol and ``least`` its height, px.

    Where all places are taken the lines are left out: the text alternative of the picture has them in any case.
    """

    lines: tuple[Line, ...]
    places: tuple[tuple[float, float, Across], ...]
    symbol: Callable[[Marks, float, float], None] | None = None
    indent: float = 0.0
    least: float = 0.0


class Taken:
    """The rectangles that are no longer free.

    Parameters
    ----------
    marks : Marks
        What is drawn already: its words, and its shapes from `MOVING_LAYER` up.
    layout : Layout
        Walls and floors.
    sheet : Sheet
        Words stay on it.
    """

    def __init__(self, marks: Marks, layout: Layout, sheet: Sheet) -> None:
        self.sheet = sheet
        self.rectangles: list[Rectangle] = [label_box(label) for label in marks.labels]
        self.rectangles += shapes_in_sight(marks)
        for box in layout.boxes.values():
            self.rectangles += _walls(box)

    def place(self, marks: Marks, wanted: Wanted) -> bool:
        """Write the lines at their first free place; false where there is none."""
        size = self.sheet.small
        width = wanted.indent + max((text_width(x.text, size, x.bold) for x in wanted.lines), default=0.0)
        height = max((RISE + DROP + LEADING * (len(wanted.lines) - 1)) * size, wanted.least)
        if not wanted.places:
            return False
        asked = np.array([(x if across == "left" else x - width, top) for x, top, across in wanted.places])
        boxes = np.column_stack([asked[:, 0], asked[:, 1] - height, asked[:, 0] + width, asked[:, 1]])
        free = np.flatnonzero(self._free(boxes))
        if not free.size:
            return False
        first = int(free[0])
        left, bottom, right, top = (float(v) for v in boxes[first])
        across = wanted.places[first][2]
        for i, line in enumerate(wanted.lines if width > wanted.indent else ()):
            y = top - (RISE + LEADING * i) * size
            x = left + wanted.indent if across == "left" else right
            marks.label(x, y, line.text, size, bold=line.bold, colour=line.colour, across=across)
        if wanted.symbol is not None:
            wanted.symbol(marks, left, (top + bottom) / 2)
        self.rectangles.append((left, bottom, right, top))
        return True

    def _free(self, boxes: npt.NDArray[np.float64]) -> npt.NDArray[np.bool_]:
        """Which of the boxes (N, 4) stay on the sheet and touch nothing that is taken."""
        taken = np.array(self.rectangles)
        clear = (
            (boxes[:, None, 0] >= taken[None, :, 2] + AIR)
            | (boxes[:, None, 2] <= taken[None, :, 0] - AIR)
            | (boxes[:, None, 1] >= taken[None, :, 3] + AIR)
            | (boxes[:, None, 3] <= taken[None, :, 1] - AIR)
        ).all(axis=1)
        inside = (boxes[:, 0] >= 2) & (boxes[:, 2] <= self.sheet.width - 2) & (boxes[:, 1] >= 2)
        return np.asarray(clear & inside & (boxes[:, 3] <= self.sheet.height - 2))


def shapes_in_sight(marks: Marks) -> list[Rectangle]:
    """Bounding rectangles of the shapes that no word may cover; a bent line piece by piece."""
    found = [_bounds(s.corners, s.width / 2) for s in marks.polygons if s.layer >= MOVING_LAYER]
    for stroke in marks.strokes:
        if stroke.layer >= MOVING_LAYER:
            points = list(stroke.points)
            found += [_bounds(pair, stroke.width / 2) for pair in pairwise(points)]
    return found


def _bounds(points: Iterable[Point], around: float) -> Rectangle:
    xs, ys = zip(*points, strict=True)
    return min(xs) - around, min(ys) - around, max(xs) + around, max(ys) + around


def _walls(box: Box) -> list[Rectangle]:
    half = 2.0
    return [
        (box.left - half, box.bottom, box.left + half, box.top),
        (box.right - half, box.bottom, box.right + half, box.top),
        (box.left, box.bottom - half, box.right, box.bottom + half),
        (box.left, box.top - half, box.right, box.top + half),
    ]


def beside(
    x: float, y: float, reach: float, half: float, size: float
) -> tuple[tuple[float, float, Across], ...]:
    """Places for one line at an arrow that lies level: beyond its ends, above it, below it."""
    middle, above, below = y + 0.49 * size, y + half + 1.1 * size + 2, y - half - 3
    return (
        (x + reach + 3, middle, "left"), (x - reach - 3, middle, "right"), (x + 5, above, "left"), (x - 5, above, "right"),
        (x + 5, below, "left"), (x - 5, below, "right"), (x + 24, above, "left"), (x - 24, above, "right"),
        (x + 24, below, "left"), (x - 24, below, "right"),
    )  # fmt: skip


def along(
    x: float, y: float, reach: float, half: float, size: float
) -> tuple[tuple[float, float, Across], ...]:
    """Places for one line at an arrow that stands upright and is crossed by a floor at half its height."""
    places: list[tuple[float, float, Across]] = []
    for level in (y + 7 + size, y - 8, y + reach, y - reach + size, y + reach + 1.2 * size, y - reach - 2):
        places += [(x + half + 3, level, "left"), (x - half - 3, level, "right")]
    return tuple(places)


def within(box: Box, step: float = 7.0) -> tuple[tuple[float, float, Across], ...]:
    """Places all over a room, in columns from the floor up: first clear of an arrow through the left wall."""
    xs = np.arange(box.left + 10.0, box.right - 20.0, 1.5 * step).tolist()
    xs.sort(key=lambda x: x < box.left + min(30.0, 0.3 * box.width))
    tops = np.arange(box.bottom + 20.0, box.top - 4.0, step).tolist()
    return tuple((x, top, "left") for x in xs for top in tops)
