"""Where the fan curve and the curve of the ducts cross, before and after a change."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from hvaclib.plots.axes import Frame, finite, framed, nice_ticks
from hvaclib.plots.letters import text_width
from hvaclib.plots.marks import Marks
from hvaclib.plots.picture import Picture
from hvaclib.plots.pointers import Key, between, diamond, key_row, key_rows, spot
from hvaclib.plots.style import BLUE, CHART_SHEETS, GREY, INK, PALE, PAPER, VERMILLION
from hvaclib.units import kinds, label, show, shown

if TYPE_CHECKING:
    from collections.abc import Sequence

    import numpy.typing as npt

    from hvaclib.plots.style import Sheet, System, Width

STATIC, FLOW, RISE = kinds.GAUGE_PRESSURE, kinds.VOLUME_FLOW, kinds.TEMPERATURE_DIFFERENCE
DUCTS = "#8a4b00"


@dataclass(frozen=True, slots=True)
class Curve:
    """A curve: its words, airflow (N,) m³/s and static pressure (N,) Pa."""

    words: str
    flow: npt.NDArray[np.float64]
    static: npt.NDArray[np.float64]

    def __post_init__(self) -> None:
        if finite(self.flow, self.words).shape != finite(self.static, self.words).shape:
            finite([], self.words)


@dataclass(frozen=True, slots=True)
class Point:
    """A crossing: airflow m³/s, external static pressure Pa, temperature rise K (NaN where it is not known)."""

    flow: float
    static: float
    rise: float


@dataclass(frozen=True, slots=True)
class FanAndDucts:
    """What the chart needs.

    Parameters
    ----------
    fan, ducts : Curve
        As things stand.
    now : Point
        Where they cross.
    fan_before, ducts_before : Curve or None
        Before the change, where it is another.
    before : Point or None
        The crossing before the change.
    others : sequence of Curve
        The fan's other taps.
    limit : float or None
        Greatest external static pressure on the plate, Pa.
    measured : Point or None
        Where a measured total lies on the fan's curve.
    """

    fan: Curve
    ducts: Curve
    now: Point
    fan_before: Curve | None = None
    ducts_before: Curve | None = None
    before: Point | None = None
    others: Sequence[Curve] = ()
    limit: float | None = None
    measured: Point | None = None


def operating_chart(data: FanAndDucts, width: Width = "wide", system: System = "field") -> Picture:
    """Static pressure against airflow with both curves and their crossing.

    Parameters
    ----------
    data : FanAndDucts
        Curves and points, SI.
    width : {"wide", "narrow"}
        Variant for a desktop column or for a phone.
    system : {"field", "si"}
        Unit system.

    Returns
    -------
    Picture
        Filled point: now; hollow: before. The figures of both stand beside the chart (below it on a phone).

    Raises
    ------
    InputError
        When a curve is not finite or its arrays differ in length.
    """
    base, marks = CHART_SHEETS[width], Marks()
    keys = _keys(data)
    rows = key_rows(base, _all_keys(data), base.width - 20.0)
    foot = 0.0 if not base.narrow else 10.0 + 5.2 * base.body
    sheet = replace(base, height=round((410 if not base.narrow else 330) + 1.5 * base.small * rows + foot))
    head = 2.6 * sheet.body + 1.5 * sheet.small * rows
    x_ticks, y_ticks = _ticks(data, system, 4 if base.narrow else 6)
    box = (52.0 if base.narrow else 62.0, 3.2 * sheet.small + 12 + foot, 22.0 if base.narrow else 228.0, head)
    frame = framed(marks, sheet, box, x_ticks, y_ticks, f"airflow, {label(FLOW, system)}",
                   f"external static pressure, {label(STATIC, system)}")  # fmt: skip
    key_row(marks, sheet, (10.0, sheet.height - 2.35 * sheet.body), keys, sheet.width - 10.0)
    _limit(marks, frame, data, sheet, system)
    _curves(marks, frame, data, sheet, system)
    _points(marks, frame, data, system)
    if base.narrow:
        _figures(marks, data, (8.0, foot + 2), sheet, system, 118.0)
    else:
        _figures(marks, data, (frame.right + 22.0, frame.top - 4), sheet, system, 0.0)
    return Picture(marks, sheet, operating_words(data, system))


def _keys(data: FanAndDucts) -> list[Key]:
    keys: list[Key] = [(data.fan.words, BLUE, 3.0, None), (data.ducts.words, DUCTS, 3.0, None)]
    if data.fan_before is not None:
        keys.append((data.fan_before.words, BLUE, 2.0, (2.0, 4.0)))
    if data.ducts_before is not None:
        keys.append((data.ducts_before.words, DUCTS, 2.0, (2.0, 4.0)))
    if data.others:
        keys.append(("other taps", GREY, 1.2, None))
    return keys


def _all_keys(data: FanAndDucts) -> list[Key]:
    """Every key that a change may bring: their room is kept, so that the picture keeps its height."""
    longest = max((curve.words for curve in (data.fan, *data.others)), key=len)
    words = (data.fan.words, "ducts now", f"before, tap {longest}", "ducts before", "other taps")
    return [(each, GREY, 1.0, None) for each in words]


def _ticks(data: FanAndDucts, system: System, most: int) -> tuple[list[float], list[float]]:
    points = [point for point in (data.now, data.before, data.measured) if point is not None]
    fans = [curve for curve in (data.fan, data.fan_before, *data.others) if curve is not None]
    widest = max(*(float(c.flow.max()) for c in fans), *(p.flow for p in points))
    highest = 1.6 * max(p.static for p in points)
    highest = max(highest, 0.0 if data.limit is None else 1.25 * data.limit)
    highest = min(highest, max(float(c.static.max()) for c in fans) * 1.05)
    x = nice_ticks(0.0, float(shown(1.02 * widest, FLOW, system)), most)
    return x, nice_ticks(0.0, float(shown(highest, STATIC, system)), most)


def _limit(marks: Marks, frame: Frame, data: FanAndDucts, sheet: Sheet, system: System) -> None:
    if data.limit is None:
        return
    y = frame.y(float(shown(data.limit, STATIC, system)))
    marks.stroke([(frame.left, y), (frame.right, y)], colour=INK, width=2.0, layer=4, dash=(14, 5))
    figure = show(data.limit, STATIC, system, 2 if system == "field" else 0)
    words = f"plate {figure}" if sheet.narrow else f"most on the plate, {figure}"
    _patch(marks, frame.left + 6, y + 4, words, sheet.small)
    marks.label(frame.left + 6, y + 4, words, sheet.small, bold=True, up="bottom")


def _patch(marks: Marks, x: float, y: float, words: str, size: float) -> None:
    wide = text_width(words, size, bold=True)
    corners = [(x - 2, y), (x + wide + 2, y), (x + wide + 2, y + 1.1 * size), (x - 2, y + 1.1 * size)]
    marks.polygon(corners, face=PAPER, edge=PAPER, width=0.0, layer=6)


def _curves(marks: Marks, frame: Frame, data: FanAndDucts, sheet: Sheet, system: System) -> None:
    drawn = [(curve, GREY, 1.2, None) for curve in data.others]
    dotted = (2.0, 4.0)
    for before, colour in ((data.fan_before, BLUE), (data.ducts_before, DUCTS)):
        if before is not None:
            _line(marks, frame, before, system, colour, 2.0, dotted)
    for curve, colour, wide, dash in [*drawn, (data.fan, BLUE, 3.0, None), (data.ducts, DUCTS, 3.0, None)]:
        _line(marks, frame, curve, system, colour, wide, dash)
    named = [data.fan, data.ducts, *data.others]
    for curve in data.others:
        wide = text_width(curve.words, sheet.small) + 6
        for share in (0.06, 0.13, 0.2, 0.27, 0.34, 0.41):
            static = share * frame.y_range[1]
            x = frame.x(_flow_at(curve, static, system)) + 5
            crossed = [frame.x(_flow_at(c, static, system)) for c in named if c is not curve]
            if x + wide < frame.right and not any(x - 4 < at < x + wide for at in crossed):
                _patch(marks, x, frame.y(static) - 0.5 * sheet.small, curve.words, sheet.small)
                marks.label(x, frame.y(static), curve.words, sheet.small, colour=GREY, up="center")
                break


def _flow_at(curve: Curve, static: float, system: System) -> float:
    """Airflow of a curve at a static pressure, both in the shown unit."""
    p = np.asarray(shown(curve.static, STATIC, system), dtype=float)
    q = np.asarray(shown(curve.flow, FLOW, system), dtype=float)
    order = np.argsort(p, kind="stable")
    return float(np.interp(static, p[order], q[order]))


def _line(
    marks: Marks, frame: Frame, curve: Curve, system: System, colour: str, wide: float,
    dash: tuple[float, float] | None,
) -> None:  # fmt: skip
    """The part of a curve inside the frame; where it leaves through the top it is cut there."""
    x = np.asarray(shown(curve.flow, FLOW, system), dtype=float)
    y = np.asarray(shown(curve.static, STATIC, system), dtype=float)
    top, right = frame.y_range[1], frame.x_range[1]
    points: list[tuple[float, float]] = []
    for i in range(x.size):
        if y[i] <= top and x[i] <= right:
            if not points and i and y[i - 1] > top:
                points.append(_cut(frame, x[i - 1 : i + 1], y[i - 1 : i + 1], top))
            points.append((frame.x(float(x[i])), frame.y(float(y[i]))))
        elif points:
            if y[i] > top:
                points.append(_cut(frame, x[i - 1 : i + 1], y[i - 1 : i + 1], top))
            break
    if len(points) > 1:
        marks.stroke(points, colour=colour, width=wide, layer=5, dash=dash)


def _cut(
    frame: Frame, x: npt.NDArray[np.float64], y: npt.NDArray[np.float64], top: float
) -> tuple[float, float]:
    share = (top - float(y[0])) / (float(y[1]) - float(y[0]))
    return frame.x(float(x[0]) + share * (float(x[1]) - float(x[0]))), frame.top


def _points(marks: Marks, frame: Frame, data: FanAndDucts, system: System) -> None:
    def at(point: Point) -> tuple[float, float]:
        x, y = float(shown(point.flow, FLOW, system)), float(shown(point.static, STATIC, system))
        return frame.x(x), frame.y(y)

    if data.before is not None:
        between(marks, at(data.before), at(data.now), INK)
        spot(marks, at(data.before), GREY, filled=False, layer=9)
    spot(marks, at(data.now), VERMILLION, radius=7.0, layer=10)
    if data.measured is not None:
        diamond(marks, at(data.measured), VERMILLION, layer=11)


def _figures(
    marks: Marks, data: FanAndDucts, at: tuple[float, float], sheet: Sheet, system: System, across: float
) -> None:  # fmt: skip
    """Airflow, static pressure and rise of each point, below one another or (with ``across``) side by side."""
    x, y = at
    told = [(words, point) for words, point in _told(data) if point is not None]
    for words, point in told:
        if words == "measured":
            diamond(marks, (x + 7, y - 0.45 * sheet.body), VERMILLION)
        else:
            now = words != "before"
            spot(marks, (x + 7, y - 0.45 * sheet.body), VERMILLION if now else GREY, filled=now, layer=9)
        marks.label(x + 20, y, words, sheet.body, bold=True, up="top")
        for k, text in enumerate(point_words(point, system)):
            line = y - (k + 1) * 1.32 * sheet.body
            marks.label(x, line, text, sheet.small if across else sheet.body, up="top")
        x, y = (x + across, y) if across else (x, y - 6.2 * sheet.body)
    if not across:
        marks.stroke([(x - 10, 70), (x - 10, at[1])], colour=PALE, width=1.0, layer=1)


def _told(data: FanAndDucts) -> tuple[tuple[str, Point | None], ...]:
    """The points in the order of their figures."""
    now = "now" if data.measured is None else "computed"
    return (now, data.now), ("before", data.before), ("measured", data.measured)


def point_words(point: Point, system: System) -> list[str]:
    """Airflow, static pressure and rise of a point, one line each."""
    digits = 2 if system == "field" else 0
    lines = [show(point.flow, FLOW, system, 0), show(point.static, STATIC, system, digits)]
    return lines if np.isnan(point.rise) else [*lines, f"{show(point.rise, RISE, system, 0)} rise"]


def operating_words(data: FanAndDucts, system: System = "field") -> str:
    """The chart in sentences, for those who do not see it."""
    told = f"Fan curve ({data.fan.words}) and duct curve cross at {', '.join(point_words(data.now, system))}."
    if data.before is not None:
        told += f" Before the change they crossed at {', '.join(point_words(data.before, system))}."
    if data.measured is not None:
        told += f" Measured: {', '.join(point_words(data.measured, system))}."
    if data.limit is not None:
        side = "above" if data.now.static > data.limit else "not above"
        told += f" That is {side} the most on the plate, {show(data.limit, STATIC, system, 2 if system == 'field' else 0)}."
    return told.replace("..", ".")  # the unit "in. w.c." brings its own full stop
