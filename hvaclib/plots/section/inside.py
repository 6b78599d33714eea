"""Ways between zones: through partitions and floors, and the registers of the air handler."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hvaclib.plots.section import symbols
from hvaclib.plots.section.brush import COLOURS, STILL, Brush, flow_arrow
from hvaclib.plots.section.placing import along, beside

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
        thickness = min(8.0, brush.thickness(flow))
        ends = [(x, box.bottom + 1), (x, box.bottom + 23)]
        flow_arrow(marks, ends, up, thickness, COLOURS["duct"])
        places = along(x, box.bottom + 12, 11.0, max(thickness, 4.2), brush.sheet.small)
        brush.tell(flow, places, "" if brush.sheet.narrow else word)
        x += 15


def between(
    marks: Marks,
    one: str,
    two: str,
    paths: list[SectionPath],
    layout: Layout,
    brush: Brush,
    room: tuple[list[float], dict[str, float]],
) -> None:
    """Ways between two zones: through their partition, through the floor between them, or along a dashed line.

    ``room`` is what is taken: the vent columns, and how far down the words of each zone come.
    """
    a, b = layout.boxes[one], layout.boxes[two]
    columns, words = room
    paths = sorted(paths, key=lambda p: p.kind != "door")
    touching = abs(a.right - b.left) < 1 or abs(b.right - a.left) < 1
    if touching and layout.storey_of(one) == layout.storey_of(two):
        free = min(words[one], words[two]) - a.bottom - 4
        for i, path in enumerate(paths):
            _through_partition(marks, path, a, b, (i, len(paths), free), brush)
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
    marks: Marks, path: SectionPath, a: Box, b: Box, place: tuple[int, int, float], brush: Brush
) -> None:
    """One way through a partition; a door stands below the words of the zones beside it."""
    i, count, free = place
    wall = b.left if abs(a.right - b.left) < 1 else a.left
    toward_b = 1.0 if wall == b.left else -1.0
    part = min(0.66 * a.height, max(free, 24.0)) / count
    bottom = a.bottom + i * part
    if path.kind == "door":
        lean = 9.0 if brush.sheet.narrow else 20.0
        symbols.door_leaf(marks, wall, bottom, 0.94 * part, path.active, lean)
    middle = bottom + 0.5 * part
    reach = 13.0 if brush.sheet.narrow else 22.0
    streams = [(flow, way) for flow, way in ((path.forward, 1.0), (path.backward, -1.0)) if flow > STILL]
    if len(streams) == 2:  # warm air leaves at the top of a doorway: the arrows stand apart
        streams.sort(key=lambda s: s[1])
    for k, (flow, way) in enumerate(streams):
        level = middle + (0.0 if len(streams) == 1 else (k - 0.5) * 0.42 * part)
        thickness = brush.thickness(flow)
        ends = [(wall - toward_b * reach, level), (wall + toward_b * reach, level)]
        flow_arrow(marks, ends, way > 0, thickness, COLOURS[path.kind])
        brush.tell(flow, beside(wall, level, reach, max(thickness, 4.2), brush.sheet.small))


def _through_floor(marks: Marks, path: SectionPath, a: Box, b: Box, x: float, brush: Brush) -> None:
    a_is_lower = a.bottom < b.bottom
    y = (a.top if a_is_lower else b.top) + 3.5
    if path.kind in ("door", "opening"):
        symbols.hatch_leaf(marks, x, y, 30 if not brush.sheet.narrow else 22, 7, path.active)
    reach = 13.0 if brush.sheet.narrow else 20.0
    streams = [(flow, way) for flow, way in ((path.forward, 1.0), (path.backward, -1.0)) if flow > STILL]
    for k, (flow, way) in enumerate(streams):
        upward = (way > 0) == a_is_lower
        at = x + (0.0 if len(streams) == 1 else (k - 0.5) * 15)
        thickness = brush.thickness(flow)
        ends = [(at, y - reach), (at, y + reach)]
        flow_arrow(marks, ends, upward, thickness, COLOURS[path.kind])
        brush.tell(flow, along(at, y, reach, max(thickness, 4.2), brush.sheet.small))


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
    beside_it = x0 if source.bottom > level else x1  # the end in the upper storey, clear of the names below
    brush.tell(abs(net), along(beside_it, level, reach, max(thickness, 4.2), brush.sheet.small))
