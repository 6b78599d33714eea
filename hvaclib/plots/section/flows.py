"""The moving air of a section: every path told from its zones and handed to the wall, floor or register it crosses."""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING

from hvaclib.plots.section.brush import Brush
from hvaclib.plots.section.data import OUTDOORS, SectionPath
from hvaclib.plots.section.inside import between, registers
from hvaclib.plots.section.outside import merged, outside
from hvaclib.plots.section.placing import Taken

if TYPE_CHECKING:
    from hvaclib.plots.marks import Marks
    from hvaclib.plots.section.data import Section
    from hvaclib.plots.section.layout import Layout
    from hvaclib.plots.style import Sheet, System


def flows(
    marks: Marks, section: Section, layout: Layout, sheet: Sheet, system: System,
    room: tuple[list[float], dict[str, float]], signs: dict[str, str],
) -> None:  # fmt: skip
    """Draw every path of a section, then find places for their names and figures.

    ``room`` is what is taken: the vent columns, and how far down the words of each zone come.
    """
    ducts = [p for p in section.paths if p.kind == "duct"]
    others = [p for p in section.paths if p.kind != "duct"]
    brush = Brush(sheet, system, max((p.forward + p.backward for p in others), default=0.0), signs)
    for zone in section.zones:
        name = zone.name
        own = [
            _from_zone(p, name) for p in others if OUTDOORS in (p.start, p.end) and name in (p.start, p.end)
        ]
        outside(marks, zone, layout, brush, merged(own), (room[0], room[1][name]))
        if name == section.air_handler_zone:
            continue  # every duct ends there; its own sum says nothing
        registers(
            marks, layout.boxes[name], [_from_zone(p, name) for p in ducts if name in (p.start, p.end)], brush
        )
    inside = sorted(
        (p for p in others if OUTDOORS not in (p.start, p.end) and p.start != p.end),
        key=lambda p: (min(p.start, p.end), max(p.start, p.end)),
    )
    for (one, two), group in groupby(inside, key=lambda p: (min(p.start, p.end), max(p.start, p.end))):
        between(marks, one, two, [_from_zone(p, one) for p in group], layout, brush, room)
    taken = Taken(marks, layout, sheet)
    for wanted in (*brush.first, *(w for _, w in sorted(brush.later, key=lambda item: -item[0]))):
        taken.place(marks, wanted)


def _from_zone(path: SectionPath, zone: str) -> SectionPath:
    """The same path told from one zone: forward is what leaves it."""
    if path.start == zone:
        return path
    return SectionPath(path.name, zone, path.start, path.kind, path.backward, path.forward, path.active)
