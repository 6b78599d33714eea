"""Draft against time from firing, one line an appliance, with the limit, spillage and the five-minute mark."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np

from hvaclib.errors import InputError
from hvaclib.plots.axes import Frame, finite, framed, nice_ticks, spread
from hvaclib.plots.draft_test import READ_AFTER, SPILLING
from hvaclib.plots.marks import Marks
from hvaclib.plots.picture import Picture
from hvaclib.plots.style import (
    BLUE,
    CHART_SHEETS,
    GREEN,
    GREY,
    INK,
    ORANGE,
    PINK,
    VERMILLION,
)
from hvaclib.units import kinds, label, show, shown

if TYPE_CHECKING:
    import numpy.typing as npt

    from hvaclib.house.warm_up import WarmUp
    from hvaclib.plots.style import Sheet, System, Width

LINES = ((BLUE, None), (VERMILLION, (9.0, 4.0)), (GREEN, (2.0, 4.0)), (PINK, (12.0, 4.0)))


@dataclass(frozen=True, slots=True)
class WarmUpLines:
    """What the chart needs, in SI: time (T,) s, draft (A, T) Pa, spillage (A, T) 0..1, spillage_time (A,) s (inf: never stopped, NaN: never fired)."""

    names: tuple[str, ...]
    time: npt.NDArray[np.float64]
    draft: npt.NDArray[np.float64]
    spillage: npt.NDArray[np.float64]
    spillage_time: npt.NDArray[np.float64]
    limits: tuple[float | None, ...] = ()

    def __post_init__(self) -> None:
        time = finite(self.time, "time")
        for key in ("draft", "spillage"):
            shape = finite(getattr(self, key), key, 2).shape
            if shape != (len(self.names), time.size):
                raise InputError(
                    "the lines do not fit", where=key, given=shape, expected=f"{(len(self.names), time.size)}"
                )
        if len(self.spillage_time) != len(self.names):
            raise InputError(
                "the lines do not fit",
                where="spillage_time",
                given=len(self.spillage_time),
                expected=str(len(self.names)),
            )


def warm_up_chart(lines: WarmUpLines, width: Width = "wide", system: System = "field") -> Picture:
    """Draft against time through warm-up.

    Parameters
    ----------
    lines : WarmUpLines
        One row an appliance.
    width : {"wide", "narrow"}
        Variant for a desktop column or for a phone.
    system : {"field", "si"}
        Unit system of the axis.

    Returns
    -------
    Picture
        Below the curves a strip an appliance shows while it spills.

    Raises
    ------
    InputError
        From `WarmUpLines`.
    """
    sheet, marks = CHART_SHEETS[width], Marks()
    kind = kinds.PRESSURE_DIFFERENCE
    draft = np.asarray(shown(np.asarray(lines.draft, dtype=float), kind, system), dtype=float)
    limits = [None if v is None else float(shown(v, kind, system)) for v in lines.limits] or [None] * len(
        lines.names
    )
    known = [v for v in limits if v is not None]
    ticks = nice_ticks(
        min(draft.min(), -1.0, *known), max(draft.max(), 0.0, *known), 5 if not sheet.narrow else 4
    )
    minutes = nice_ticks(0.0, max(float(lines.time[-1]), 60.0) / 60.0, 6)
    strip = 2.5 * sheet.small
    bottom = 3.0 * sheet.small + 12 + strip * len(lines.names)
    box = (46.0 if sheet.narrow else 58.0, bottom, 12.0 if sheet.narrow else 210.0, 2.9 * sheet.body)
    frame = framed(marks, sheet, box, minutes, ticks, "minutes from firing", f"draft at the test hole, {label(kind, system)} (negative = drawing)"
                   if not sheet.narrow else f"draft, {label(kind, system)} (− = drawing)")  # fmt: skip
    if lines.time[-1] >= READ_AFTER:
        x = frame.x(READ_AFTER / 60.0)
        marks.stroke([(x, frame.bottom), (x, frame.top)], colour=INK, width=1.2, layer=3, dash=(3, 3))
        words = f"{READ_AFTER / 60:g} min: read the draft"
        marks.label(x, frame.top + 4, words, sheet.small, across="right")
    _limits(marks, frame, limits, draft, sheet)
    _curves(marks, frame, lines, draft, sheet, system)
    _strips(marks, frame, lines, strip, sheet)
    return Picture(marks, sheet, warm_up_words(lines, system))


def _limits(
    marks: Marks,
    frame: Frame,
    limits: list[float | None],
    draft: npt.NDArray[np.float64],
    sheet: Sheet,
) -> None:
    """Limits as dashed lines; the word stands at the end that lies farther from every curve."""
    part = max(1, draft.shape[1] // 8)
    for limit in sorted({v for v in limits if v is not None}):
        y = frame.y(limit)
        marks.stroke([(frame.left, y), (frame.right, y)], colour=GREY, width=2.0, layer=4, dash=(14, 5))
        start, end = (float(np.abs(ends - limit).min()) for ends in (draft[:, :part], draft[:, -part:]))
        at_start = start >= end
        x = frame.left + 4 if at_start else frame.right - 4
        across: Literal["left", "right"] = "left" if at_start else "right"
        marks.label(x, y - 3, "limit", sheet.small, bold=True, across=across, up="top")


def _curves(
    marks: Marks,
    frame: Frame,
    lines: WarmUpLines,
    draft: npt.NDArray[np.float64],
    sheet: Sheet,
    system: System,
) -> None:
    """The curves, each with its name at its end (wide) or in a row below the title (narrow)."""
    step = max(1, lines.time.size // 240)
    ends = [frame.y(float(row[-1])) for row in draft]
    heights = spread(ends, 2.5 * sheet.small, frame.bottom + sheet.small, frame.top - 8)
    for i, (name, row) in enumerate(zip(lines.names, draft, strict=True)):
        colour, dash = LINES[i % len(LINES)]
        points = [
            (frame.x(t / 60.0), frame.y(v))
            for t, v in zip(lines.time[::step].tolist(), row[::step].tolist(), strict=True)
        ]
        marks.stroke(points, colour=colour, width=2.8, layer=6, dash=dash)
        if not sheet.narrow:
            x = frame.right + 12
            marks.stroke(
                [(x, heights[i]), (x + 26, heights[i])], colour=colour, width=2.8, layer=6, dash=dash
            )
            marks.label(x + 32, heights[i] + 0.1 * sheet.small, name, sheet.small, bold=True, up="bottom")
            marks.label(
                x + 32,
                heights[i],
                show(float(lines.draft[i][-1]), kinds.PRESSURE_DIFFERENCE, system, 1),
                sheet.small,
                up="top",
            )


def _strips(marks: Marks, frame: Frame, lines: WarmUpLines, height: float, sheet: Sheet) -> None:
    """One strip an appliance, its words above it: a bar with strokes while it spills, over the same time axis."""
    x0, x1 = frame.x(0.0), frame.x(float(lines.time[-1]) / 60.0)
    for i, name in enumerate(lines.names):
        y = height * (len(lines.names) - 1 - i) + 5
        colour, dash = LINES[i % len(LINES)]
        top = y + 0.42 * height
        _bar(marks, (x0, x1, y, top), "#e6eaee", 2)
        middle = (y + top) / 2
        marks.stroke([(8, middle), (frame.left - 8, middle)], colour=colour, width=2.8, layer=6, dash=dash)
        for start, end in _spells(lines.time, lines.spillage[i]):
            a, b = frame.x(start / 60.0), frame.x(end / 60.0)
            _bar(marks, (a, b, y, top), ORANGE, 3)
            for x in np.arange(a + 3, b - 3, 7.0).tolist():
                marks.stroke([(x, y + 1), (min(x + 6, b), top - 1)], colour="#7a4f00", width=0.9, layer=4)
        words = f"{name}: {_spill_words(lines, i)}"
        marks.label(x0, top + 0.3 * sheet.small, words, sheet.small, bold=True)


def _bar(marks: Marks, sides: tuple[float, float, float, float], colour: str, layer: int) -> None:
    left, right, bottom, top = sides
    corners = [(left, bottom), (right, bottom), (right, top), (left, top)]
    marks.polygon(corners, face=colour, edge=colour, width=0.0, layer=layer)


def _spells(time: npt.NDArray[np.float64], spillage: npt.NDArray[np.float64]) -> list[tuple[float, float]]:
    """Start and end of each stretch of spillage, s."""
    spills = np.concatenate([[False], np.asarray(spillage) > SPILLING, [False]])
    edges = np.flatnonzero(spills[1:] != spills[:-1])
    last = time.size - 1
    return [(float(time[a]), float(time[min(b, last)])) for a, b in zip(edges[::2], edges[1::2], strict=True)]


def _spill_words(lines: WarmUpLines, i: int) -> str:
    seconds = float(lines.spillage_time[i])
    if math.isnan(seconds):
        return "not fired"
    if math.isinf(seconds):
        return "spills to the end"
    return f"spills for {seconds:.0f} s" if seconds > 0 else "no spillage"


def warm_up_words(lines: WarmUpLines, system: System = "field") -> str:
    """The text alternative: the draft at the end and the spillage of each appliance."""
    parts = [
        f"{name}: draft {show(float(row[-1]), kinds.PRESSURE_DIFFERENCE, system, 1)} after {lines.time[-1] / 60:.1f} min, "
        f"{_spill_words(lines, i)}"
        for i, (name, row) in enumerate(zip(lines.names, lines.draft, strict=True))
    ]
    return "Draft against time from firing. " + ". ".join(parts) + "."


def lines_of(run: WarmUp, limits: tuple[float | None, ...] = ()) -> WarmUpLines:
    """What the chart shows of a simulated warm-up.

    Parameters
    ----------
    run : WarmUp
        From `hvaclib.house.warm_up`.
    limits : tuple of float or None
        Limit of the draft of each appliance, Pa; none where no rule has one.
    """
    return WarmUpLines(run.appliances, run.time, run.draft, run.spillage, run.spillage_time, limits)
