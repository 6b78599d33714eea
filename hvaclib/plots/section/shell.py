"""The still part of the section: earth, walls, roof, and each zone's name, pressure and shade."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from hvaclib.plots.letters import text_width, wrap
from hvaclib.plots.section import symbols
from hvaclib.plots.section.words import pressure_text
from hvaclib.plots.style import BLUE, GREY, ORANGE, PAPER

if TYPE_CHECKING:
    from hvaclib.plots.marks import Marks
    from hvaclib.plots.section.data import Section, SectionZone
    from hvaclib.plots.section.layout import Box, Layout
    from hvaclib.plots.style import Sheet, System

FULL_SHADE = 8.0  # Pa: the deepest shade
EARTH = "#e9e2d8"
WALL = "#2f3a44"
EAVES = 14.0  # px that the roof stands over the wall


def shade(pressure: float) -> str:
    """Paper at 0 Pa, towards blue below outdoors, towards orange above."""
    share = 0.38 * min(1.0, abs(pressure) / FULL_SHADE) ** 0.7
    target = BLUE if pressure < 0 else ORANGE
    mixed = [
        round((1 - share) * int(PAPER[i : i + 2], 16) + share * int(target[i : i + 2], 16)) for i in (1, 3, 5)
    ]
    return "#" + "".join(f"{part:02x}" for part in mixed)


def outline(zone: SectionZone, box: Box, house: Box) -> list[tuple[float, float]]:
    """Corners of a zone: a box, or the gable for an attic that fills its storey."""
    if zone.attic and box.width > 0.99 * house.width:
        return [(box.left - EAVES, box.bottom), (box.middle, box.top + 8), (box.right + EAVES, box.bottom)]
    return [(box.left, box.bottom), (box.right, box.bottom), (box.right, box.top), (box.left, box.top)]


def wall_x(zone: SectionZone, box: Box, house: Box, right: bool, y: float) -> float:
    """Where the outside wall (or the roof over an attic) stands at a height, px."""
    corners = outline(zone, box, house)
    if len(corners) == 4:
        return box.right if right else box.left
    share = min(1.0, max(0.0, (y - box.bottom) / (box.top + 8 - box.bottom)))
    foot = box.right + EAVES if right else box.left - EAVES
    return foot + share * (box.middle - foot)


def earth(marks: Marks, layout: Layout, sheet: Sheet) -> None:
    """Ground beside and below the house, with short strokes under the surface and the word for it."""
    house, grade = layout.house, layout.grade
    for left, right in ((0.0, house.left), (house.right, float(sheet.width))):
        marks.polygon([(left, 0), (right, 0), (right, grade), (left, grade)], face=EARTH, edge=EARTH, layer=0)
        marks.stroke([(left, grade), (right, grade)], colour=WALL, width=2.0, layer=2)
        for x in range(int(left) + 8, int(right) - 2, 16):
            marks.stroke([(x, grade), (x - 7, grade - 8)], colour=GREY, width=0.9, layer=1)
    marks.polygon(
        [(house.left, 0), (house.right, 0), (house.right, house.bottom), (house.left, house.bottom)],
        face=EARTH, edge=EARTH, layer=0,
    )  # fmt: skip


def shell(marks: Marks, section: Section, layout: Layout) -> None:
    """Zones in their shade with walls and floors, and the roof over them."""
    house = layout.house
    for zone in section.zones:
        marks.polygon(outline(zone, layout.boxes[zone.name], house), shade(zone.pressure), WALL, 1.6, layer=3)
    frame = [
        (house.left, house.bottom),
        (house.left, house.top),
        (house.right, house.top),
        (house.right, house.bottom),
    ]
    top_is_attic = any(z.attic for z in section.zones)
    if top_is_attic:
        eaves = layout.boxes[layout.storeys[-1][0]].bottom
        frame = [(x, min(y, eaves)) for x, y in frame]
    else:
        middle = (house.left + house.right) / 2
        marks.polygon(
            [(house.left - EAVES, house.top), (middle, layout.roof), (house.right + EAVES, house.top)],
            face="#f3f4f6", edge=WALL, width=2.4, layer=2,
        )  # fmt: skip
    marks.stroke([*frame, frame[0]], colour=WALL, width=4.0, layer=4)
    for storey in layout.storeys[1:]:
        bottom = layout.boxes[storey[0]].bottom
        slab = [
            (house.left, bottom - 7),
            (house.right, bottom - 7),
            (house.right, bottom),
            (house.left, bottom),
        ]
        marks.polygon(slab, face=WALL, edge=WALL, width=0.5, layer=4)


def zone_words(
    marks: Marks, section: Section, layout: Layout, sheet: Sheet, system: System, columns: list[float],
    signs: dict[str, str],
) -> dict[str, float]:  # fmt: skip
    """Name, pressure in figures and as a U-tube, at the top left of each zone, clear of vent columns.

    Returns
    -------
    dict of str to float
        How far down the words of each zone come, px.
    """
    lowest: dict[str, float] = {}
    for zone in section.zones:
        box = layout.boxes[zone.name]
        left, right = clear_span(box, layout.house, columns, sheet)
        y = box.top - (4 if sheet.narrow else 6)
        gable = zone.attic and box.width > 0.99 * layout.house.width
        if gable:
            left, y = (
                box.middle - 2.6 * sheet.body,
                box.bottom + (0.72 if sheet.narrow else 0.82) * box.height,
            )
            right = box.middle + 0.2 * box.width
        name = signs.get(zone.name, zone.name)
        for line in wrap(name, right - left, sheet.body, bold=not sheet.narrow, lines=3):
            marks.label(left, y, line, sheet.body, bold=not sheet.narrow, up="top")
            y -= 1.2 * sheet.body
        lowest[zone.name] = _pressure(marks, zone, (left, right), y, sheet, system)
    return lowest


def _pressure(
    marks: Marks, zone: SectionZone, span: tuple[float, float], y: float, sheet: Sheet, system: System
) -> float:
    """The pressure in figures with its U-tube, and how far down they come; the unit goes first where it is tight."""
    left, right = span
    tube, space = 1.45 * sheet.large, right - left
    words = pressure_text(zone.pressure, system)

    def width(text: str) -> float:
        return text_width(text, sheet.large, bold=True)

    bare = words.rsplit(" ", 1)[0]  # the key below the house names the unit
    for text in (words, bare):
        if width(text) + 0.9 * tube <= space:
            symbols.manometer(marks, left + 0.36 * tube, y - tube - 2, tube, zone.pressure)
            marks.label(left + 0.9 * tube, y - 0.55 * tube, text, sheet.large, bold=True, up="center")
            return y - tube - 4
    # too narrow for both side by side: the figure first, the tube below it
    marks.label(left, y - 2, words if width(words) <= space else bare, sheet.large, bold=True, up="top")
    symbols.manometer(marks, left + 0.36 * tube, y - 1.4 * sheet.large - tube, tube, zone.pressure)
    return y - 1.4 * sheet.large - tube - 2


def clear_span(box: Box, house: Box, columns: list[float], sheet: Sheet) -> tuple[float, float]:
    """The widest stretch of a zone between its walls and the vent columns that pass through it."""
    pad = 4.0 if sheet.narrow else 14.0
    # a fan in the outside wall must not hide a sign
    wall = 9.0 if sheet.narrow and box.left == house.left else pad
    stops = [box.left, *sorted(x for x in columns if box.left < x < box.right), box.right]
    spans = [
        (a + (wall if i == 0 else pad + 6), b - (4 if b == box.right else 0.4 * pad + 5))
        for i, (a, b) in enumerate(pairwise(stops))
    ]
    return max(spans, key=lambda span: span[1] - span[0])
