"""The door ajar: latch strip, two wedges and the undercut, drawn and dimensioned, each with its area."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from hvaclib.plots.marks import Marks
from hvaclib.plots.picture import Picture
from hvaclib.plots.style import BLUE, CHART_SHEETS, GREY, INK, ORANGE, PALE, PINK, SKY, Sheet
from hvaclib.units import kinds, show

if TYPE_CHECKING:
    from hvaclib.plots.style import System, Width

LEAF = "#efe6d6"
FRAME = "#8a939c"


@dataclass(frozen=True, slots=True)
class DoorAjar:
    """A door with its openings, SI.

    Parameters
    ----------
    gap, width, height, undercut : float
        m.
    strip, wedge, under : float
        m²: latch strip, one of the two wedges, the undercut.
    other : float
        m²: cracks and grilles that the door has besides.
    """

    gap: float
    width: float
    height: float
    undercut: float
    strip: float
    wedge: float
    under: float
    other: float


def door_picture(door: DoorAjar, *, width: Width = "wide", system: System = "field") -> Picture:
    """Draw the door obliquely, hinged at the left and opened towards the viewer; the gap is drawn wider than it is.

    Parameters
    ----------
    door : DoorAjar
        Sizes and areas.
    width, system : str
        Variant of the sheet and unit system.

    Returns
    -------
    Picture
    """
    base, marks = CHART_SHEETS[width], Marks()
    sheet = replace(base, height=440 if not base.narrow else 575)
    drawn = 340.0 if not sheet.narrow else 300.0
    floor = sheet.height - drawn - 62.0
    left = 70.0
    scale = drawn / door.height
    wide = min(door.width * scale, 0.55 * drawn)
    _door(marks, door, (left, floor, wide, drawn), sheet, system)
    if sheet.narrow:
        _sums(marks, door, (10.0, floor - 42.0), sheet, system)
    else:
        _sums(marks, door, (left + wide + 240.0, floor + drawn - 10.0), sheet, system)
    marks.label(
        8, sheet.height - 6, "The door ajar (gap drawn wider than it is)", sheet.body, bold=True, up="top"
    )
    total = door.strip + 2 * door.wedge + door.under + door.other
    return Picture(
        marks,
        sheet,
        f"A door {show(door.width, kinds.SIZE, system)} wide and {show(door.height, kinds.SIZE, system)} high, hinged at "
        f"the left and open by {show(door.gap, kinds.SIZE, system)} at the latch. Free area: "
        + "; ".join(f"{name} {show(area, kinds.AREA, system)}" for name, _, area, _ in _rows(door, system))
        + f"; together {show(total, kinds.AREA, system)}.",
    )


def _door(
    marks: Marks, door: DoorAjar, at: tuple[float, float, float, float], sheet: Sheet, system: System
) -> None:
    left, floor, wide, tall = at
    right, top = left + wide, floor + tall
    open_by = 0.0 if door.gap <= 0.0 else 16.0 + 40.0 * min(1.0, 4.0 * door.gap / door.width)
    out = (0.86 * open_by, -0.42 * open_by)
    under = 0.0 if door.undercut <= 0.0 else min(max(6.0, tall * door.undercut / door.height), 0.2 * tall)
    sill = floor + under
    for corners in (
        [(left - 12, floor), (left, floor), (left, top), (left - 12, top)],
        [(right, floor), (right + 12, floor), (right + 12, top), (right, top)],
        [(left - 12, top), (right + 12, top), (right + 12, top + 12), (left - 12, top + 12)],
    ):
        marks.polygon(corners, face=FRAME, edge=INK, layer=0)
    marks.stroke([(left - 50, floor), (right + 120, floor)], colour=INK, width=2.0, layer=1)
    if under:
        marks.polygon(
            [(left, floor), (right, floor), (right, sill), (left, sill)], face=SKY, edge=BLUE, layer=2
        )
    latch_low, latch_high = (right + out[0], sill + out[1]), (right + out[0], top + out[1])
    marks.polygon([(left, sill), latch_low, latch_high, (left, top)], face=LEAF, edge=INK, width=1.4, layer=3)
    marks.polygon(
        [(latch_high[0] - 34, (sill + top) / 2 + out[1] - 4), (latch_high[0] - 25, (sill + top) / 2 + out[1] - 4),
         (latch_high[0] - 25, (sill + top) / 2 + out[1] + 4), (latch_high[0] - 34, (sill + top) / 2 + out[1] + 4)],
        face=INK, edge=INK, layer=4,
    )  # fmt: skip
    if open_by:
        marks.polygon(
            [(right, sill), latch_low, latch_high, (right, top)], face=ORANGE, edge=INK, width=1.2, layer=5
        )
        marks.polygon([(left, top), (right, top), latch_high], face=PINK, edge=INK, width=1.2, layer=4)
        marks.polygon([(left, sill), (right, sill), latch_low], face=PINK, edge=INK, width=1.2, layer=4)
    for letter, x, y in _letters(door, at, out, sill):
        marks.label(x, y, letter, sheet.body, bold=True, across="center", up="center")
    _dimensions(marks, door, at, out, sheet, system)


def _letters(
    door: DoorAjar, at: tuple[float, float, float, float], out: tuple[float, float], sill: float
) -> list[tuple[str, float, float]]:
    """The letters of the sums, each beside or in what it names."""
    left, floor, wide, tall = at
    right, top = left + wide, floor + tall
    found = []
    if door.gap > 0.0:
        found = [
            ("A", right + out[0] + 12, (sill + top) / 2 + out[1] + 44),
            ("B", left + 0.8 * wide, top + 24),
            ("C", left + 0.6 * wide, sill + 15),
        ]
    if door.undercut > 0.0:
        found.append(("D", left - 26, (floor + sill) / 2 + 6))
    return found


def _dimensions(
    marks: Marks, door: DoorAjar, at: tuple[float, float, float, float], out: tuple[float, float], sheet: Sheet,
    system: System,
) -> None:  # fmt: skip
    left, floor, wide, tall = at
    right, top = left + wide, floor + tall
    low = floor - 12.0
    marks.stroke([(left, low), (right, low)], colour=GREY, width=1.0)
    for x in (left, right):
        marks.stroke([(x, low - 4), (x, low + 4)], colour=GREY, width=1.0)
    marks.label(
        (left + right) / 2,
        low - 5,
        f"width {show(door.width, kinds.SIZE, system)}",
        sheet.small,
        across="center",
        up="top",
    )
    far = right + 12 + max(out[0], 0.0) + 18
    marks.stroke([(far, floor), (far, top)], colour=GREY, width=1.0)
    for y in (floor, top):
        marks.stroke([(far - 4, y), (far + 4, y)], colour=GREY, width=1.0)
    marks.label(far + 6, floor + 0.28 * tall, "height", sheet.small)
    marks.label(
        far + 6, floor + 0.28 * tall - 1.25 * sheet.small, show(door.height, kinds.SIZE, system), sheet.small
    )
    if door.gap > 0.0:
        y = (floor + top) / 2 + out[1] + 24
        marks.stroke([(right, y - out[1]), (right + out[0], y)], colour=INK, width=1.6, layer=7)
        marks.label(far + 6, y, "gap", sheet.small, bold=True)
        marks.label(
            far + 6, y - 1.25 * sheet.small, show(door.gap, kinds.SIZE, system), sheet.small, bold=True
        )


def _rows(door: DoorAjar, system: System) -> list[tuple[str, str, float, str]]:
    """Name, sum, area and colour of each opening."""
    gap, wide, tall, under = (
        show(size, kinds.SIZE, system) for size in (door.gap, door.width, door.height, door.undercut)
    )
    return [
        ("A latch strip", f"{gap} × {tall}", door.strip, ORANGE),
        ("B wedge over the top", f"{gap} × {wide} ÷ 2", door.wedge, PINK),
        ("C wedge at the bottom", f"{gap} × {wide} ÷ 2", door.wedge, PINK),
        ("D undercut", f"{under} × {wide}", door.under, SKY),
        ("cracks and grilles", "as found", door.other, PALE),
    ]


def _sums(marks: Marks, door: DoorAjar, at: tuple[float, float], sheet: Sheet, system: System) -> None:
    x, y = at
    step = 3.0 * sheet.small if not sheet.narrow else 2.45 * sheet.small
    far = sheet.width - 16
    for name, sum_, area, colour in _rows(door, system):
        marks.polygon(
            [(x, y - 7), (x + 14, y - 7), (x + 14, y + 7), (x, y + 7)], face=colour, edge=INK, layer=2
        )
        marks.label(x + 22, y + 1, name, sheet.small, bold=True, up="center")
        marks.label(x + 22, y - 1.2 * sheet.small, sum_, sheet.small, colour=GREY, up="center")
        marks.label(far, y, show(area, kinds.AREA, system), sheet.small, across="right", up="center")
        y -= step
    line = y + step - 2.05 * sheet.small  # below the last sum
    marks.stroke([(x, line), (far, line)], colour=INK, width=1.2)
    y = line - 1.1 * sheet.body
    total = door.strip + 2 * door.wedge + door.under + door.other
    marks.label(x + 22, y, "together", sheet.body, bold=True, up="center")
    marks.label(far, y, show(total, kinds.AREA, system), sheet.body, bold=True, across="right", up="center")
