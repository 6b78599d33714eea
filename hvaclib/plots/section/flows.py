"""The moving air of a section: every path told from its zones and handed to the wall, floor or register it crosses."""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING

from hvaclib.plots.section.brush import Brush
from hvaclib.plots.section.data import OUTDOORS, SectionPath
from hvaclib.plots.section.inside import between, registers
from hvaclib.plots.section.outside import merged, outside

if TYPE_CHECKING:
    from hvaclib.plots.marks import Marks
    from hvaclib.plots.section.data import Section
    from hvaclib.plots.section.layout import Layout
    from hvaclib.plots.style import Sheet, System


def flows(
    marks: Marks, section: Section, layout: Layout, sheet: Sheet, system: System, columns: list[float]
) -> None:
    """Draw every path of a section."""
    seen = [p.forward + p.backward for p in section.paths if p.kind != "duct"]
    brush = Brush(sheet, system, max(seen, default=0.0))
    zones = {z.name: z for z in section.zones}
    ducts = [p for p in section.paths if p.kind == "duct"]
    others = [p for p in section.paths if p.kind != "duct"]
    with_ducts = {name for p in ducts for name in (p.start, p.end)}
    for name, zone in zones.items():
        own = [
            _from_zone(p, name) for p in others if OUTDOORS in (p.start, p.end) and name in (p.start, p.end)
        ]
        outside(marks, zone, layout, brush, merged(own), columns, 30.0 if name in with_ducts else 7.0)
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
        between(marks, one, two, [_from_zone(p, one) for p in group], layout, brush, columns)


def _from_zone(path: SectionPath, zone: str) -> SectionPath:
    """The same path told from one zone: forward is what leaves it."""
    if path.start == zone:
        return path
    return SectionPath(path.name, zone, path.start, path.kind, path.backward, path.forward, path.active)
