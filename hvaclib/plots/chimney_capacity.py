"""Capacity of a flue against its height, with the present height and input, and the liner that would do."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from hvaclib.plots.axes import finite, framed, nice_ticks
from hvaclib.plots.letters import text_width
from hvaclib.plots.marks import Marks
from hvaclib.plots.picture import Picture
from hvaclib.plots.pointers import Key, key_row, key_rows, spot
from hvaclib.plots.style import BLUE, CHART_SHEETS, GREY, INK, VERMILLION
from hvaclib.units import kinds, label, show, shown

if TYPE_CHECKING:
    from hvaclib.plots.style import System, Width

RATE, LENGTH = kinds.CAPACITY, kinds.LENGTH
LINER = "#00795a"


@dataclass(frozen=True, slots=True)
class CapacityCurves:
    """What the chart needs, in SI.

    Parameters
    ----------
    heights, flue, lined : tuple of float
        m; W at each height of this flue, and of the liner (empty where there is none).
    liner : float or None
        m, its diameter.
    height, rate, capacity : float
        The present height (m), the input (W), and what the flue carries at this height (W).
    """

    heights: tuple[float, ...]
    flue: tuple[float, ...]
    lined: tuple[float, ...]
    liner: float | None
    height: float
    rate: float
    capacity: float

    def __post_init__(self) -> None:
        finite(self.heights, "heights")
        finite(self.flue, "flue")
        finite([self.height, self.rate, self.capacity], "capacity")


def capacity_chart(curves: CapacityCurves, width: Width = "wide", system: System = "field") -> Picture:
    """Capacity over height; the point is the present input at the present height.

    Parameters
    ----------
    curves : CapacityCurves
        Heights and capacities.
    width : {"wide", "narrow"}
        Variant for a desktop column or for a phone.
    system : {"field", "si"}
        Unit system of the axes.

    Returns
    -------
    Picture
        A point below the curve is carried.

    Raises
    ------
    InputError
        From `CapacityCurves`.
    """
    sheet, marks = CHART_SHEETS[width], Marks()
    keys: list[Key] = [("this flue", BLUE, 3.0, None)]
    if curves.liner is not None:
        keys.append(
            (
                f"liner of {show(curves.liner, kinds.SIZE, system, 0)}, water heater alone",
                LINER,
                2.6,
                (9.0, 4.0),
            )
        )
    rows = key_rows(sheet, keys, sheet.width - 70.0)
    foot = (1.5 * rows + 0.6) * sheet.small
    sheet = replace(sheet, height=sheet.height + round(foot))
    most = max(*curves.flue, *curves.lined, curves.rate, curves.capacity)
    x_ticks = nice_ticks(0.0, float(shown(curves.heights[-1], LENGTH, system)), 6)
    y_ticks = nice_ticks(0.0, 1.05 * float(shown(most, RATE, system)), 5)
    frame = framed(marks, sheet, (46.0, 3.4 * sheet.small + foot, 22.0, 2.4 * sheet.body), x_ticks, y_ticks,
                   f"height from the hood to the outlet, {label(LENGTH, system)}", f"input, {label(RATE, system)}")  # fmt: skip

    def at(height: float, rate: float) -> tuple[float, float]:
        return frame.x(float(shown(height, LENGTH, system))), frame.y(float(shown(rate, RATE, system)))

    curve = [
        at(*pair)
        for pair in sorted([*zip(curves.heights, curves.flue, strict=True), (curves.height, curves.capacity)])
    ]
    marks.stroke(curve, colour=BLUE, width=3.0, layer=5)
    if curves.lined:
        pairs = zip(curves.heights, curves.lined, strict=True)
        marks.stroke([at(*pair) for pair in pairs], colour=LINER, width=2.6, layer=5, dash=(9.0, 4.0))
    carried, here = at(curves.height, curves.capacity), at(curves.height, curves.rate)
    marks.stroke(
        [(here[0], frame.bottom), (here[0], frame.top)], colour=GREY, width=1.2, layer=3, dash=(3.0, 5.0)
    )
    spot(marks, carried, BLUE, filled=False)
    spot(marks, here, VERMILLION)
    words = f"input now: {show(curves.rate, RATE, system, 0)}"
    wide = text_width(words, sheet.small, bold=True)
    right = here[0] + 12 + wide > frame.right
    x, low = here[0] + (-12 if right else 12), here[1] <= carried[1]
    marks.label(x, max(here[1] + (-6 if low else 6), frame.bottom + 18), words, sheet.small, bold=True, colour=INK,
                across="right" if right else "left", up="top" if low else "bottom")  # fmt: skip
    key_row(marks, sheet, (46.0, (1.5 * rows - 0.6) * sheet.small), keys, sheet.width - 22.0)
    return Picture(marks, sheet, capacity_words(curves, system))


def capacity_words(curves: CapacityCurves, system: System = "field") -> str:
    """The chart in sentences, for those who do not see it."""
    told = [
        f"Capacity against height. At {show(curves.height, LENGTH, system, 1)} this flue carries "
        f"{show(curves.capacity, RATE, system, 0)}; the input is {show(curves.rate, RATE, system, 0)}.",
        f"From {show(curves.heights[0], LENGTH, system, 0)} to {show(curves.heights[-1], LENGTH, system, 0)} it goes from "
        f"{show(curves.flue[0], RATE, system, 0)} to {show(curves.flue[-1], RATE, system, 0)}.",
    ]
    if curves.liner is not None and curves.lined:
        told.append(
            f"A liner of {show(curves.liner, kinds.SIZE, system, 0)} goes from {show(curves.lined[0], RATE, system, 0)} to "
            f"{show(curves.lined[-1], RATE, system, 0)}."
        )
    return " ".join(told)
