"""Ways between zones: through partitions and floors, and the registers of the air handler."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hvaclib.plots.section import symbols
from hvaclib.plots.section.brush import COLOURS, STILL, Brush, flow_arrow
from hvaclib.plots.style import PAPER, letter_width

if TYPE_CHECKING:
    from hvaclib.plots.marks import Marks
    from hvaclib.plots.section.data import SectionPath
    from hvaclib.plots.section.layout import Box, Layout


def registers(marks: Marks, box: Box, ducts: list[SectionPath], brush: Brush) -> None:
    """Supply and return of the air handler as short arrows at the floor, with figures where they fit."""
    supply, taken = sum(p.backward for p in ducts), sum(p.forward for p in ducts)
    x = box.left + (9.0 if brush.sheet.narrow else 13.0)
    for flow, up, word in ((supply, True, "supply"), (taken, False, "return")):
        if flow <= STILL:
            continue
        ends = [(x, box.bottom + 1), (x, box.bottom + 23)]
        flow_arrow(marks, ends, up, min(8.0, brush.thickness(flow)), COLOURS["duct"])
        text = f"{word} {brush.figure(flow)}"
        space = 0.55 * box.width - 48 - (x - box.left)  # what the floor's own figures leave
        if 9 + letter_width(brush.sheet.small) * len(text) > space:
            text = brush.figure(flow)
        if text and 9 + letter_width(brush.sheet.small) * len(text) < space:
            marks.label(x + 9, box.bottom + 7, text, brush.sheet.small)
            x += 18 + letter_width(brush.sheet.small) * len(text)
        else:
            x += 15


def between(
    marks: Marks,
    one: str,
    two: str,
    paths: list[SectionPath],
    layout: Layout,
    brush: Brush,
    columns: list[float],
) -> None:
    """Ways between two zones: through their partition, through the floor between them, or along a dashed line."""
    a, b = layout.boxes[one], layout.boxes[two]
    paths = sorted(paths, key=lambda p: p.kind != "door")
    touching = abs(a.right - b.left) < 1 or abs(b.right - a.left) < 1
    if touching and layout.storey_of(one) == layout.storey_of(two):
        for i, path in enumerate(paths):
            _through_partition(marks, path, a, b, (i, len(paths)), brush)
        return
    overlap = (max(a.left, b.left), min(a.right, b.right))
    if abs(layout.storey_of(one) - layout.storey_of(two)) == 1 and overlap[1] - overlap[0] > 30:
        for i, path in enumerate(paths):
            _through_floor(marks, path, a, b, _slot(overlap, i, len(paths), columns), brush)
        return
    _around(marks, paths, a, b, brush)


def _slot(overlap: tuple[float, float], i: int, count: int, columns: list[float]) -> float:
    """Place along a floor: in the right-hand part, where no zone has its words, and beside any vent."""
    x = overlap[0] + (overlap[1] - overlap[0]) * (0.56 + 0.4 * (i + 0.5) / count)
    for column in columns:
        if abs(x - column) < 20:
            x = column - 24
    return x


def _through_partition(
    marks: Marks, path: SectionPath, a: Box, b: Box, place: tuple[int, int], brush: Brush
) -> None:
    i, count = place
    wall = b.left if abs(a.right - b.left) < 1 else a.left
    toward_b = 1.0 if wall == b.left else -1.0
    part = 0.66 * a.height / count
    bottom = a.bottom + i * part
    if path.kind == "door":
        symbols.door_leaf(marks, wall, bottom, 0.86 * part, path.active)
    middle = bottom + 0.45 * part
    reach = 13.0 if brush.sheet.narrow else 22.0
    streams = [(flow, way) for flow, way in ((path.forward, 1.0), (path.backward, -1.0)) if flow > STILL]
    if len(streams) == 2:  # warm air leaves at the top of a doorway: the arrows stand apart
        streams.sort(key=lambda s: s[1])
    for k, (flow, way) in enumerate(streams):
        level = middle + (0.0 if len(streams) == 1 else (k - 0.5) * 0.42 * part)
        ends = [(wall - toward_b * reach, level), (wall + toward_b * reach, level)]
        flow_arrow(marks, ends, way > 0, brush.thickness(flow), COLOURS[path.kind])
        if k == len(streams) - 1:
            _boxed(marks, wall, level + brush.thickness(flow) / 2 + 3, brush.figure(flow), brush.sheet.small)


def _through_floor(marks: Marks, path: SectionPath, a: Box, b: Box, x: float, brush: Brush) -> None:
    a_is_lower = a.bottom < b.bottom
    y = (a.top if a_is_lower else b.top) + 3.5
    if path.kind in ("door", "opening"):
        symbols.hatch_leaf(marks, x, y, 30 if not brush.sheet.narrow else 22, 7, path.active)
    reach = 13.0 if brush.sheet.narrow else 20.0
    streams = [(flow, way) for flow, way in ((path.forward, 1.0), (path.backward, -1.0)) if flow > STILL]
    for k, (flow, way) in enumerate(streams):
        upward = (way > 0) == a_is_lower
        at = x + (0.0 if len(streams) == 1 else (k - 0.5) * 13)
        ends = [(at, y - reach), (at, y + reach)]
        flow_arrow(marks, ends, upward, brush.thickness(flow), COLOURS[path.kind])
    if streams:
        text = brush.figure(max(flow for flow, _ in streams))
        if text:
            half = letter_width(brush.sheet.small, bold=True) * len(text) / 2
            _boxed(marks, x - half - 11, y + 8, text, brush.sheet.small)


def _around(marks: Marks, paths: list[SectionPath], a: Box, b: Box, brush: Brush) -> None:
    """Zones that do not touch in the drawing: the air goes along inside the floor, dashed, with the net flow."""
    net = sum(p.forward - p.backward for p in paths)
    if abs(net) <= STILL:
        return
    source, sink = (a, b) if net > 0 else (b, a)
    level = max(a.bottom, b.bottom) - 3.5
    colour, thickness = COLOURS[paths[0].kind], brush.thickness(abs(net))
    reach = 15.0 if brush.sheet.narrow else 22.0
    x0 = source.left + (0.86 if source.middle < sink.middle else 0.4) * source.width
    x1 = sink.left + (0.4 if source.middle < sink.middle else 0.86) * sink.width
    y0 = level + (reach if source.bottom > level else -reach)
    y1 = level + (reach if sink.bottom > level else -reach)
    symbols.arrow(marks, (x0, y0), (x0, level), thickness, colour)
    marks.stroke([(x0, level), (x1, level)], colour="#8fe0c6", width=2.0, layer=11, dash=(5, 4))
    symbols.arrow(marks, (x1, level), (x1, y1), thickness, colour)
    text = brush.figure(abs(net))
    half = letter_width(brush.sheet.small, bold=True) * len(text) / 2
    beside = (
        x0 if source.bottom > level else x1
    )  # beside the end in the upper storey, clear of the names below
    _boxed(marks, beside - half - 11, level + 8, text, brush.sheet.small)


def _boxed(marks: Marks, x: float, y: float, text: str, size: float) -> None:
    """A figure on a paper ground, centred above a point."""
    if not text:
        return
    half = letter_width(size, bold=True) * len(text) / 2 + 2
    marks.polygon([(x - half, y - 2), (x + half, y - 2), (x + half, y + size), (x - half, y + size)],
                  face=PAPER, edge=PAPER, width=0.0, layer=20)  # fmt: skip
    marks.label(x, y, text, size, bold=True, across="center", up="baseline")
