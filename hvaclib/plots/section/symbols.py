"""Symbols of our own, as marks: arrows, fans, flames, appliances, doors, a U-tube manometer."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from hvaclib.plots.style import GREY, INK, ORANGE, PAPER, SKY, VERMILLION

if TYPE_CHECKING:
    from hvaclib.plots.marks import Marks

RUNNING = "#a84300"  # vermillion dark enough for white letters: 6 to 1
FULL_SCALE = 8.0  # Pa at which the manometer's liquid reaches the end of its tube


def arrow(
    marks: Marks,
    tail: tuple[float, float],
    tip: tuple[float, float],
    thickness: float,
    colour: str,
    layer: int = 12,
) -> None:
    """A block arrow from tail to tip; thickness of the shaft in px."""
    (x0, y0), (x1, y1) = tail, tip
    length = math.hypot(x1 - x0, y1 - y0)
    if length < 1e-9:
        return
    ux, uy = (x1 - x0) / length, (y1 - y0) / length
    head = min(max(1.5 * thickness, 7.0), 0.6 * length)
    half, wing = thickness / 2, max(thickness, 4.2)

    def at(along: float, aside: float) -> tuple[float, float]:
        return x0 + ux * along - uy * aside, y0 + uy * along + ux * aside

    neck = length - head
    corners = [
        at(0, half), at(neck, half), at(neck, wing), at(length, 0), at(neck, -wing), at(neck, -half), at(0, -half)
    ]  # fmt: skip
    marks.polygon(corners, face=colour, edge=PAPER, width=0.8, layer=layer)


def disc(x: float, y: float, radius: float, points: int = 24) -> list[tuple[float, float]]:
    """Corners of a circle."""
    turn = 2 * math.pi / points
    return [(x + radius * math.cos(i * turn), y + radius * math.sin(i * turn)) for i in range(points)]


BADGE = 14.0  # px


def badge(marks: Marks, left: float, middle: float, *, sign: str, active: bool, colour: str) -> None:
    """The sign of the key in a square frame: a way that can be opened and shut."""
    right, half = left + BADGE, BADGE / 2
    corners = [(left, middle - half), (right, middle - half), (right, middle + half), (left, middle + half)]
    marks.polygon(corners, face=PAPER, edge=colour if active else GREY, width=1.4, layer=14)
    marks.label(
        left + half,
        middle,
        sign,
        11.2,
        bold=True,
        colour=INK if active else GREY,
        across="center",
        up="center",
    )


def fan(marks: Marks, x: float, y: float, radius: float, running: bool, colour: str, sign: str = "") -> None:
    """A fan: filled blades when it runs, an empty ring with a bar when it stands still.

    With a sign of the key it is a disc around the sign: filled when it runs, a ring when it stands still.
    """
    if sign:
        face = RUNNING if running else PAPER
        marks.polygon(disc(x, y, radius), face=face, edge=face if running else GREY, width=1.6, layer=14)
        marks.label(
            x, y, sign, 11.2, bold=True, colour=PAPER if running else GREY, across="center", up="center"
        )
        return
    marks.polygon(disc(x, y, radius), face=PAPER, edge=colour if running else GREY, width=1.6, layer=14)
    if not running:
        marks.stroke([(x - 0.55 * radius, y), (x + 0.55 * radius, y)], colour=GREY, width=1.6, layer=15)
        return
    for blade in range(3):
        angle = math.pi / 2 + blade * 2 * math.pi / 3
        tip = (x + 0.86 * radius * math.cos(angle), y + 0.86 * radius * math.sin(angle))
        side = (x + 0.62 * radius * math.cos(angle + 0.85), y + 0.62 * radius * math.sin(angle + 0.85))
        marks.polygon([(x, y), tip, side], face=colour, edge=colour, width=0.6, layer=15)


def flame(marks: Marks, x: float, y: float, height: float, burning: bool) -> None:
    """A flame: filled when the burner fires, an outline when it does not."""
    shape = [
        (0.0, 1.0), (0.2, 0.62), (0.34, 0.34), (0.27, 0.1), (0.0, 0.0), (-0.27, 0.1), (-0.34, 0.34), (-0.13, 0.5)
    ]  # fmt: skip
    corners = [(x + height * dx, y + height * dy) for dx, dy in shape]
    marks.polygon(
        corners, face=ORANGE if burning else PAPER, edge=VERMILLION if burning else GREY, width=1.1, layer=17
    )


def appliance(
    marks: Marks, x: float, floor: float, height: float, kind: str, firing: bool
) -> tuple[float, float]:
    """A gas appliance standing on the floor; gives back the point where its flue leaves.

    A water heater is a slim round tank, a stove a low box on feet, everything else a cabinet.
    """
    if "water" in kind:
        half, body = 0.20 * height, 0.80 * height
        cap = 0.07 * height
        outline = [(x - half, floor), (x - half, floor + body - cap), (x - 0.6 * half, floor + body)]
        outline += [(2 * x - px, py) for px, py in reversed(outline)]
    elif "stove" in kind or "solid" in kind:
        half, body = 0.30 * height, 0.55 * height
        outline = [(x - half, floor + 0.1 * height), (x - half, floor + body), (x + half, floor + body)]
        outline += [(x + half, floor + 0.1 * height)]
        for foot in (-0.8 * half, 0.8 * half):
            marks.stroke([(x + foot, floor), (x + foot, floor + 0.1 * height)], width=2.0, layer=15)
    else:
        half, body = 0.26 * height, 0.80 * height
        outline = [(x - half, floor), (x - half, floor + body), (x + half, floor + body), (x + half, floor)]
        grille = [floor + share * body for share in (0.62, 0.70, 0.78)]
        for level in grille:
            marks.stroke([(x - 0.6 * half, level), (x + 0.6 * half, level)], colour=GREY, width=1.0, layer=16)
    marks.polygon(outline, face="#eef1f4", edge=INK, width=1.4, layer=15)
    flame(marks, x, floor + 0.10 * height, 0.26 * height, firing)
    flue = floor + height
    if "draft-hood" in kind:
        hood = [(x - 0.17 * height, floor + body + 3), (x - 0.06 * height, flue), (x + 0.06 * height, flue)]
        hood += [(x + 0.17 * height, floor + body + 3)]
        marks.polygon(hood, face="#dfe4e9", edge=INK, width=1.2, layer=15)
    else:
        marks.stroke([(x, floor + body), (x, flue)], colour=INK, width=3.0, layer=14)
    return x, flue


def manometer(marks: Marks, x: float, bottom: float, size: float, pressure: float) -> None:
    """A U-tube: left leg open to the zone, right leg to outdoors; the level is lower where the pressure is higher."""
    leg = 0.30 * size
    tube = [
        (x - leg, bottom + size),
        (x - leg, bottom + 0.22 * size),
        (x - 0.6 * leg, bottom),
        (x + 0.6 * leg, bottom),
    ]
    tube += [(x + leg, bottom + 0.22 * size), (x + leg, bottom + size)]
    marks.stroke(tube, colour=GREY, width=5.2, layer=5)
    marks.stroke(tube, colour=PAPER, width=3.4, layer=6)
    level = 0.58 * size
    shift = 0.34 * size * max(-1.0, min(1.0, pressure / FULL_SCALE))
    liquid = [(x - leg, bottom + level - shift), *tube[1:-1], (x + leg, bottom + level + shift)]
    marks.stroke(liquid, colour=SKY, width=3.4, layer=7)


def door_leaf(
    marks: Marks, x: float, bottom: float, height: float, is_open: bool, most: float = 20.0
) -> None:
    """A door in a wall seen in section: a leaf in the wall when shut, swung aside when open."""
    colour = "#8a5a2b"
    if is_open:
        marks.polygon([(x - 3, bottom), (x + 3, bottom), (x + 3, bottom + height), (x - 3, bottom + height)],
                      face=PAPER, edge=PAPER, width=0.0, layer=9)  # fmt: skip
        lean = min(0.26 * height, most)
        leaf = [(x, bottom), (x + lean, bottom + 5), (x + lean, bottom + height - 5), (x, bottom + height)]
        marks.polygon(leaf, face="none", edge=colour, width=1.5, layer=10)
    else:
        marks.polygon([(x - 3, bottom), (x + 3, bottom), (x + 3, bottom + height), (x - 3, bottom + height)],
                      face=colour, edge=colour, width=1.0, layer=10)  # fmt: skip


def hatch_leaf(marks: Marks, x: float, y: float, width: float, thickness: float, is_open: bool) -> None:
    """A door at a stair, drawn in the floor: a flap, raised when open."""
    colour = "#8a5a2b"
    left, right = x - width / 2, x + width / 2
    flat = [
        (left, y - thickness / 2),
        (right, y - thickness / 2),
        (right, y + thickness / 2),
        (left, y + thickness / 2),
    ]
    if not is_open:
        marks.polygon(flat, face=colour, edge=colour, width=1.0, layer=10)
        return
    marks.polygon(flat, face=PAPER, edge=PAPER, width=0.0, layer=9)
    marks.stroke([(left, y), (left + 0.45 * width, y + 0.8 * width)], colour=colour, width=2.6, layer=10)
