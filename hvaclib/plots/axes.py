"""A frame for charts as marks: nice ticks, grid, axis titles, and the two maps from data to pixels."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from hvaclib.errors import InputError
from hvaclib.plots.style import GREY, INK, PALE

if TYPE_CHECKING:
    import numpy.typing as npt

    from hvaclib.plots.marks import Marks
    from hvaclib.plots.style import Sheet


def finite(values: npt.ArrayLike, where: str, dimensions: int = 1) -> npt.NDArray[np.float64]:
    """The values as floats, refused when one is not finite or the shape is another than asked for.

    Raises
    ------
    InputError
        Naming the array.
    """
    array = np.asarray(values, dtype=np.float64)
    if array.ndim != dimensions or array.size == 0:
        raise InputError(
            "a chart needs values in another shape",
            where=where,
            given=array.shape,
            expected=f"{dimensions} axes, not empty",
        )
    if not np.isfinite(array).all():
        place = tuple(int(i) for i in np.argwhere(~np.isfinite(array))[0])
        raise InputError(
            "a chart needs numbers",
            where=f"{where}{list(place)}",
            given=float(array[place]),
            expected="finite numbers",
        )
    return array


def nice_ticks(low: float, high: float, most: int = 6) -> list[float]:
    """Round numbers (1, 2 or 5 times a power of ten apart) that cover low to high, at most so many steps."""
    span = max(high - low, 1e-9)
    raw = span / most
    power = 10.0 ** math.floor(math.log10(raw))
    step = next(m * power for m in (1.0, 2.0, 5.0, 10.0) if m * power >= raw * (1 - 1e-9))
    first, last = math.floor(low / step + 1e-9), math.ceil(high / step - 1e-9)
    return [round(i * step, 12) for i in range(first, max(last, first + 1) + 1)]


def tick_text(value: float, step: float) -> str:
    """A tick with as many decimals as its step needs, with a true minus sign."""
    decimals = max(0, -math.floor(math.log10(step) + 1e-9))
    return f"{0.0 if value == 0 else value:.{decimals}f}".replace("-", "−")


@dataclass(frozen=True, slots=True)
class Frame:
    """A plotting area in pixels with its data range."""

    left: float
    bottom: float
    right: float
    top: float
    x_range: tuple[float, float]
    y_range: tuple[float, float]

    def x(self, value: float) -> float:
        """Pixel from the left of a value on the horizontal axis."""
        low, high = self.x_range
        return self.left + (value - low) / (high - low) * (self.right - self.left)

    def y(self, value: float) -> float:
        """Pixel from the bottom of a value on the vertical axis."""
        low, high = self.y_range
        return self.bottom + (value - low) / (high - low) * (self.top - self.bottom)


def framed(
    marks: Marks, sheet: Sheet, box: tuple[float, float, float, float], x_ticks: list[float], y_ticks: list[float],
    x_title: str, y_title: str,
) -> Frame:  # fmt: skip
    """Draw grid, ticks and titles and give back the frame; no ticks on an axis leave it bare.

    Parameters
    ----------
    marks : Marks
        Appended to.
    sheet : Sheet
        Size of the picture.
    box : tuple of float
        Margins left, bottom, right, top, px.
    x_ticks, y_ticks : list of float
        Ticks; the first and the last are the range.
    x_title, y_title : str
        What the axis shows, with its unit. The vertical title stands above the axis, where it can be read.
    """
    left, bottom, right, top = box[0], box[1], sheet.width - box[2], sheet.height - box[3]
    frame = Frame(left, bottom, right, top, (x_ticks[0], x_ticks[-1]), (y_ticks[0], y_ticks[-1]))
    for value in y_ticks:
        y = frame.y(value)
        marks.stroke([(left, y), (right, y)], colour=GREY if value == 0 else PALE, width=1.0, layer=1)
        marks.label(
            left - 7, y, tick_text(value, y_ticks[1] - y_ticks[0]), sheet.small, across="right", up="center"
        )
    for value in x_ticks:
        x = frame.x(value)
        marks.stroke([(x, bottom), (x, bottom - 5)], colour=GREY, width=1.0, layer=2)
        marks.label(
            x, bottom - 8, tick_text(value, x_ticks[1] - x_ticks[0]), sheet.small, across="center", up="top"
        )
    marks.stroke([(left, bottom), (right, bottom)], colour=GREY, width=1.2, layer=2)
    marks.label(
        (left + right) / 2, bottom - 12 - 1.2 * sheet.small, x_title, sheet.small, across="center", up="top"
    )
    marks.label(8, sheet.height - 6, y_title, sheet.body, colour=INK, bold=True, up="top")
    return frame


def spread(places: list[float], gap: float, low: float, high: float) -> list[float]:
    """Move label heights apart to at least ``gap``, within low to high, keeping their order."""
    order = sorted(range(len(places)), key=lambda i: places[i])
    moved = list(places)
    floor = low
    for i in order:
        moved[i] = max(moved[i], floor)
        floor = moved[i] + gap
    ceiling = high
    for i in reversed(order):
        moved[i] = min(moved[i], ceiling)
        ceiling = moved[i] - gap
    return moved
