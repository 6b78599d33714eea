"""The combustion triangle: oxygen against carbon dioxide, one line a fuel, and where a reading lies to it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from hvaclib.errors import InputError
from hvaclib.plots.axes import Frame, finite, framed, nice_ticks
from hvaclib.plots.letters import text_width
from hvaclib.plots.marks import Marks
from hvaclib.plots.picture import Picture
from hvaclib.plots.pointers import Key, between, key_row, key_rows, spot
from hvaclib.plots.style import BLUE, CHART_SHEETS, GREY, INK, PAPER, VERMILLION
from hvaclib.units import kinds, show

if TYPE_CHECKING:
    from hvaclib.plots.style import Sheet, System, Width

BAND = "#e3eef6"
AIR = 0.209476
"""Oxygen of dry air, mole fraction: where all lines end (U.S. Standard Atmosphere, 1976)."""
DASHES: tuple[tuple[float, float], ...] = ((7.0, 5.0), (2.0, 4.0), (10.0, 3.0))


@dataclass(frozen=True, slots=True)
class TriangleData:
    """What the triangle shows; mole fractions of the dry gas.

    Parameters
    ----------
    fuels : tuple of (str, float)
        Name and largest CO2 of each fuel; the first is the one that burns.
    marks : tuple of (float, float)
        Excess air and the oxygen that goes with it, along the first fuel's line.
    point : tuple of float
        Oxygen and CO2 of the reading.
    possible : bool
        Whether the fuel can give the reading.
    tolerance : float
        CO2 by which a reading may lie off its line.
    measured : bool
        Whether the CO2 was measured, and not reckoned from the oxygen.
    before : tuple of float or None
        Oxygen and CO2 before the burner was set.
    """

    fuels: tuple[tuple[str, float], ...]
    marks: tuple[tuple[float, float], ...]
    point: tuple[float, float]
    possible: bool
    tolerance: float
    measured: bool = False
    before: tuple[float, float] | None = None

    def __post_init__(self) -> None:
        if not self.fuels:
            raise InputError("the triangle needs a fuel", where="fuels", expected="at least one")
        finite([most for _, most in self.fuels], "fuels")
        finite([*self.point, *(self.before or ())], "point")


def combustion_triangle(data: TriangleData, width: Width = "wide", system: System = "field") -> Picture:
    """Draw the triangle.

    Parameters
    ----------
    data : TriangleData
        Fuels, marks and readings.
    width : {"wide", "narrow"}
        Variant for a desktop column or for a phone.
    system : {"field", "si"}
        Both read percent; kept for the sake of all charts being called alike.

    Returns
    -------
    Picture

    Raises
    ------
    InputError
        From `TriangleData`.
    """
    base, marks = CHART_SHEETS[width], Marks()
    keys = _keys(data)
    rows = key_rows(base, keys, base.width - 20.0)
    sheet = replace(base, height=round(base.height + 50 + 1.5 * base.small * rows))
    head = 2.6 * sheet.body + 1.5 * sheet.small * rows
    box = (46.0 if base.narrow else 58.0, 3.2 * sheet.small + 12, 22.0, head)
    reached = [data.point, *([data.before] if data.before else [])]
    top = 100 * max(*(most for _, most in data.fuels), *(co2 for _, co2 in reached))
    right = max(21.0, *(100 * o2 for o2, _ in reached))
    x_ticks = nice_ticks(0.0, right, 5 if base.narrow else 11)
    frame = framed(
        marks, sheet, box, x_ticks, nice_ticks(0.0, 1.08 * top, 5 if base.narrow else 9),
        "O2 of the dry flue gas, % by volume", "CO2 of the dry flue gas, %",
    )  # fmt: skip
    key_row(marks, sheet, (10.0, sheet.height - 2.35 * sheet.body), keys, sheet.width - 10.0)
    _band(marks, frame, data)
    _lines(marks, frame, data)
    _excess(marks, frame, data, sheet)
    _readings(marks, frame, data, sheet)
    return Picture(marks, sheet, triangle_words(data, system))


def _keys(data: TriangleData) -> list[Key]:
    most = [f"{name}, {100 * share:.1f} % at most" for name, share in data.fuels]
    keys: list[Key] = [(f"{most[0]} (ticks: excess air)", BLUE, 3.0, None)]
    keys += [(words, GREY, 1.6, DASHES[i % len(DASHES)]) for i, words in enumerate(most[1:])]
    return keys


def _band(marks: Marks, frame: Frame, data: TriangleData) -> None:
    """The strip around the fuel's line in which a reading may lie, kept inside the frame."""
    most, slack = 100 * data.fuels[0][1], 100 * data.tolerance
    end = 100 * AIR
    low = end * (1.0 - slack / most)
    corners = [(0.0, most - slack), (0.0, most + slack), (end, slack), (end, 0.0), (low, 0.0)]
    marks.polygon([(frame.x(x), frame.y(y)) for x, y in corners], face=BAND, edge=BAND, width=0.0, layer=0)


def _lines(marks: Marks, frame: Frame, data: TriangleData) -> None:
    end = (frame.x(100 * AIR), frame.y(0.0))
    for i, (_, most) in enumerate(data.fuels):
        start = (frame.x(0.0), frame.y(100 * most))
        if i == 0:
            marks.stroke([start, end], colour=BLUE, width=3.0, layer=5)
        else:
            marks.stroke([start, end], colour=GREY, width=1.6, layer=3, dash=DASHES[(i - 1) % len(DASHES)])


def _excess(marks: Marks, frame: Frame, data: TriangleData, sheet: Sheet) -> None:
    """Ticks of excess air along the fuel's line, their figures below it where no reading comes."""
    most = data.fuels[0][1]
    taken = [
        (frame.x(100 * o2), frame.y(100 * co2))
        for o2, co2 in (data.point, *([data.before] if data.before else []))
    ]
    last = -1e9
    for i, (excess, o2) in enumerate(data.marks):
        x, y = frame.x(100 * o2), frame.y(100 * most * (1.0 - o2 / AIR))
        marks.stroke([(x - 4, y - 6), (x + 4, y + 6)], colour=BLUE, width=2.0, layer=6)
        words = f"{100 * excess:.0f} %"
        wide = text_width(words, sheet.small)
        left, low = x - 8 - wide, y - 10 - sheet.small
        right, high = left + wide, low + sheet.small
        near = any(left - 12 < a < right + 12 and low - 12 < b < high + 12 for a, b in taken)
        if i and left > max(last, frame.left + 2) and not near and low > frame.bottom:
            corners = [(left - 2, low - 1), (right + 2, low - 1), (right + 2, high + 1), (left - 2, high + 1)]
            marks.polygon(corners, face=PAPER, edge=PAPER, width=0.0, layer=4)
            marks.label(left, low, words, sheet.small, colour="#00507d", up="bottom")
            last = right + 4


def _readings(marks: Marks, frame: Frame, data: TriangleData, sheet: Sheet) -> None:
    here = (frame.x(100 * data.point[0]), frame.y(100 * data.point[1]))
    if data.before is not None:
        start = (frame.x(100 * data.before[0]), frame.y(100 * data.before[1]))
        between(marks, start, here)
        spot(marks, start, GREY, filled=False, layer=9)
    if not data.possible:
        for way in (-1, 1):
            marks.stroke(
                [(here[0] - 11, here[1] - 11 * way), (here[0] + 11, here[1] + 11 * way)],
                colour=INK,
                width=2.2,
                layer=11,
            )
    spot(marks, here, VERMILLION, layer=10)
    kind = "both measured" if data.measured else "CO2 from the O2"
    rows = [(f"O2 {100 * data.point[0]:.1f} %, CO2 {100 * data.point[1]:.1f} %", VERMILLION)]
    if data.before is not None:
        rows.append((f"before: O2 {100 * data.before[0]:.1f} %, CO2 {100 * data.before[1]:.1f} %", GREY))
    rows.append((kind if data.possible else "cannot be with this fuel", ""))
    wide = max(text_width(words, sheet.body, bold=True) for words, _ in rows)
    left, y = frame.right - wide - 4, frame.top - 1.4 * sheet.body
    low = y - 1.5 * sheet.body * (len(rows) - 1) - 6
    corners = [(left - 24, low), (frame.right, low), (frame.right, frame.top - 2), (left - 24, frame.top - 2)]
    marks.polygon(corners, face=PAPER, edge=PAPER, width=0.0, layer=2)
    for words, colour in rows:
        if colour:
            spot(marks, (left - 13, y + 0.35 * sheet.body), colour, filled=colour == VERMILLION, layer=9)
        marks.label(left, y, words, sheet.body, bold=colour == VERMILLION or not data.possible)
        y -= 1.5 * sheet.body


def triangle_words(data: TriangleData, system: System = "field") -> str:
    """The triangle in sentences, for those who do not see it."""
    del system  # percent in both
    name, most = data.fuels[0]

    def percent(share: float) -> str:
        return show(share, kinds.FRACTION, digits=1)

    told = (
        f"Combustion triangle: CO2 against O2. The line of {name} falls from {percent(most)} CO2 without oxygen to no "
        f"CO2 in air. The reading: O2 {percent(data.point[0])}, CO2 {percent(data.point[1])}, "
    )
    told += "on that line." if data.possible else "which this fuel cannot give."
    if data.before is not None:
        told += f" Before: O2 {percent(data.before[0])}, CO2 {percent(data.before[1])}."
    return told
