"""What stands in a wall, as a draughtsman draws it: windows, doors, inlets, dryer, meter, terminals."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from hvaclib.plots.pointers import CIRCLE
from hvaclib.plots.style import BLUE, GREY, INK, ORANGE, PAPER

if TYPE_CHECKING:
    from hvaclib.physics.terminations import Item
    from hvaclib.plots.elevation.frame import Frame
    from hvaclib.plots.marks import Marks

GLASS = "#cfe3f1"
SHINE = "#e6f1f8"
WOOD = "#9a6b3f"
METAL = "#dde2e7"
LEAST = 4.0  # px: radius below which a terminal would not be seen


def ring(x: float, y: float, radius: float) -> list[tuple[float, float]]:
    """A circle as a polygon, px."""
    return [(x + radius * c, y + radius * s) for c, s in CIRCLE]


def thing(marks: Marks, frame: Frame, item: Item) -> None:
    """Draw one item at its place and size."""
    left, bottom, right, top = (float(edge) for edge in item.span)
    box = (frame.x(left), frame.y(bottom), frame.x(right), frame.y(top))
    if item.kind in ("window", "fixed window"):
        window(marks, *box)
    elif item.kind == "door":
        door(marks, *box)
    elif item.kind in ("gravity inlet", "appliance inlet"):
        louver(marks, *box)
    elif item.kind == "forced inlet":
        hood(marks, *box, inward=True)
    elif item.kind == "dryer terminal":
        hood(marks, *box, inward=False)
    elif item.kind in ("meter", "regulator vent"):
        meter(marks, *box) if item.kind == "meter" else regulator(marks, *box)
    else:
        terminal(marks, *box, double=item.kind == "direct vent")


def rectangle(x0: float, y0: float, x1: float, y1: float) -> list[tuple[float, float]]:
    """Corners of an upright rectangle, px."""
    return [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]


def window(marks: Marks, x0: float, y0: float, x1: float, y1: float) -> None:
    """A double-hung window: casing, sill, two sashes, light on the glass."""
    trim = max(2.0, 0.07 * (x1 - x0))
    marks.polygon(
        rectangle(x0 - trim, y0 - trim, x1 + trim, y1 + 1.3 * trim), face=PAPER, edge=INK, width=1.2, layer=12
    )
    marks.polygon(rectangle(x0 - 1.5 * trim, y0 - 1.8 * trim, x1 + 1.5 * trim, y0 - 0.8 * trim), face=PAPER, edge=INK,
                  width=1.2, layer=13)  # fmt: skip
    marks.polygon(rectangle(x0, y0, x1, y1), face=GLASS, edge=INK, width=1.2, layer=13)
    middle, wide = (y0 + y1) / 2, x1 - x0
    for low, high in ((y0, middle), (middle, y1)):
        shine = [
            (x0 + 0.15 * wide, low + 2),
            (x0 + 0.35 * wide, low + 2),
            (x0 + 0.6 * wide, high - 2),
            (x0 + 0.4 * wide, high - 2),
        ]
        marks.polygon(shine, face=SHINE, edge=SHINE, width=0.2, layer=14)
    rail = max(1.5, 0.05 * (y1 - y0))
    marks.polygon(
        rectangle(x0, middle - rail / 2, x1, middle + rail / 2), face=PAPER, edge=INK, width=1.0, layer=15
    )
    marks.stroke([((x0 + x1) / 2, middle + rail / 2), ((x0 + x1) / 2, y1)], colour=INK, width=1.0, layer=15)


def door(marks: Marks, x0: float, y0: float, x1: float, y1: float) -> None:
    """A panelled door with its casing, light, knob and threshold."""
    trim, wide, tall = max(2.0, 0.08 * (x1 - x0)), x1 - x0, y1 - y0
    marks.polygon(rectangle(x0 - trim, y0, x1 + trim, y1 + trim), face=PAPER, edge=INK, width=1.2, layer=12)
    marks.polygon(rectangle(x0, y0, x1, y1), face="#c79a6b", edge=INK, width=1.2, layer=13)
    for low, high, face in ((0.06, 0.40, "#bb8c5c"), (0.56, 0.93, GLASS)):
        for a, b in ((0.12, 0.46), (0.54, 0.88)):
            marks.polygon(rectangle(x0 + a * wide, y0 + low * tall, x0 + b * wide, y0 + high * tall), face=face,
                          edge=WOOD, width=1.0, layer=14)  # fmt: skip
    marks.polygon(
        ring(x0 + 0.90 * wide, y0 + 0.48 * tall, max(1.4, 0.035 * wide)),
        face=ORANGE,
        edge=INK,
        width=0.7,
        layer=15,
    )
    marks.polygon(
        rectangle(x0 - 1.6 * trim, y0 - 3, x1 + 1.6 * trim, y0 + 2), face=METAL, edge=INK, width=1.0, layer=15
    )


def louver(marks: Marks, x0: float, y0: float, x1: float, y1: float) -> None:
    """A louvered opening: air comes in by itself."""
    marks.polygon(rectangle(x0 - 1, y0 - 1, x1 + 1, y1 + 1), face=METAL, edge=INK, width=1.3, layer=13)
    count = max(3, min(7, int((y1 - y0) / 4)))
    for n in range(count):
        y = y0 + (n + 0.5) * (y1 - y0) / count
        marks.stroke([(x0 + 2, y), (x1 - 2, y)], colour=GREY, width=1.4, layer=14)


def hood(marks: Marks, x0: float, y0: float, x1: float, y1: float, *, inward: bool) -> None:
    """A wall hood: a fan draws air in (blue arrow), or a dryer blows out (flap open)."""
    wide, tall = x1 - x0, y1 - y0
    skirt = [(x0 - 0.12 * wide, y0), (x1 + 0.12 * wide, y0), (x1, y1 - 0.3 * tall), (x1 - 0.15 * wide, y1),
             (x0 + 0.15 * wide, y1), (x0, y1 - 0.3 * tall)]  # fmt: skip
    marks.polygon(skirt, face=METAL, edge=INK, width=1.3, layer=13)
    marks.stroke([(x0, y1 - 0.3 * tall), (x1, y1 - 0.3 * tall)], colour=GREY, width=0.9, layer=14)
    middle = (x0 + x1) / 2
    colour, start, end = (BLUE, y0 - 10, y0 + 0.45 * tall) if inward else (GREY, y0 + 0.5 * tall, y0 - 10)
    marks.stroke([(middle, start), (middle, end)], colour=colour, width=2.2, layer=15)
    back = 5.0 if end < start else -5.0
    head = [(middle, end), (middle - 4, end + back), (middle + 4, end + back)]
    marks.polygon(head, face=colour, edge=colour, width=0.5, layer=15)


def meter(marks: Marks, x0: float, y0: float, x1: float, y1: float) -> None:
    """A gas meter on its riser: case, index with dials, two pipes into the ground and the wall."""
    wide, tall = x1 - x0, y1 - y0
    for x in (x0 + 0.2 * wide, x1 - 0.2 * wide):
        marks.stroke([(x, y0 - 0.25 * tall), (x, y1 + 2)], colour=GREY, width=max(2.0, 0.08 * wide), layer=12)
    marks.polygon(rectangle(x0, y0, x1, y0 + 0.78 * tall), face=METAL, edge=INK, width=1.4, layer=13)
    marks.polygon(rectangle(x0 + 0.15 * wide, y0 + 0.42 * tall, x1 - 0.15 * wide, y0 + 0.68 * tall), face=PAPER,
                  edge=INK, width=0.9, layer=14)  # fmt: skip
    for share in (0.3, 0.5, 0.7):
        marks.polygon(
            ring(x0 + share * wide, y0 + 0.55 * tall, max(1.0, 0.06 * wide)),
            face=PAPER,
            edge=INK,
            width=0.8,
            layer=15,
        )


def regulator(marks: Marks, x0: float, y0: float, x1: float, y1: float) -> None:
    """A regulator: a disc with a spring tower, and its vent."""
    x, y, radius = (x0 + x1) / 2, (y0 + y1) / 2, max(LEAST, (x1 - x0) / 2)
    tower = rectangle(x - 0.3 * radius, y, x + 0.3 * radius, y + 1.6 * radius)
    marks.polygon(tower, face=METAL, edge=INK, width=1.0, layer=13)
    marks.polygon(ring(x, y, radius), face=METAL, edge=INK, width=1.3, layer=14)
    marks.polygon(ring(x, y, 0.35 * radius), face=INK, edge=INK, width=0.5, layer=15)


def terminal(marks: Marks, x0: float, y0: float, x1: float, y1: float, *, double: bool) -> None:
    """A vent terminal: one pipe, or two in each other for a direct vent."""
    x, y, radius = (x0 + x1) / 2, (y0 + y1) / 2, max(LEAST, (x1 - x0) / 2)
    marks.polygon(ring(x, y, radius + 2.5), face=PAPER, edge=INK, width=1.6, layer=17)
    if double:
        marks.polygon(ring(x, y, radius), face=METAL, edge=INK, width=1.2, layer=18)
    marks.polygon(ring(x, y, 0.6 * radius if double else radius), face=INK, edge=INK, width=0.5, layer=19)


def breath(marks: Marks, x: float, y: float, radius: float) -> None:
    """Three wisps of flue gas above a terminal."""
    for shift in (-0.8, 0.0, 0.8):
        points = [
            (x + shift * radius + 1.8 * math.sin(1.3 * n + 2 * shift), y + radius + 4 + 3.2 * n)
            for n in range(5)
        ]
        marks.stroke(points, colour=GREY, width=1.1, layer=17)
