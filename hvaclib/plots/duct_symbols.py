"""Symbols of the parts of an air path, each within a stretch of duct: grille, filter, fan, heat exchanger, coil."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hvaclib.plots.pointers import CIRCLE, arrow
from hvaclib.plots.style import GREY, INK, PAPER

if TYPE_CHECKING:
    from collections.abc import Callable

    from hvaclib.plots.marks import Marks

Box = tuple[float, float, float, float]
"""Left, bottom, right, top, px."""
AIR = "#eef3f7"


def draw_part(marks: Marks, kind: str, box: Box, colour: str = INK) -> None:
    """A stretch of duct with the symbol of a part in it.

    Parameters
    ----------
    marks : Marks
        Appended to.
    kind : str
        "grille", "filter", "return drop", "fan", "heat exchanger", "coil", "supply trunk" or "registers"; any other
        kind is plain duct with an arrow.
    box : tuple of float
        Left, bottom, right and top of the stretch, px.
    colour : str
        Of the symbol: what is out of line has another.
    """
    left, bottom, right, top = box
    marks.polygon(
        [(left, bottom), (right, bottom), (right, top), (left, top)], face=AIR, edge=AIR, width=0.0, layer=1
    )
    for y in (bottom, top):
        marks.stroke([(left, y), (right, y)], colour=INK, width=2.0, layer=4)
    SYMBOLS.get(kind, _duct)(marks, box, colour)


def _middle(box: Box) -> tuple[float, float, float]:
    """Middle of the stretch, and half the height of a symbol."""
    return (box[0] + box[2]) / 2, (box[1] + box[3]) / 2, (box[3] - box[1]) / 2


def _duct(marks: Marks, box: Box, colour: str) -> None:
    x, y, _ = _middle(box)
    half = min(16.0, 0.3 * (box[2] - box[0]))
    arrow(marks, (x - half, y), (x + half, y), colour if colour != INK else GREY, 2.2, 5)


def _grille(marks: Marks, box: Box, colour: str) -> None:
    x, _, _ = _middle(box)
    for k in range(4):
        y = box[1] + (k + 0.3) * (box[3] - box[1]) / 4.2
        marks.stroke([(x - 5, y), (x + 5, y + 6)], colour=colour, width=2.2, layer=5)


def _filter(marks: Marks, box: Box, colour: str) -> None:
    x, _, _ = _middle(box)
    steps = 8
    rise = (box[3] - box[1]) / steps
    points = [(x + (5 if k % 2 else -5), box[1] + k * rise) for k in range(steps + 1)]
    marks.stroke(points, colour=colour, width=2.2, layer=5)


def _fan(marks: Marks, box: Box, colour: str) -> None:
    x, y, half = _middle(box)
    radius = min(0.85 * half, 0.42 * (box[2] - box[0]))
    marks.polygon(
        [(x + radius * c, y + radius * s) for c, s in CIRCLE], face=PAPER, edge=colour, width=2.2, layer=5
    )
    blade = 0.62 * radius
    arrow(marks, (x - blade, y), (x + blade, y), colour, 2.2, 6)


def _heat_exchanger(marks: Marks, box: Box, colour: str) -> None:
    x, y, half = _middle(box)
    reach = min(14.0, 0.36 * (box[2] - box[0]))
    levels = [y + 0.7 * half, y + 0.24 * half, y - 0.24 * half, y - 0.7 * half]
    points = []
    for k, level in enumerate(levels):
        ends = [(x - reach, level), (x + reach, level)]
        points += ends if k % 2 == 0 else ends[::-1]
    marks.stroke(points, colour=colour, width=2.6, layer=5)


def _coil(marks: Marks, box: Box, colour: str) -> None:
    x, _, _ = _middle(box)
    reach = min(13.0, 0.36 * (box[2] - box[0]))
    tip = (x + reach, (box[1] + box[3]) / 2)
    for end in (box[1] + 2, box[3] - 2):
        marks.stroke([(x - reach, end), tip], colour=colour, width=4.0, layer=5)


def _registers(marks: Marks, box: Box, colour: str) -> None:
    x, y, _ = _middle(box)
    for up in (-1.0, 1.0):
        end = box[3] if up > 0 else box[1]
        for shift in (-8.0, 0.0, 8.0):
            marks.stroke(
                [(x + shift, end - 5 * up), (x + shift + 3, end + 4 * up)], colour=colour, width=2.2, layer=6
            )
    arrow(marks, (x - 12, y), (x + 12, y), colour if colour != INK else GREY, 2.0, 5)


SYMBOLS: dict[str, Callable[[Marks, Box, str], None]] = {
    "grille": _grille,
    "filter": _filter,
    "fan": _fan,
    "heat exchanger": _heat_exchanger,
    "coil": _coil,
    "registers": _registers,
}
