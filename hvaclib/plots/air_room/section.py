"""The room in section, to scale: walls, appliances with their vents, openings or ducts, air in and air out."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from hvaclib.plots.axes import spread
from hvaclib.plots.letters import wrap
from hvaclib.plots.section.symbols import appliance, arrow
from hvaclib.plots.style import BLUE, GREY, INK, ORANGE, PAPER
from hvaclib.units import kinds, show

if TYPE_CHECKING:
    from hvaclib.plots.air_room.data import AirRoom, Burner
    from hvaclib.plots.marks import Marks
    from hvaclib.plots.style import Sheet, System

WALL = "#2f3a44"
EARTH = "#e9e2d8"
ROOM = "#fbfaf6"
INSET = 0.1524  # m, 6 in from ceiling or floor: the opening begins within 12 in
DUCT = "#eef1f4"


@dataclass(frozen=True, slots=True)
class Place:
    """Where the room stands on its sheet, px, and px a metre."""

    left: float
    floor: float
    right: float
    ceiling: float
    scale: float
    edge: float
    top: float
    bottom: float


def place_of(data: AirRoom, sheet: Sheet, box: tuple[float, float, float, float]) -> Place:
    """Fit the room into a box (left, bottom, right, top; px), leaving room for ducts at the right and above."""
    left, bottom, right, top = box
    aside, above, below = (74.0, 46.0, 42.0) if sheet.narrow else (150.0, 70.0, 54.0)
    scale = min((right - left - aside - 10) / data.length, (top - bottom - above - below) / data.height)
    floor = bottom + below
    ceiling = floor + scale * data.height
    return Place(
        left=left + 10,
        floor=floor,
        right=left + 10 + scale * data.length,
        ceiling=ceiling,
        scale=scale,
        edge=right,
        top=min(top, ceiling + 1.6 * above),
        bottom=bottom,
    )


def section(marks: Marks, data: AirRoom, at: Place, sheet: Sheet, system: System) -> None:
    """Draw the whole section."""
    _shell(marks, data, at, sheet)
    _burners(marks, data, at, sheet, system)
    if not data.route:
        _leakage(marks, data, at, sheet)
    elif data.route == "vertical duct":
        _vertical(marks, data, at, sheet)
    else:
        _sideways(marks, data, at, sheet)
    volume = show(data.room, kinds.VOLUME, system, 0)
    sealed = any(burner.kind == "direct vent" for burner in data.burners)  # its pipe runs below the ceiling
    marks.label(
        at.left + 10,
        at.ceiling - (14 + 0.14 * at.scale if sealed else 8),
        volume,
        sheet.large,
        bold=True,
        up="top",
    )


def _rectangle(left: float, bottom: float, right: float, top: float) -> list[tuple[float, float]]:
    return [(left, bottom), (right, bottom), (right, top), (left, top)]


def _shell(marks: Marks, data: AirRoom, at: Place, sheet: Sheet) -> None:
    """Ground, the room, and beside it the outdoors or the next rooms."""
    marks.polygon(_rectangle(0, at.bottom, at.edge, at.floor), face=EARTH, edge=EARTH, layer=0)
    if data.route == "indoor" or (not data.route and data.beyond > 0.0):
        marks.polygon(
            _rectangle(at.right, at.floor, at.edge, at.ceiling), face="#f3f4f6", edge=WALL, width=2.0, layer=1
        )
        for n, line in enumerate(
            wrap("rooms of the same storey", at.edge - at.right - 16, sheet.small, lines=4)
        ):
            y = (at.floor + at.ceiling) / 2 + 1.3 * sheet.small * (1.5 - n)
            marks.label(
                (at.right + at.edge) / 2 + 6, y, line, sheet.small, colour=GREY, across="center", up="center"
            )
    else:
        marks.label(
            at.edge - 4, at.ceiling + 8, "outdoors", sheet.small, colour=GREY, across="right", up="bottom"
        )
    marks.polygon(
        _rectangle(at.left, at.floor, at.right, at.ceiling), face=ROOM, edge=WALL, width=5.0, layer=2
    )
    for x in range(6, int(at.edge), 16):
        marks.stroke([(x, at.floor - 4), (x - 7, at.floor - 12)], colour=GREY, width=0.9, layer=1)


def _burners(marks: Marks, data: AirRoom, at: Place, sheet: Sheet, system: System) -> None:
    """Appliances side by side with vents up through the ceiling, or out through the wall where sealed."""
    step = (at.right - at.left) / (len(data.burners) + 0.9)
    places = [at.left + (n + 0.8) * step for n in range(len(data.burners))]
    half = 5.2 * sheet.small
    names = spread(places, 2 * half, half + 2, at.edge - half)
    tall = min(1.55 * at.scale, 0.68 * data.height * at.scale, 1.7 * step)
    bore = max(4.0, min(0.12 * at.scale, 0.1 * tall))
    for burner, x, name in zip(data.burners, places, names, strict=True):
        kind = "water heater" if "water" in burner.name else "furnace"
        hood = burner.kind == "natural draft"
        flue = appliance(marks, x, at.floor + 3, tall, f"draft-hood {kind}" if hood else kind, firing=True)
        if not hood:
            flue = (x, at.floor + 3 + 0.8 * tall)
        if burner.kind == "direct vent":
            _pipe(marks, [flue, (x, at.ceiling - 14), (at.left - 16, at.ceiling - 14)], bore)
        else:
            end = (x, at.top - 14)
            _pipe(marks, [flue, end], bore)
            cap = [(x - 1.4 * bore, end[1]), (x + 1.4 * bore, end[1]), (x, end[1] + 6)]
            marks.polygon(cap, face=GREY, edge=INK, width=1.0, layer=15)
        _name(marks, burner, name, at, sheet, system)


def _pipe(marks: Marks, points: list[tuple[float, float]], bore: float) -> None:
    marks.stroke(points, colour=INK, width=bore + 2.4, layer=13)
    marks.stroke(points, colour="#dfe4e9", width=bore, layer=14)


def _name(marks: Marks, burner: Burner, x: float, at: Place, sheet: Sheet, system: System) -> None:
    """Name and input below the floor."""
    for n, text in enumerate((burner.name, show(burner.rate, kinds.POWER, system, 0))):
        y = at.floor - 8 - n * 1.25 * sheet.small
        marks.polygon(
            _rectangle(x - 5.0 * sheet.small, y - 1.25 * sheet.small, x + 5.0 * sheet.small, y + 1),
            face=EARTH, edge=EARTH, width=0.0, layer=2,
        )  # fmt: skip
        marks.label(x, y, text, sheet.small, bold=n == 1, across="center", up="top")


def _levels(data: AirRoom, at: Place) -> list[tuple[float, float, bool]]:
    """Bottom and top (px) of each opening, the high one first, and whether air comes in through it."""
    side = min(data.side, 0.42 * data.height) * at.scale
    high = at.ceiling - INSET * at.scale
    low = at.floor + INSET * at.scale
    if data.openings == 1:
        return [(high - side, high, True)]
    return [(high - side, high, False), (low, low + side, True)]


def _sideways(marks: Marks, data: AirRoom, at: Place, sheet: Sheet) -> None:
    """Openings in the right-hand wall, with a duct behind them where the route is a horizontal one."""
    reach = 0.55 * (at.edge - at.right) if data.route == "horizontal duct" else 0.0
    for bottom, top, inward in _levels(data, at):
        wall = _rectangle(at.right - 4, bottom, at.right + 4, top)
        marks.polygon(wall, face=PAPER, edge=PAPER, width=0.0, layer=4)
        for y in (bottom, top):
            marks.stroke([(at.right - 5, y), (at.right + 5 + reach, y)], colour=INK, width=2.0, layer=6)
        if reach:
            marks.polygon(
                _rectangle(at.right + 4, bottom, at.right + 5 + reach, top), face=DUCT, edge=DUCT, layer=3
            )
        if data.louvered:
            _louver(marks, at.right + reach + 2, bottom, top)
        _inset(marks, at, sheet, bottom, top)
        _air(
            marks,
            (min(at.right + reach + 46, at.edge - 4), (bottom + top) / 2),
            (at.right - 40, (bottom + top) / 2),
            sheet,
            inward,
        )


def _inset(marks: Marks, at: Place, sheet: Sheet, bottom: float, top: float) -> None:
    """How far from ceiling or floor the opening begins at most."""
    high = (bottom + top) / 2 > (at.floor + at.ceiling) / 2
    ends = (top, at.ceiling - 3) if high else (at.floor + 3, bottom)
    x = at.right - 14
    for y in ends:
        marks.stroke([(x - 4, y), (x + 4, y)], colour=INK, width=1.2, layer=8)
    marks.stroke([(x, ends[0]), (x, ends[1])], colour=INK, width=1.2, layer=8)
    marks.label(x - 8, sum(ends) / 2, "≤ 12 in", sheet.small, across="right", up="center")


def _louver(marks: Marks, x: float, bottom: float, top: float) -> None:
    """Slats across an opening, in section."""
    count = max(3, min(9, int((top - bottom) / 6)))
    for n in range(count):
        y = bottom + (n + 0.5) * (top - bottom) / count
        marks.stroke([(x - 4, y + 2.5), (x + 5, y - 2.5)], colour=INK, width=1.6, layer=7)


def _vertical(marks: Marks, data: AirRoom, at: Place, sheet: Sheet) -> None:
    """Ducts up through the ceiling: one begins under it, the other is led down to the floor."""
    side = min(data.side, 0.22 * data.length) * at.scale
    head = at.top - 14
    for n, (bottom, _, inward) in enumerate(_levels(data, at)):
        right = at.right - 14 - n * (side + 16)
        left, foot = right - side, at.ceiling - 2 if n == 0 else bottom
        marks.polygon(_rectangle(left, foot, right, head), face=DUCT, edge=DUCT, width=0.0, layer=5)
        for x in (left, right):
            marks.stroke([(x, foot), (x, head)], colour=INK, width=1.8, layer=6)
        if data.louvered:
            for x in (left, right):
                marks.stroke([(x, head), ((left + right) / 2, head + 7)], colour=INK, width=1.6, layer=7)
        middle = (left + right) / 2
        _air(marks, (middle, head - 4), (middle, foot - 16), sheet, inward)


def _air(
    marks: Marks, outside: tuple[float, float], inside: tuple[float, float], sheet: Sheet, inward: bool
) -> None:
    """One arrow: fresh air in (blue) or used air out (orange), by its place and its head too."""
    ends = (outside, inside) if inward else (inside, outside)
    arrow(marks, *ends, 5.0 if sheet.narrow else 8.0, BLUE if inward else ORANGE)


def _leakage(marks: Marks, data: AirRoom, at: Place, sheet: Sheet) -> None:
    """Small arrows through the walls: cracks are enough."""
    for share in (0.2, 0.5, 0.8):
        y = at.floor + share * (at.ceiling - at.floor)
        arrow(marks, (at.right + 34, y), (at.right - 16, y), 2.5, BLUE)
    if data.beyond <= 0.0 and not sheet.narrow:
        for n, line in enumerate(wrap("air through cracks", at.edge - at.right - 40, sheet.small, lines=3)):
            y = (at.floor + at.ceiling) / 2 + 1.3 * sheet.small * (1 - n)
            marks.label(at.right + 40, y, line, sheet.small, colour=GREY, up="center")
