"""Appliances with their vents: what burns, which way each column moves, and the draft at its test hole."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hvaclib.plots.letters import text_width, wrap
from hvaclib.plots.section import symbols
from hvaclib.plots.section.numbered import AIR_HANDLER
from hvaclib.plots.section.words import pressure_text
from hvaclib.plots.style import GREEN, GREY, INK, ORANGE, PALE, PAPER, PINK, VERMILLION

if TYPE_CHECKING:
    from hvaclib.plots.marks import Marks
    from hvaclib.plots.section.data import Section, SectionAppliance, SectionVent, VentStatus
    from hvaclib.plots.section.layout import Box, Layout
    from hvaclib.plots.style import Sheet, System

FILL: dict[VentStatus, str] = {"idle": PALE, "drawing": GREEN, "spilling": ORANGE, "reversed": VERMILLION}
WORD: dict[VentStatus, str] = {
    "idle": "at rest",
    "drawing": "drawing",
    "spilling": "spilling",
    "reversed": "reversed",
}
DARK: dict[VentStatus, str] = {
    "idle": GREY,
    "drawing": "#006b4f",
    "spilling": "#8a5a00",
    "reversed": "#a84300",
}


def vent_columns(section: Section, layout: Layout, sheet: Sheet) -> dict[str, float]:
    """Where each vent column stands, px from the left, by vent name: at the right of its zone, side by side."""
    columns: dict[str, float] = {}
    taken: dict[str, int] = {}
    for vent in section.vents:
        box = layout.boxes[vent.zone]
        i = taken.get(vent.zone, 0)
        taken[vent.zone] = i + 1
        pitch = 17.0 if sheet.narrow else 40.0
        columns[vent.name] = box.right - (10.0 if sheet.narrow else 24.0) - i * pitch
    return columns


def venting(
    marks: Marks, section: Section, layout: Layout, sheet: Sheet, system: System, columns: dict[str, float],
    signs: dict[str, str],
) -> None:  # fmt: skip
    """Draw the appliances of every zone, their connectors and the vents."""
    flues: dict[str, tuple[float, float]] = {}
    for zone in section.zones:
        own = [a for a in section.appliances if a.zone == zone.name]
        if own or section.air_handler_zone == zone.name:
            _stand(marks, section, zone.name, layout.boxes[zone.name], sheet, (columns, signs), flues)
    for vent in section.vents:
        on_it = [a for a in section.appliances if a.vent == vent.name]
        _column(marks, section, vent, layout, sheet, columns[vent.name])
        for i, appliance in enumerate(on_it):
            _connector(marks, appliance, flues[appliance.name], columns[vent.name], i, sheet)
        _sky_words(marks, on_it, layout.y(vent.top), columns[vent.name], sheet, system)


def _stand(
    marks: Marks, section: Section, zone: str, box: Box, sheet: Sheet,
    placed: tuple[dict[str, float], dict[str, str]], flues: dict[str, tuple[float, float]],
) -> None:  # fmt: skip
    """Stand a zone's appliances on its floor from right to left, then its air handler."""
    columns, signs = placed
    own = [a for a in section.appliances if a.zone == zone]
    height = min(0.56 * box.height, 92.0 if not sheet.narrow else 62.0)
    pitch = min(118.0 if not sheet.narrow else 50.0, (box.width - 20) / (len(own) + 1.6))
    vents_here = [x for x in columns.values() if box.left < x < box.right]
    x = (min(vents_here) if vents_here else box.right) - (0.42 if vents_here else 0.6) * pitch
    floor = box.bottom + (1.6 if not sheet.narrow else 2.9) * sheet.small
    for appliance in own:
        flues[appliance.name] = symbols.appliance(marks, x, floor, height, appliance.kind, appliance.firing)
        lines = wrap(appliance.name, pitch - 3, sheet.small, lines=1 if not sheet.narrow else 2)
        for i, line in enumerate(lines):
            marks.label(x, floor - 3 - 1.1 * i * sheet.small, line, sheet.small, across="center", up="top")
        x -= pitch
    if section.air_handler_zone == zone:
        _air_handler(marks, x, floor, height, section.air_handler_on, sheet, signs)


def _air_handler(
    marks: Marks, x: float, floor: float, height: float, running: bool, sheet: Sheet, signs: dict[str, str]
) -> None:
    """A cabinet with its blower, and the word for its state, or its sign in the key."""
    half, tall = 0.21 * height, 0.5 * height
    marks.polygon([(x - half, floor), (x - half, floor + tall), (x + half, floor + tall), (x + half, floor)],
                  face="#eef1f4", edge=INK, width=1.4, layer=13)  # fmt: skip
    sign = signs.get(AIR_HANDLER, "")
    symbols.fan(marks, x, floor + tall / 2, 8.5 if sign else 0.62 * half, running, PINK, sign)
    if not sign:
        words = f"{AIR_HANDLER} {'on' if running else 'off'}"
        marks.label(x, floor - 3, words, sheet.small, across="center", up="top")


def _column(
    marks: Marks, section: Section, vent: SectionVent, layout: Layout, sheet: Sheet, x: float
) -> None:
    """The vent from its zone to above the roof, filled by what it does, with chevrons in the sense of flow."""
    box = layout.boxes[vent.zone]
    status = section.vent_status(vent.name)
    half = 4.0 if sheet.narrow else 6.5
    bottom, top = box.bottom + 0.62 * box.height, layout.y(vent.top)
    marks.polygon([(x - half, bottom), (x - half, top), (x + half, top), (x + half, bottom)],
                  face=FILL[status], edge=INK, width=1.6, layer=9)  # fmt: skip
    cap = [(x - 2.1 * half, top + 5), (x, top + 5 + 1.3 * half), (x + 2.1 * half, top + 5)]
    marks.polygon(cap, face=PALE, edge=INK, width=1.4, layer=9)
    marks.stroke([(x - half, top), (x - half, top + 5)], width=1.2, layer=9)
    marks.stroke([(x + half, top), (x + half, top + 5)], width=1.2, layer=9)
    if status == "idle":
        return
    rise = -0.8 * half if status == "reversed" else 0.8 * half
    y = bottom + 12
    while y < top - 8:
        marks.stroke(
            [(x - 0.55 * half, y), (x, y + rise), (x + 0.55 * half, y)], colour=PAPER, width=1.8, layer=10
        )
        y += 16 if status != "spilling" else 28  # a spilling vent carries less than it should


def _connector(
    marks: Marks, appliance: SectionAppliance, flue: tuple[float, float], x: float, i: int, sheet: Sheet
) -> None:
    """From the appliance's flue collar up and across into the vent; curls at the hood where it spills."""
    half = 2.5 if sheet.narrow else 4.0
    level = flue[1] + (9 + 9 * i if not sheet.narrow else 6 + 6 * i)
    colour = FILL[appliance.status]
    path = [flue, (flue[0], level), (x, level)]
    marks.stroke(path, colour=INK, width=2 * half + 2.4, layer=7)
    marks.stroke(path, colour=colour, width=2 * half, layer=8)
    if appliance.status in ("spilling", "reversed"):
        reach = 16 if not sheet.narrow else 11
        for side in (-1, 1):
            hood = (flue[0] + side * 1.2 * reach * 0.5, flue[1] - 5)
            symbols.arrow(marks, hood, (hood[0] + side * reach, hood[1] - 6), 3.0, VERMILLION, layer=18)


def _sky_words(
    marks: Marks, on_it: list[SectionAppliance], top: float, x: float, sheet: Sheet, system: System
) -> None:
    """Draft and state beside the end of the vent, one appliance after the other."""
    lines: list[tuple[str, bool, str]] = []
    for appliance in on_it:
        lines.append((appliance.name, False, INK))
        if appliance.draft is not None:
            words = f"{pressure_text(appliance.draft, system)}, {WORD[appliance.status]}"
            lines.append((words, True, DARK[appliance.status]))
    widest = max((text_width(text, sheet.body, bold) for text, bold, _ in lines), default=0.0)
    to_right = x + 22 + widest < sheet.width
    y = min(sheet.height - 4.0, top + 14 + 0.3 * sheet.body * len(lines))
    for text, bold, colour in lines:
        marks.label(x + 22 if to_right else x - 20, y, text, sheet.body, bold=bold, colour=colour,
                    across="left" if to_right else "right", up="top")  # fmt: skip
        y -= 1.2 * sheet.body
