"""The wall itself: clapboards, corner boards, eaves, foundation, ground, walkway and a scale along the foot."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from hvaclib.plots.style import GREY, INK, PAPER
from hvaclib.units import kinds, shown

if TYPE_CHECKING:
    from hvaclib.plots.elevation.frame import Frame
    from hvaclib.plots.marks import Marks
    from hvaclib.plots.style import System

BOARD = "#f6f3ec"
JOINT = "#e3ddd0"
TRIM = "#ffffff"
STONE = "#d9d5cd"
EARTH = "#e9e2d8"
ROOF = "#59636d"
COURSE = 0.20  # m between two joints of the boards
SILL = 0.20  # m of foundation above grade


def shell(marks: Marks, frame: Frame) -> None:
    """Boards, foundation, corners and eaves."""
    wide, tall = frame.width, frame.height
    marks.polygon(frame.box(0, 0, wide, tall), face=BOARD, edge=BOARD, layer=0)
    for n in range(1, math.ceil((tall - SILL) / COURSE)):
        up = SILL + n * COURSE
        marks.stroke([frame.at(0, up), frame.at(wide, up)], colour=JOINT, width=1.0, layer=1)
    marks.polygon(frame.box(0, 0, wide, SILL), face=STONE, edge=GREY, width=0.8, layer=1)
    marks.stroke([frame.at(0, SILL), frame.at(wide, SILL)], colour=GREY, width=1.2, layer=5)
    for left in (0.0, wide - 0.12):
        marks.polygon(frame.box(left, SILL, left + 0.12, tall), face=TRIM, edge=GREY, width=0.8, layer=2)
    marks.stroke([frame.at(0, 0), frame.at(0, tall)], colour=INK, width=1.8, layer=9)
    marks.stroke([frame.at(wide, 0), frame.at(wide, tall)], colour=INK, width=1.8, layer=9)
    _eaves(marks, frame)


def _eaves(marks: Marks, frame: Frame) -> None:
    """Soffit, gutter and the lowest courses of the roof, as far as the sheet goes."""
    top, over = frame.y(frame.height), 0.7 * frame.sheet.margin
    left, right = frame.left - over, frame.x(frame.width) + over
    depth = 8.0 if frame.sheet.narrow else 13.0
    marks.polygon(
        [(left, top), (right, top), (right, top + depth), (left, top + depth)],
        face=PAPER, edge=INK, width=1.4, layer=10,
    )  # fmt: skip
    marks.stroke([(left, top + 0.65 * depth), (right, top + 0.65 * depth)], colour=GREY, width=0.8, layer=11)
    high = frame.sheet.height
    rise = high - top - depth
    slope = [(left, top + depth), (right, top + depth), (right - 0.5 * rise, high), (left + 0.5 * rise, high)]
    marks.polygon(slope, face=ROOF, edge=INK, width=1.2, layer=10)
    for n in (1, 2, 3):
        y, inset = top + depth + n * rise / 4, 0.5 * n * rise / 4
        marks.stroke([(left + inset, y), (right - inset, y)], colour="#7c8690", width=0.8, layer=11)


def ground(marks: Marks, frame: Frame, walkway: tuple[float, float] | None, system: System) -> None:
    """Earth with short strokes, the walkway on it, and a scale of lengths below."""
    wide, foot = float(frame.sheet.width), frame.sheet.foot
    grade = frame.grade
    marks.polygon([(0, foot), (wide, foot), (wide, grade), (0, grade)], face=EARTH, edge=EARTH, layer=0)
    marks.stroke([(0, grade), (wide, grade)], colour=INK, width=2.2, layer=8)
    for x in range(6, int(wide), 16):
        marks.stroke([(x, grade - 1), (x - 7, grade - 9)], colour=GREY, width=0.9, layer=1)
    if walkway is not None:
        left, right = frame.x(walkway[0]), frame.x(walkway[1])
        marks.polygon(
            [(left, grade - 7), (right, grade - 7), (right, grade + 2), (left, grade + 2)],
            face="#b9bec4", edge=INK, width=1.2, layer=9,
        )  # fmt: skip
    _scale(marks, frame, system)


def _scale(marks: Marks, frame: Frame, system: System) -> None:
    """Ticks and figures of the length along the wall, in the unit of the screen."""
    total = float(shown(frame.width, kinds.LENGTH, system))
    most = 6 if frame.sheet.narrow else 12
    step = next(s for s in (1.0, 2.0, 5.0, 10.0, 20.0) if total / s <= most)
    y = frame.grade - (22.0 if frame.sheet.narrow else 28.0)
    marks.stroke([(frame.left, y), (frame.x(frame.width), y)], colour=GREY, width=1.0, layer=6)
    unit = kinds.LENGTH.label(system)
    for n in range(int(total / step + 1e-6) + 1):
        x = frame.left + frame.scale * frame.width * n * step / total
        marks.stroke([(x, y - 3), (x, y + 4)], colour=GREY, width=1.0, layer=6)
        words = f"{n * step:g} {unit}" if n == 0 else f"{n * step:g}"
        marks.label(
            x, y - 5, words, frame.sheet.small, colour=GREY, across="left" if n == 0 else "center", up="top"
        )
