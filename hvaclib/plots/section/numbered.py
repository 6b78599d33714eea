"""The key below the drawing: colours, the U-tube, and numbers for the names that the drawing has no room for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from hvaclib.plots.letters import fits, text_width
from hvaclib.plots.section import symbols
from hvaclib.plots.section.brush import STILL
from hvaclib.plots.section.data import OUTDOORS
from hvaclib.plots.section.shell import clear_span
from hvaclib.plots.section.words import flow_text
from hvaclib.plots.style import BLUE, GREEN, GREY, INK, PINK, VERMILLION

if TYPE_CHECKING:
    from hvaclib.plots.marks import Marks
    from hvaclib.plots.section.data import Section, SectionPath
    from hvaclib.plots.section.layout import Layout
    from hvaclib.plots.style import Sheet, System

AIR_HANDLER = "air handler"
ROW = 16.5  # px from line to line
LARGE = 0.9  # m³/s: 1,907 cfm, the widest figure that a line of the key must hold
KEY = ((BLUE, "leaks"), (GREEN, "doors, openings"), (VERMILLION, "fans"), (PINK, "ducts"))


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of the key: the sign in the drawing, what it says now and at its longest, and whether it runs or is open."""

    sign: str
    words: str
    longest: str
    active: bool = True


@dataclass(frozen=True, slots=True)
class Numbered:
    """The key: signs by name of zone or way, and its lines."""

    signs: dict[str, str]
    entries: tuple[Entry, ...]

    def rows(self, sheet: Sheet) -> list[tuple[Entry, ...]]:
        """The lines two by two where both are short; what an entry says now does not move the others."""
        half = sheet.width / 2 - 26
        rows: list[tuple[Entry, ...]] = []
        for entry in self.entries:
            short = text_width(entry.longest, sheet.small) <= half
            if short and rows and len(rows[-1]) == 1 and text_width(rows[-1][0].longest, sheet.small) <= half:
                rows[-1] = (*rows[-1], entry)
            else:
                rows.append((entry,))
        return rows


def numbered(
    section: Section, layout: Layout, sheet: Sheet, system: System, columns: list[float]
) -> Numbered:
    """The key of a section on this sheet; empty where the drawing has room for every name.

    Letters stand for zones whose name does not fit between their walls, numbers for fans, the air handler, and ways
    to outdoors that are opened or shut.
    """
    signs: dict[str, str] = {}
    entries: list[Entry] = []
    size = sheet.body
    for zone in section.zones:
        left, right = clear_span(layout.boxes[zone.name], layout.house, columns, sheet)
        gable = zone.attic and len(layout.storeys[-1]) == 1
        if not gable and not fits(zone.name, right - left, size, not sheet.narrow, 3):
            signs[zone.name] = chr(ord("A") + len(signs)) if len(signs) < 26 else f"Z{len(signs)}"
            entries.append(Entry(signs[zone.name], zone.name, zone.name))
    if not sheet.narrow:
        return Numbered(signs, tuple(entries))
    count = 0
    for path in section.paths:
        if path.kind not in ("leak", "duct") and (path.kind == "fan" or OUTDOORS in (path.start, path.end)):
            count += 1
            signs[path.name] = str(count)
            longest = f"{path.name} {flow_text(LARGE, system)}"
            entries.append(Entry(str(count), f"{path.name} {_doing(path, system)}", longest, path.active))
    if section.air_handler_zone:
        signs[AIR_HANDLER] = str(count + 1)
        on = section.air_handler_on
        entries.append(
            Entry(str(count + 1), f"{AIR_HANDLER} {'on' if on else 'off'}", f"{AIR_HANDLER} off", on)
        )
    return Numbered(signs, tuple(entries))


def _doing(path: SectionPath, system: System) -> str:
    flow = path.forward + path.backward
    if path.kind == "fan":
        return flow_text(flow, system) if path.active else "off"
    if not path.active:
        return "shut"
    return flow_text(max(path.forward, path.backward), system) if flow > STILL else "open"


def numbered_key(marks: Marks, key: Numbered, sheet: Sheet, top: float) -> None:
    """Write the key in rows from ``top`` down."""
    for row, entries in enumerate(key.rows(sheet)):
        y = top - ROW * (row + 0.5)
        for column, entry in enumerate(entries):
            x = 8.0 + column * (sheet.width / 2 - 4)
            colour = INK if entry.active else GREY
            marks.label(
                x + 6, y, entry.sign, sheet.small, bold=True, colour=colour, across="center", up="center"
            )
            marks.label(x + 18, y, entry.words, sheet.small, colour=colour, up="center")


def key_height(numbers: Numbered, sheet: Sheet) -> float:
    """Height of the key below the house, px."""
    return sheet.foot + ROW * len(numbers.rows(sheet))


def key(marks: Marks, sheet: Sheet, unit: str, numbers: Numbered) -> None:
    """What the signs, the colours and the U-tube mean, below the house."""
    height = sheet.foot
    numbered_key(marks, numbers, sheet, height - 6)
    x, y = (10.0, 52.0) if not sheet.narrow else (8.0, 64.0)
    for colour, word in KEY:
        drawn = 24 if not sheet.narrow else 15
        symbols.arrow(marks, (x, y + 4), (x + drawn, y + 4), 6.0, colour)
        marks.label(x + drawn + 5, y, word, sheet.small)
        x += drawn + 5 + text_width(word, sheet.small) + (26 if not sheet.narrow else 9)
    if not sheet.narrow:
        marks.label(x, y, "wider arrow = more air", sheet.small)
    pitch = 16.0 if sheet.narrow else 18.0
    for i, line in enumerate(_tube_words(sheet, unit)):
        marks.label(8.0 if sheet.narrow else 10.0, y - (i + 1) * pitch - 2, line, sheet.small)


def _tube_words(sheet: Sheet, unit: str) -> tuple[str, ...]:
    """How to read the U-tube."""
    if sheet.narrow:
        return (
            "U-tube: left leg in the room, right leg outdoors.",
            "Liquid high on the left, figure with a minus: the",
            f"room is below outdoors. Figures in {unit}.",
        )
    return (
        f"U-tube: its left leg is open to the room, its right leg to outdoors. Figures in {unit}, room less outdoors.",
        "Liquid high on the left, figure with a minus: the room is below outdoors and pulls air in.",
    )
