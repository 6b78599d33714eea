"""The recovery from a setback: temperature of the house against hours since the furnace began."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from hvaclib.errors import InputError
from hvaclib.plots.axes import finite, framed, nice_ticks
from hvaclib.plots.letters import text_width
from hvaclib.plots.marks import Marks
from hvaclib.plots.picture import Picture
from hvaclib.plots.pointers import spot
from hvaclib.plots.style import BLUE, CHART_SHEETS, GREEN, GREY, VERMILLION
from hvaclib.units import kinds, label, show, shown

if TYPE_CHECKING:
    from hvaclib.plots.axes import Frame
    from hvaclib.plots.style import Sheet, System, Width

TEMPERATURE = kinds.TEMPERATURE
HOUR = 3600.0
NEVER = 12.0 * HOUR  # how far the axis goes, at least, where the furnace never gets there


@dataclass(frozen=True, slots=True)
class RecoveryCurve:
    """What the chart needs, in SI.

    Parameters
    ----------
    setback, occupied : float
        Temperature at the start and the one wanted, K.
    final : float
        That the furnace would reach in the end, K.
    constant : float
        Time constant of the house, s, above zero.
    time : float
        Until the occupied temperature, s; infinite where it is never reached.
    available : float
        Time there is, s, above zero.
    """

    setback: float
    occupied: float
    final: float
    constant: float
    time: float
    available: float

    def __post_init__(self) -> None:
        finite([self.setback, self.occupied, self.final, self.constant, self.available], "recovery curve")
        if not (self.constant > 0 and self.available > 0 and self.time >= 0):
            raise InputError(
                "a recovery takes time", where="recovery curve", given=self.time, expected="zero or more"
            )

    @property
    def in_time(self) -> bool:
        """Whether it is warm again in the time there is."""
        return self.time <= self.available * (1 + 1e-9)


def recovery_chart(curve: RecoveryCurve, width: Width = "wide", system: System = "field") -> Picture:
    """Temperature against time, with the occupied temperature and the time there is.

    Parameters
    ----------
    curve : RecoveryCurve
        Temperatures and times.
    width : {"wide", "narrow"}
        Variant for a desktop column or for a phone.
    system : {"field", "si"}
        Unit system of the vertical axis.

    Returns
    -------
    Picture
        Solid until the thermostat is satisfied, flat afterwards.

    Raises
    ------
    InputError
        From `RecoveryCurve`.
    """
    sheet, marks = CHART_SHEETS[width], Marks()
    reach = (
        max(curve.time, curve.available) if math.isfinite(curve.time) else max(NEVER, 1.2 * curve.available)
    )
    x_ticks = nice_ticks(0.0, 1.12 * reach / HOUR, 5 if sheet.narrow else 9)
    times = np.linspace(0.0, x_ticks[-1] * HOUR, 121)
    free = curve.final + (curve.setback - curve.final) * np.exp(-times / curve.constant)
    held = np.where(times < curve.time, free, curve.occupied)
    degrees = [float(v) for v in shown(held, TEMPERATURE, system)]
    wanted = float(shown(curve.occupied, TEMPERATURE, system))
    y_ticks = nice_ticks(min(*degrees, wanted) - 1.0, max(*degrees, wanted) + 1.0, 5)
    box = (48.0, 3.3 * sheet.small + 8, 24.0, 2.4 * sheet.body)
    frame = framed(
        marks,
        sheet,
        box,
        x_ticks,
        y_ticks,
        "hours since the furnace began",
        f"indoors, {label(TEMPERATURE, system)}",
    )
    marks.stroke(
        [(frame.left, frame.y(wanted)), (frame.right, frame.y(wanted))],
        colour=GREY,
        width=1.4,
        layer=3,
        dash=(8, 5),
    )
    path = [(frame.x(t / HOUR), frame.y(d)) for t, d in zip(times.tolist(), degrees, strict=True)]
    marks.stroke(path, colour=BLUE, width=3.0, layer=5)
    _times(marks, frame, sheet, curve, system)
    return Picture(marks, sheet, recovery_words(curve, system))


def _times(marks: Marks, frame: Frame, sheet: Sheet, curve: RecoveryCurve, system: System) -> None:
    """The time there is as an upright line, the end of the recovery as a spot, each with its words."""
    colour = GREEN if curve.in_time else VERMILLION
    wanted = frame.y(float(shown(curve.occupied, TEMPERATURE, system)))
    x = frame.x(curve.available / HOUR)
    marks.stroke(
        [(x, frame.bottom), (x, wanted - 2.4 * sheet.body)], colour=colour, width=2.0, layer=3, dash=(3, 5)
    )
    words = f"there are {curve.available / HOUR:.1f} h"
    side = x + 5 + text_width(words, sheet.small) < frame.right
    marks.label(
        x + 5 if side else x - 5,
        frame.bottom + 6,
        words,
        sheet.small,
        across="left" if side else "right",
        up="bottom",
    )
    begin = f"from {show(curve.setback, TEMPERATURE, system, 1)}"
    occupied = f"occupied {show(curve.occupied, TEMPERATURE, system, 1)}"
    marks.label(frame.left + 5, wanted + 5, occupied, sheet.small, up="bottom")
    start = frame.y(float(shown(curve.setback, TEMPERATURE, system)))
    if wanted - start > 3.0 * sheet.small:
        spot(marks, (frame.left, start), BLUE, filled=False)
        clear = frame.left + 12 + text_width(begin, sheet.small) < x - 3
        marks.label(frame.left + 12 if clear else x + 5, start - 5, begin, sheet.small, up="top")
    told = "never gets there" if math.isinf(curve.time) else f"warm after {curve.time / HOUR:.1f} h"
    wide = text_width(told, sheet.body, bold=True)
    if math.isinf(curve.time):
        marks.label(frame.right - 4, wanted - 5, told, sheet.body, bold=True, across="right", up="top")
        return
    place = frame.x(curve.time / HOUR)
    spot(marks, (place, wanted), colour)
    left = min(max(place + 10, frame.left + 4), frame.right - wide - 4)
    marks.label(left, wanted - 10, told, sheet.body, bold=True, up="top")


def recovery_words(curve: RecoveryCurve, system: System = "field") -> str:
    """The chart in sentences, for those who do not see it."""
    start, wanted, final = (
        show(v, TEMPERATURE, system, 1) for v in (curve.setback, curve.occupied, curve.final)
    )
    if math.isinf(curve.time):
        end = f"It never reaches {wanted}: in the end it would stand at {final}."
    else:
        end = (
            f"It reaches {wanted} after {curve.time / HOUR:.1f} h; there are {curve.available / HOUR:.1f} h."
        )
    return f"Indoor temperature against hours since the furnace began, from {start}. {end}"
