"""The pressure of a room over the gap of its door: where the trainee stops opening."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

import numpy as np

from hvaclib.errors import InputError
from hvaclib.plots.axes import Frame, finite, framed, nice_ticks
from hvaclib.plots.letters import text_width
from hvaclib.plots.marks import Marks
from hvaclib.plots.picture import Picture
from hvaclib.plots.rooms.bars import BAND, BAND_EDGE
from hvaclib.plots.section.words import pressure_text
from hvaclib.plots.style import BLUE, CHART_SHEETS, INK, Sheet
from hvaclib.units import kinds, label, show, shown

if TYPE_CHECKING:
    import numpy.typing as npt

    from hvaclib.plots.style import System, Width


def gap_curve(
    gaps: npt.ArrayLike,
    pressures: npt.ArrayLike,
    band: tuple[float, float],
    *,
    gap: float,
    pressure: float,
    enough: float | None,
    width: Width = "wide",
    system: System = "field",
) -> Picture:
    """Draw the curve with the band, the present gap and the least gap that is enough.

    Parameters
    ----------
    gaps, pressures : array_like, shape (S,)
        m and Pa.
    band : tuple of float
        Pa that the rule allows.
    gap, pressure : float
        Where the door stands now.
    enough : float or None
        Least gap within the band, m; None where none of the curve is.
    width, system : str
        Variant of the sheet and unit system.

    Returns
    -------
    Picture

    Raises
    ------
    InputError
        If gaps and pressures differ in number, or are not finite.
    """
    xs, ys = finite(gaps, "gaps"), finite(pressures, "pressures")
    if xs.size != ys.size:
        raise InputError(
            "gaps and pressures differ in number", where="pressures", given=ys.size, expected=str(xs.size)
        )
    sheet, marks = CHART_SHEETS[width], Marks()
    across = np.asarray(shown(xs, kinds.SIZE, system), dtype=float)
    at = float(shown(gap, kinds.SIZE, system))
    ends = [float(ys.min()), float(ys.max()), 0.0, pressure, *(end for end in band if end * ys[0] >= 0.0)]
    box = (46.0 if sheet.narrow else 58.0, 3.0 * sheet.small + 10, 22.0, 3.4 * sheet.body)
    frame = framed(
        marks, sheet, box, nice_ticks(0.0, max(float(across.max()), at), 5), nice_ticks(min(ends), max(ends), 5),
        f"gap at the latch side, {label(kinds.SIZE, system)}", "Room pressure over the door's gap, Pa",
    )  # fmt: skip
    _allowed(marks, frame, band, sheet, up=ys[0] >= 0)
    points = [(frame.x(x), frame.y(y)) for x, y in zip(across.tolist(), ys.tolist(), strict=True)]
    marks.stroke(points, colour=BLUE, width=2.6, layer=4)
    told = "no gap drawn is enough"
    if enough is not None:
        told = f"enough at {show(enough, kinds.SIZE, system, 2 if system == 'field' else 0)}"
    if enough:
        x = frame.x(float(shown(enough, kinds.SIZE, system)))
        marks.stroke([(x, frame.bottom), (x, frame.top)], colour=INK, width=1.4, layer=5, dash=(3, 4))
        marks.label(x + 6, frame.top - 4, told, sheet.small, up="top")
    _now(
        marks,
        frame,
        (frame.x(at), frame.y(pressure)),
        f"now {pressure_text(pressure, system)}",
        sheet,
        up=ys[0] >= 0,
    )
    return Picture(
        marks,
        sheet,
        f"Room pressure over the gap at the latch side: {pressure_text(float(ys[0]), system)} with the door shut; {told}; "
        f"now {show(gap, kinds.SIZE, system)} and {pressure_text(pressure, system)}.",
    )


def _allowed(marks: Marks, frame: Frame, band: tuple[float, float], sheet: Sheet, *, up: bool) -> None:
    """The band as far as it shows, with its name on the side that the curve leaves free."""
    low, high = (min(max(end, frame.y_range[0]), frame.y_range[1]) for end in band)
    bottom, top = frame.y(low), frame.y(high)
    corners = [(frame.left, bottom), (frame.right, bottom), (frame.right, top), (frame.left, top)]
    marks.polygon(corners, face=BAND, edge="none", width=0, layer=0)
    for end in band:
        if frame.y_range[0] < end < frame.y_range[1]:
            y = frame.y(end)
            marks.stroke([(frame.left, y), (frame.right, y)], BAND_EDGE, 1.6, 2, dash=(9, 5))
    middle = (low + high) / 2 if low * high < 0 else (high if up else low) / 2
    marks.label(
        frame.left + 6, frame.y(middle), "allowed", sheet.small, colour=BAND_EDGE, bold=True, up="center"
    )


def _now(marks: Marks, frame: Frame, spot: tuple[float, float], text: str, sheet: Sheet, *, up: bool) -> None:
    """The present point and its words, on the free side of a curve that comes down (or up) to zero."""
    x, y = spot
    marks.polygon([(x + 7, y), (x, y + 7), (x - 7, y), (x, y - 7)], face=INK, edge=INK, layer=6)
    wide = text_width(text, sheet.small, bold=True)
    way = 1.0 if up else -1.0
    room = (y - frame.bottom) if up else (frame.top - y)
    beyond: Literal["top", "bottom"] = "bottom" if up else "top"
    nearer: Literal["top", "bottom"] = "top" if up else "bottom"
    if x - frame.left > wide + 80 and room > 40:
        marks.label(x - 9, y - 13 * way, text, sheet.small, bold=True, across="right", up=nearer)
    elif x + 11 + wide < frame.right:
        marks.label(x + 11, y + 4 * way, text, sheet.small, bold=True, up=beyond)
    else:
        marks.label(x, y + 9 * way, text, sheet.small, bold=True, across="right", up=beyond)
