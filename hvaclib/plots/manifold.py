"""Input rate against manifold pressure: the square-root law, the range that may be set, the point and where it must go."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

import numpy as np

from hvaclib.plots.axes import Frame, finite, framed, nice_ticks
from hvaclib.plots.letters import text_width
from hvaclib.plots.marks import Marks
from hvaclib.plots.picture import Picture
from hvaclib.plots.pointers import between, spot
from hvaclib.plots.style import BLUE, CHART_SHEETS, GREEN, GREY, VERMILLION
from hvaclib.units import kinds, label, show, shown

if TYPE_CHECKING:
    from hvaclib.plots.style import Sheet, System, Width

RATE, PRESSURE = kinds.CAPACITY, kinds.GAUGE_PRESSURE
#: Decimals of a gas pressure in each system.
DIGITS: dict[str, int] = {"field": 2, "si": 0}
BAND = "#dff0e8"
BAND_EDGE = "#00795a"


@dataclass(frozen=True, slots=True)
class ManifoldPoint:
    """What the chart needs, in SI.

    Parameters
    ----------
    pressure, rate : float
        Manifold pressure (Pa) and the rate clocked at it (W), above zero.
    needed, wanted : float
        Pressure (Pa) at which the same orifices give the wanted rate (W).
    span : tuple of float
        Range in which the manifold may be set, Pa.
    """

    pressure: float
    rate: float
    needed: float
    wanted: float
    span: tuple[float, float]

    def __post_init__(self) -> None:
        finite([self.pressure, self.rate, self.needed, self.wanted, *self.span], "manifold point")

    @property
    def allowed(self) -> bool:
        """Whether the pressure that is needed lies within the range."""
        return self.span[0] * (1 - 1e-9) <= self.needed <= self.span[1] * (1 + 1e-9)


def manifold_chart(point: ManifoldPoint, width: Width = "wide", system: System = "field") -> Picture:
    """Rate against manifold pressure through the clocked point.

    Parameters
    ----------
    point : ManifoldPoint
        Pressures and rates.
    width : {"wide", "narrow"}
        Variant for a desktop column or for a phone.
    system : {"field", "si"}
        Unit system of the axes.

    Returns
    -------
    Picture
        The arrow is the change by the square-root law; grey and crossed where it leaves the range.

    Raises
    ------
    InputError
        From `ManifoldPoint`.
    """
    base, marks = CHART_SHEETS[width], Marks()
    sheet = replace(base, height=340 if base.narrow else 360)
    least = 0.75 * min(point.pressure, point.needed, point.span[0])
    most = 1.15 * max(point.pressure, point.needed, point.span[1])
    ends = [float(shown(v, PRESSURE, system)) for v in (least, most)]
    x_ticks = nice_ticks(ends[0], ends[1], 4 if base.narrow else 7)
    scale = float(shown(point.rate, RATE, system)) / float(np.sqrt(shown(point.pressure, PRESSURE, system)))
    y_ticks = nice_ticks(0.97 * scale * x_ticks[0] ** 0.5, 1.03 * scale * x_ticks[-1] ** 0.5, 5)
    box = (48.0, 3.3 * sheet.small + 8, 28.0, 2.4 * sheet.body)
    frame = framed(marks, sheet, box, x_ticks, y_ticks, f"manifold pressure, {label(PRESSURE, system)}",
                   f"input rate, {label(RATE, system)}")  # fmt: skip
    _range(marks, frame, sheet, point, system)
    places = np.linspace(x_ticks[0], x_ticks[-1], 60)
    curve = [(frame.x(float(p)), frame.y(scale * float(np.sqrt(p)))) for p in places]
    marks.stroke(curve, colour=BLUE, width=2.6, layer=5)
    _points(marks, frame, sheet, point, system)
    return Picture(marks, sheet, manifold_words(point, system))


def _range(marks: Marks, frame: Frame, sheet: Sheet, point: ManifoldPoint, system: System) -> None:
    low, high = (frame.x(float(shown(v, PRESSURE, system))) for v in point.span)
    corners = [(low, frame.bottom), (high, frame.bottom), (high, frame.top), (low, frame.top)]
    marks.polygon(corners, face=BAND, edge=BAND_EDGE, width=1.2, layer=0)
    x = min(max((low + high) / 2, frame.left + 58), frame.right - 58)
    words = "may be set here"
    marks.label(
        x, frame.bottom + 8, words, sheet.small, colour="#005c45", bold=True, across="center", up="bottom"
    )


def _points(marks: Marks, frame: Frame, sheet: Sheet, point: ManifoldPoint, system: System) -> None:
    def at(pressure: float, rate: float) -> tuple[float, float]:
        return frame.x(float(shown(pressure, PRESSURE, system))), frame.y(float(shown(rate, RATE, system)))

    here, there = at(point.pressure, point.rate), at(point.needed, point.wanted)
    colour = GREEN if point.allowed else GREY
    marks.stroke(
        [(frame.left, there[1]), (frame.right, there[1])], colour=GREY, width=1.2, layer=3, dash=(8, 5)
    )
    over = point.rate >= point.wanted
    above: Literal["top", "bottom"] = "bottom" if over else "top"
    wanted = f"wanted {show(point.wanted, RATE, system, 1)}"
    if over:  # the curve lies above the line at its right end, below it at its left
        marks.label(frame.right - 4, there[1] - 4, wanted, sheet.small, across="right", up="top")
    else:
        marks.label(frame.left + 5, there[1] + 4, wanted, sheet.small, up="bottom")
    between(marks, here, there, colour)
    spot(marks, there, colour, filled=False, layer=8)
    if not point.allowed:
        for sign in (-1, 1):
            ends = [(there[0] - 9, there[1] - 9 * sign), (there[0] + 9, there[1] + 9 * sign)]
            marks.stroke(ends, colour=VERMILLION, width=2.6, layer=10)
    spot(marks, here, VERMILLION, layer=9)
    words = (
        f"now {show(point.rate, RATE, system, 1)} at {show(point.pressure, PRESSURE, system, DIGITS[system])}"
    )
    wide = text_width(words, sheet.small, bold=True)
    x = max(here[0] + 4, frame.left + wide + 4) if over else min(here[0] - 4, frame.right - wide)
    side: Literal["right", "left"] = "right" if over else "left"
    marks.label(x, here[1] + (12 if over else -12), words, sheet.small, bold=True, across=side, up=above)


def manifold_words(point: ManifoldPoint, system: System = "field") -> str:
    """The chart in sentences, for those who do not see it."""
    low, high = (show(v, PRESSURE, system, DIGITS[system]) for v in point.span)
    tail = "within" if point.allowed else "outside"
    return (
        f"Input rate against manifold pressure, a square-root curve. Now {show(point.rate, RATE, system, 1)} at "
        f"{show(point.pressure, PRESSURE, system, DIGITS[system])}. The wanted {show(point.wanted, RATE, system, 1)} would need "
        f"{show(point.needed, PRESSURE, system, DIGITS[system])}, {tail} the range of {low} to {high} that may be set."
    )
