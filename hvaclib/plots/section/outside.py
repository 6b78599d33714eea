"""Ways to outdoors: arrows through the outside walls and the roof, fans, windows, and their figures in the margin."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hvaclib.plots.section import symbols
from hvaclib.plots.section.brush import COLOURS, STILL, Brush, flow_arrow
from hvaclib.plots.section.data import OUTDOORS, SectionPath
from hvaclib.plots.section.shell import wall_x
from hvaclib.plots.style import GREY, INK, wrap

if TYPE_CHECKING:
    from hvaclib.plots.marks import Marks
    from hvaclib.plots.section.data import SectionZone
    from hvaclib.plots.section.layout import Box, Layout


def merged(paths: list[SectionPath]) -> list[SectionPath]:
    """A zone's leaks to outdoors become one; fans first, then openings, then the leaks."""
    leaks = [p for p in paths if p.kind == "leak"]
    rest = sorted((p for p in paths if p.kind != "leak"), key=lambda p: p.kind != "fan")
    if leaks:
        rest.append(SectionPath("leaks", leaks[0].start, OUTDOORS, "leak", sum(p.forward for p in leaks),
                                sum(p.backward for p in leaks)))  # fmt: skip
    return rest


def outside(
    marks: Marks, zone: SectionZone, layout: Layout, brush: Brush, paths: list[SectionPath], columns: list[float],
    clear: float,
) -> None:  # fmt: skip
    """Spread a zone's ways to outdoors over its outside walls; a zone without one lists them inside."""
    box = layout.boxes[zone.name]
    on_left, on_right = layout.edge(zone.name)
    if not (on_left or on_right):
        _listed(marks, box, paths, brush, columns, clear)
        return
    sides: dict[bool, list[SectionPath]] = {False: [], True: []}
    vent_right = bool(columns) and sum(columns) / len(columns) > box.middle
    for i, path in enumerate(paths):
        alone = not vent_right if zone.attic else i % 2 == 0 and path.kind != "leak"
        sides[on_right if on_left != on_right else alone].append(path)
    for right, own in sides.items():
        for i, path in enumerate(own):
            y = box.top - box.height * (i + 0.5) / len(own)
            if zone.attic:
                y = box.bottom + 0.62 * box.height * (len(own) - i - 0.3) / len(own)
            wall = wall_x(zone, box, layout.house, right, y)
            _through_wall(marks, path, wall, y, 1.0 if right else -1.0, brush, zone.attic)


def _through_wall(
    marks: Marks, path: SectionPath, wall: float, y: float, out: float, brush: Brush, sky: bool
) -> None:
    """One way through an outside wall with its arrows and, in the margin, its name and figures."""
    sheet = brush.sheet
    reach, inner = (24.0, 5.0) if sheet.narrow else (40.0, 10.0)
    colour = COLOURS[path.kind]
    streams = [(path.forward, 1.0), (path.backward, -1.0)]
    streams = [(flow, way) for flow, way in streams if flow > STILL and (path.kind != "fan" or path.active)]
    step = 13.0 if not sheet.narrow else 9.0
    for i, (flow, way) in enumerate(streams):
        level = y + step * ((len(streams) - 1) / 2 - i)
        ends = [(wall - out * inner, level), (wall + out * reach, level)]
        flow_arrow(marks, ends, way > 0, brush.thickness(flow), colour)
    if path.kind == "fan":
        symbols.fan(marks, wall, y, 12.0 if not sheet.narrow else 8.5, path.active, colour)
    elif path.kind in ("door", "window"):
        symbols.door_leaf(marks, wall, y - 18, 36, path.active)
    _margin_words(marks, path, streams, wall, y, out, reach, brush, sky)


def _margin_words(
    marks: Marks, path: SectionPath, streams: list[tuple[float, float]], wall: float, y: float, out: float,
    reach: float, brush: Brush, sky: bool,
) -> None:  # fmt: skip
    """Name and figures of a way to outdoors; on a phone below its arrow, or above it where the eaves stand below."""
    sheet = brush.sheet
    lines: list[tuple[str, bool]] = []
    edge = sheet.width - 4.0 if out > 0 else 4.0
    near = wall + out * (reach + 6)
    space = abs(edge - near) if not sheet.narrow else abs(edge - wall) - 3
    if not streams and path.kind != "fan":
        return  # a shut window shows its leaf; its name stands in the words of the picture
    if path.kind != "leak":
        lines += [(part, False) for part in wrap(path.name, space, sheet.small)]
    words = {(1.0, True): "out ", (-1.0, True): "in "}
    for flow, way in streams:
        figure = brush.figure(flow)
        if sheet.narrow and flow < max(f for f, _ in streams):
            continue  # the margin of a phone has room for the larger of two
        if figure:
            lines.append((words.get((way, len(streams) > 1 and not sheet.narrow), "") + figure, True))
    if not streams:
        lines.append(("off", False))
    height = 1.18 * sheet.small
    if sheet.narrow:
        x, top = wall + out * 5, y - (10 if path.kind == "fan" else 4 + 4 * len(streams))
        if sky:
            x, top = edge, y + height * len(lines) + 10
    else:
        x, top = near, y + height * len(lines) / 2
    for i, (line, bold) in enumerate(lines):
        quiet = path.kind == "fan" and not path.active
        marks.label(x, top - height * i, line, sheet.small, colour=GREY if quiet else INK, bold=bold,
                    across="left" if (out > 0) != (x == edge) else "right", up="top")  # fmt: skip


def _listed(
    marks: Marks, box: Box, paths: list[SectionPath], brush: Brush, columns: list[float], clear: float
) -> None:
    """Ways to outdoors of a zone in the middle of its storey: a short list at its floor."""
    sheet = brush.sheet
    y = box.bottom + clear
    left = box.left + (14 if sheet.narrow else 30)  # clear of an open door
    crossing = [x for x in columns if left - 10 < x < box.middle]
    if crossing:
        left = max(crossing) + 14
    for path in reversed(paths):
        if path.kind == "fan":
            symbols.fan(marks, left + 8, y + 5, 8.0, path.active, COLOURS["fan"])
            text = f"{path.name} " + (brush.figure(path.forward + path.backward) if path.active else "off")
            marks.label(left + 21, y, wrap(text, box.right - left - 24, sheet.small, lines=1)[0], sheet.small)
        else:
            parts = [f"{word} {brush.figure(flow)}" for word, flow in (("in", path.backward), ("out", path.forward))
                     if brush.figure(flow)]  # fmt: skip
            if not parts:
                continue
            text = f"{path.name}: {', '.join(parts)}"
            marks.label(
                left,
                y,
                wrap(text, box.right - left - 4, sheet.small, lines=1)[0],
                sheet.small,
                colour=COLOURS[path.kind],
            )
        y += 1.35 * sheet.small
