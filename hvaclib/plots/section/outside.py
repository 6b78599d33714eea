"""Ways to outdoors: arrows through the outside walls and the roof, fans, windows, and their figures in the margin."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from hvaclib.plots.letters import text_width, wrap
from hvaclib.plots.section import symbols
from hvaclib.plots.section.brush import COLOURS, STILL, Brush, flow_arrow
from hvaclib.plots.section.data import OUTDOORS, SectionPath
from hvaclib.plots.section.placing import LEADING, Line, Wanted, within
from hvaclib.plots.section.shell import wall_x
from hvaclib.plots.section.words import flow_text
from hvaclib.plots.style import GREY, INK

if TYPE_CHECKING:
    from hvaclib.plots.marks import Marks
    from hvaclib.plots.section.data import SectionZone
    from hvaclib.plots.section.layout import Box, Layout
    from hvaclib.plots.section.placing import Across

Streams = list[tuple[float, float]]
Places = tuple[tuple[float, float, "Across"], ...]


def merged(paths: list[SectionPath]) -> list[SectionPath]:
    """A zone's leaks to outdoors become one; fans first, then openings, then the leaks."""
    leaks = [p for p in paths if p.kind == "leak"]
    rest = sorted((p for p in paths if p.kind != "leak"), key=lambda p: p.kind != "fan")
    if leaks:
        rest.append(SectionPath("leaks", leaks[0].start, OUTDOORS, "leak", sum(p.forward for p in leaks),
                                sum(p.backward for p in leaks)))  # fmt: skip
    return rest


def outside(
    marks: Marks, zone: SectionZone, layout: Layout, brush: Brush, paths: list[SectionPath], room: tuple[list[float], float],
) -> None:  # fmt: skip
    """Spread a zone's ways to outdoors over its outside walls; a zone without one lists them inside.

    ``room`` is what is taken: the vent columns, and how far down the zone's words come.
    """
    box = layout.boxes[zone.name]
    columns, words = room
    on_left, on_right = layout.edge(zone.name)
    if not (on_left or on_right):
        _listed(box, paths, brush)
        return
    sides: dict[bool, list[SectionPath]] = {False: [], True: []}
    vent_right = bool(columns) and sum(columns) / len(columns) > box.middle
    for i, path in enumerate(paths):
        alone = not vent_right if zone.attic else i % 2 == 0 and path.kind != "leak"
        sides[on_right if on_left != on_right else alone].append(path)
    for right, own in sides.items():
        # on the left the words of the zone stand at the wall: what crosses it stays below them
        tall = box.height if right or zone.attic else max(words - 4 - box.bottom, 0.45 * box.height)
        for i, path in enumerate(own):
            y = box.bottom + tall * (1 - (i + 0.5) / len(own))
            if zone.attic:
                y = box.bottom + 0.62 * box.height * (len(own) - i - 0.3) / len(own)
            wall = wall_x(zone, box, layout.house, right, y)
            _through_wall(marks, path, wall, y, 1.0 if right else -1.0, brush)


def _through_wall(marks: Marks, path: SectionPath, wall: float, y: float, out: float, brush: Brush) -> None:
    """One way through an outside wall with its arrows; its name and figures wait for a place in the margin."""
    sheet = brush.sheet
    reach, inner = (21.0, 5.0) if sheet.narrow else (40.0, 10.0)
    colour = COLOURS[path.kind]
    running = path.kind != "fan" or path.active
    streams = [(path.forward, 1.0), (path.backward, -1.0)]
    streams = [(flow, way) for flow, way in streams if flow > STILL and running]
    step = 13.0 if not sheet.narrow else 9.0
    for i, (flow, way) in enumerate(streams):
        level = y + step * ((len(streams) - 1) / 2 - i)
        ends = [(wall - out * inner, level), (wall + out * reach, level)]
        flow_arrow(marks, ends, way > 0, brush.thickness(flow), colour)
    if path.kind == "fan":
        radius = 12.0 if not sheet.narrow else 8.5
        symbols.fan(marks, wall, y, radius, path.active, colour, brush.signs.get(path.name, ""))
    elif path.kind in ("door", "window"):
        tall = 36 if not sheet.narrow else 24
        symbols.door_leaf(marks, wall, y - tall / 2, tall, path.active, 7.0)
    if sheet.narrow:
        _narrow_words(path, streams, (wall, y, out), brush)
    else:
        _margin_words(path, streams, (wall + out * (reach + 6), y, out), brush)


def _margin_words(path: SectionPath, streams: Streams, at: tuple[float, float, float], brush: Brush) -> None:
    """Name and figures of a way to outdoors beside its arrow, moved up or down where that place is taken."""
    near, y, out = at
    sheet = brush.sheet
    quiet = not path.active
    colour = GREY if quiet else INK
    space = sheet.width - 4.0 - near if out > 0 else near - 4.0
    lines = []
    if path.kind != "leak":
        lines = [Line(part, colour=colour) for part in wrap(path.name, space, sheet.small, lines=3)]
    for flow, way in streams:
        figure = flow_text(flow, brush.system) if path.kind == "fan" else brush.figure(flow)
        if figure:
            word = "" if len(streams) == 1 else "out " if way > 0 else "in "
            lines.append(Line(word + figure, bold=True))
    if quiet:
        lines.append(Line("off" if path.kind == "fan" else "shut", bold=True, colour=colour))
    if not lines:
        return
    half = (LEADING * (len(lines) - 1) + 0.98) * sheet.small / 2
    across: Across = "left" if out > 0 else "right"
    moves = sorted((7.0 * k for k in range(-7, 8)), key=abs)
    wanted = Wanted(tuple(lines), tuple((near, y + half + move, across) for move in moves))
    brush.first.append(wanted)


def _narrow_words(path: SectionPath, streams: Streams, at: tuple[float, float, float], brush: Brush) -> None:
    """On a phone: the sign of the key at the arrow, and the larger figure in the margin, number over unit."""
    wall, y, out = at
    sheet = brush.sheet
    edge = wall + out * 31.0
    across: Across = "right" if out > 0 else "left"
    sign = brush.signs.get(path.name, "")
    if sign and path.kind != "fan":
        brush.first.append(_badge(path, sign, _near(wall, y, out, sheet.small)))
    elif not sign and streams:  # the flow of a numbered way stands in the key
        flow = max(flow for flow, _ in streams)
        parts = brush.figure(flow).split(" ")
        if all(text_width(p, sheet.small, True) <= 31.0 for p in parts):
            below, above = y - 7 - 4.5 * (len(streams) - 1), y + 7 + 4.5 * len(streams) + 2.2 * sheet.small
            brush.later.append(
                (
                    flow,
                    Wanted(
                        tuple(Line(p, bold=True) for p in parts if p),
                        ((edge, below, across), (edge, above, across)),
                    ),
                )
            )


def _badge(path: SectionPath, sign: str, places: Places) -> Wanted:
    """The sign of the key in a small frame."""
    draw = partial(symbols.badge, sign=sign, active=path.active, colour=COLOURS[path.kind])
    return Wanted((Line(""),), places, draw, symbols.BADGE, symbols.BADGE)


def _near(wall: float, y: float, out: float, size: float) -> Places:
    """Places for a sign round the point where a way crosses the wall."""
    outward: Across = "left" if out > 0 else "right"
    inward: Across = "right" if out > 0 else "left"
    places: list[tuple[float, float, Across]] = []
    for level in (y + 7 + size, y - 7, y + 14 + size, y - 14, y + 24 + size, y - 24, y + size / 2):
        places += [
            (wall + out * 9, level, outward),
            (wall - out * 9, level, inward),
            (wall + out * 20, level, outward),
        ]
    return tuple(places)


def _listed(box: Box, paths: list[SectionPath], brush: Brush) -> None:
    """Ways to outdoors of a zone in the middle of its storey: a short list in the room, placed where it is free."""
    narrow = brush.sheet.narrow
    for path in paths:
        flow = path.forward + path.backward
        if path.kind == "fan":
            radius = 8.5 if narrow else 9.0
            sign = brush.signs.get(path.name, "")
            draw = partial(_listed_fan, radius=radius, path=path, sign=sign)
            words = f"{path.name} {flow_text(flow, brush.system) if path.active else 'off'}"
            colour = INK if path.active else GREY
            lines: tuple[Line, ...] = (Line(""),) if sign else (Line(words, colour=colour),)
            brush.first.append(Wanted(lines, within(box), draw, 2 * radius + (0 if sign else 5), 2 * radius))
            continue
        parts = [f"{word} {brush.figure(part)}" for word, part in (("in", path.backward), ("out", path.forward))
                 if brush.figure(part)]  # fmt: skip
        if narrow:
            if path.name in brush.signs:
                brush.first.append(_badge(path, brush.signs[path.name], within(box)))
            continue
        if not parts:
            continue
        name = path.name if path.kind != "leak" else "leaks"
        colour = LEAK_WORDS if path.kind == "leak" else INK
        lines = tuple(Line(part, colour=colour) for part in (f"{name} {parts[0]}", *parts[1:]))
        brush.later.append((flow, Wanted(lines, within(box))))


LEAK_WORDS = "#005a8c"  # blue dark enough to read: 7 to 1 on paper


def _listed_fan(
    marks: Marks, left: float, middle: float, *, radius: float, path: SectionPath, sign: str
) -> None:
    symbols.fan(marks, left + radius, middle, radius, path.active, COLOURS["fan"], sign)
