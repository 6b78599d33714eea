"""Room in section, volumes as bars, one opening to scale beside a ruler."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hvaclib.plots.air_room.data import AirRoom, Burner
from hvaclib.plots.air_room.section import place_of, section
from hvaclib.plots.letters import text_width
from hvaclib.plots.marks import Marks
from hvaclib.plots.picture import Picture
from hvaclib.plots.style import BLUE, GREEN, GREY, INK, PALE, PAPER, SKY, VERMILLION, Sheet, System, Width
from hvaclib.units import kinds, show

if TYPE_CHECKING:
    from hvaclib.plots.letters import Rectangle

__all__ = ["AirRoom", "Burner", "air_room"]

SHEETS: dict[Width, Sheet] = {
    "wide": Sheet(960, 470, 13.5, 14.5, 18.0, 10.0),
    "narrow": Sheet(358, 560, 11.2, 11.8, 13.5, 6.0),
}
FOOT = 0.3048


def air_room(data: AirRoom, width: Width = "wide", system: System = "field") -> Picture:
    """Draw a room with its appliances and the openings that bring them air.

    Parameters
    ----------
    data : AirRoom
        What to draw.
    width : {"wide", "narrow"}
        Variant for a desk or a phone.
    system : {"field", "si"}
        Units.

    Returns
    -------
    Picture
    """
    sheet, marks = SHEETS[width], Marks()
    tall, wide = float(sheet.height), float(sheet.width)
    if sheet.narrow:
        room, bars, hole = (
            (0.0, 250.0, wide, tall),
            (6.0, 160.0, wide - 6, 242.0),
            (6.0, 6.0, wide - 6, 132.0),
        )
    else:
        room, bars, hole = (
            (0.0, 0.0, 640.0, tall),
            (664.0, 310.0, 950.0, tall - 8),
            (664.0, 20.0, 950.0, 290.0),
        )
    section(marks, data, place_of(data, sheet, room), sheet, system)
    _bars(marks, data, bars, sheet, system)
    if data.route:
        _opening(marks, data, hole, sheet, system)
    return Picture(marks, sheet, _words(data, system))


def _rectangle(left: float, bottom: float, right: float, top: float) -> list[tuple[float, float]]:
    return [(left, bottom), (right, bottom), (right, top), (left, top)]


def _bars(marks: Marks, data: AirRoom, box: Rectangle, sheet: Sheet, system: System) -> None:
    """Volume needed and volume there is, one under the other, to one scale."""
    left, _, right, top = box
    most = max(data.needed, data.room + data.beyond, 1e-9)
    high = 1.15 * sheet.small
    enough = data.room + data.beyond >= data.needed * (1.0 - 1e-9)
    y = top
    for words, parts, colour in (
        ("needed", (data.needed,), INK),
        (
            "there is" + ("" if enough else ": too little"),
            (data.room, data.beyond),
            GREEN if enough else VERMILLION,
        ),
    ):
        total = show(sum(parts), kinds.VOLUME, system, 0)
        marks.label(left, y, f"{words}: {total}" if ":" not in words else f"there is {total}: too little", sheet.body,
                    bold=True, up="top")  # fmt: skip
        y -= 1.45 * sheet.body
        x = left
        for n, part in enumerate(parts):
            end = x + (right - left) * part / most
            if part > 0.0:
                marks.polygon(
                    _rectangle(x, y - high, end, y),
                    face=colour if n == 0 else PAPER,
                    edge=colour,
                    width=1.6,
                    layer=4,
                )
            if part > 0.0 and n == 1:
                _slant(marks, (x, y - high, end, y), colour)
            x = end
        y -= high + 10
    sides = " × ".join(show(side, kinds.LENGTH, system, 1) for side in (data.length, data.width, data.height))
    words = "striped: rooms beyond" if data.beyond > 0.0 else f"room {sides}"
    marks.label(left, y, words, sheet.small, colour=GREY, up="top")


def _slant(marks: Marks, box: Rectangle, colour: str) -> None:
    left, bottom, right, top = box
    x = left
    while x + (top - bottom) < right:
        marks.stroke([(x, bottom), (x + top - bottom, top)], colour=colour, width=1.0, layer=5)
        x += 8.0


def _opening(marks: Marks, data: AirRoom, box: Rectangle, sheet: Sheet, system: System) -> None:
    """The face of one opening as a square with its louvers, beside a ruler of one foot (or 30 cm)."""
    left, bottom, _, top = box
    ruler = FOOT if system == "field" else 0.3
    scale = min(
        (top - bottom - 3.4 * sheet.body) / max(data.side, ruler),
        0.42 * (box[2] - left) / max(data.side, ruler),
    )
    base = bottom + 1.6 * sheet.small
    size = scale * data.side
    count = "one opening" if data.openings == 1 else "two openings, each"
    over = base + scale * max(data.side, ruler) + 10
    marks.label(left, over, f"{count}:", sheet.body, bold=True, up="bottom")
    x0 = left + 26
    marks.polygon(
        _rectangle(x0, base, x0 + size, base + size),
        face=SKY if not data.louvered else "#e8eef3",
        edge=INK,
        width=2.0,
        layer=4,
    )
    if data.louvered:
        slats = max(3, int(size / 9))
        for n in range(slats):
            y = base + (n + 0.5) * size / slats
            marks.stroke([(x0 + 4, y), (x0 + size - 4, y)], colour=GREY, width=2.0, layer=5)
    _ruler(marks, left + 12, base, scale * ruler, sheet, "12 in" if system == "field" else "300 mm")
    side = show(data.side, kinds.SIZE, system, 1 if system == "field" else 0)
    rows = [
        (f"{show(data.free, kinds.AREA, system)} free", True),
        (f"{show(data.face, kinds.AREA, system)} face", False),
        (f"as a square {side}", False),
        (f"least side {show(3 * 0.0254, kinds.SIZE, system, 0)}", False),
    ]
    x, y = x0 + size + 14, max(base + size, bottom + 5.8 * sheet.small)
    for words, bold in rows:
        fits = x + text_width(words, sheet.small, bold) < box[2] + 8
        marks.label(
            x, y, words if fits else words.replace("as a square", "square"), sheet.small, bold=bold, up="top"
        )
        y -= 1.4 * sheet.small


def _ruler(marks: Marks, x: float, base: float, length: float, sheet: Sheet, words: str) -> None:
    marks.stroke([(x, base), (x, base + length)], colour=BLUE, width=2.0, layer=4)
    for n in range(13):
        reach = 7 if n % 6 == 0 else 4
        y = base + length * n / 12
        marks.stroke([(x - reach, y), (x, y)], colour=BLUE if n % 6 == 0 else PALE, width=1.2, layer=4)
    marks.label(x - 8, base - 3, words, sheet.small, colour=BLUE, up="top")


def _words(data: AirRoom, system: System) -> str:
    inside = ", ".join(
        f"{item.name} ({item.kind}, {show(item.rate, kinds.POWER, system, 0)})" for item in data.burners
    )
    volumes = f"{show(data.room + data.beyond, kinds.VOLUME, system, 0)} of {show(data.needed, kinds.VOLUME, system, 0)} needed"
    if not data.route:
        return f"A room in section with {inside or 'no appliance'}: {volumes}; no opening drawn."
    count = (
        "one opening" if data.openings == 1 else "two openings, one near the ceiling and one near the floor"
    )
    area = f"{show(data.free, kinds.AREA, system)} free, {show(data.face, kinds.AREA, system)} face"
    return f"A room in section with {inside}: {volumes}; {count}, route {data.route}, each {area}."
