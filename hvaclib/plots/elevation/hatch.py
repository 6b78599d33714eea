"""The places allowed for a new terminal: pale ground and slanting lines, cut out of a grid of yes and no."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from hvaclib.plots.style import GREEN

if TYPE_CHECKING:
    import numpy.typing as npt

    from hvaclib.physics.terminations import Region
    from hvaclib.plots.elevation.frame import Frame
    from hvaclib.plots.marks import Marks

PALE_GREEN = "#dff0e9"
SPACING = 13.0  # px between two lines of the hatch
SAMPLE = 2.0  # px along them


def runs(flags: npt.NDArray[np.bool_]) -> list[tuple[int, int]]:
    """First and one-past-last index of each stretch of true values."""
    edges = np.flatnonzero(np.diff(np.concatenate([[0], flags.astype(np.int8), [0]])))
    return [(int(a), int(b)) for a, b in zip(edges[::2], edges[1::2], strict=True)]


def allowed_places(marks: Marks, region: Region, frame: Frame) -> None:
    """Shade and hatch the allowed places."""
    _ground(marks, region, frame)
    _lines(marks, region, frame)


def _ground(marks: Marks, region: Region, frame: Frame) -> None:
    """Rectangles of allowed cells; rows with the same stretches are one."""
    step_x, step_y = region.x[1] - region.x[0], region.y[1] - region.y[0]
    rows = [tuple(runs(row)) for row in region.allowed]
    first = [0, *(n + 1 for n, (a, b) in enumerate(pairwise(rows)) if a != b), len(rows)]
    for start, end in pairwise(first):
        for a, b in rows[start]:
            left, right = region.x[a] - step_x / 2, region.x[b - 1] + step_x / 2
            bottom, top = region.y[start] - step_y / 2, region.y[end - 1] + step_y / 2
            marks.polygon(
                frame.box(left, bottom, right, top), face=PALE_GREEN, edge=PALE_GREEN, width=0.6, layer=3
            )


def _lines(marks: Marks, region: Region, frame: Frame) -> None:
    """Lines that rise to the right, each drawn only over allowed cells."""
    wide, tall = frame.scale * frame.width, frame.scale * frame.height
    starts = np.arange(-tall, wide, SPACING)
    along = np.arange(0.0, tall + SAMPLE, SAMPLE)
    x = starts[:, None] + along[None, :]
    y = np.broadcast_to(along, x.shape)
    columns = np.rint(x / wide * (len(region.x) - 1)).astype(int)
    lines = np.rint(y / tall * (len(region.y) - 1)).astype(int)
    inside = (columns >= 0) & (columns < len(region.x)) & (lines < len(region.y))
    on = inside & region.allowed[
        np.clip(lines, 0, len(region.y) - 1), np.clip(columns, 0, len(region.x) - 1)
    ]  # fmt: skip
    for start, flags in zip(starts, on, strict=True):
        for a, b in runs(flags):
            if b - a > 1:
                ends = [(start + along[n], along[n]) for n in (a, b - 1)]
                points = [(frame.left + px, frame.grade + py) for px, py in ends]
                marks.stroke(points, colour=GREEN, width=1.0, layer=4)
