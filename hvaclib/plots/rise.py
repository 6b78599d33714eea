"""Temperature rise against airflow: the nameplate band, the point with its uncertainty, and what moves it as arrows."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from hvaclib.errors import InputError
from hvaclib.plots.axes import Frame, finite, framed, nice_ticks
from hvaclib.plots.letters import Rectangle, text_width
from hvaclib.plots.marks import Marks
from hvaclib.plots.moves import Lane, Move, move_lanes, move_rows, moves_words
from hvaclib.plots.picture import Picture
from hvaclib.plots.pointers import Key, between, error_bar, key_row, key_rows, spot
from hvaclib.plots.style import BLUE, CHART_SHEETS, GREY, INK, VERMILLION
from hvaclib.units import kinds, label, show, shown

if TYPE_CHECKING:
    import numpy.typing as npt

    from hvaclib.plots.style import Sheet, System, Width

RISE, FLOW = kinds.TEMPERATURE_DIFFERENCE, kinds.VOLUME_FLOW
BEFORE: Key = ("before the controls were moved", GREY, 2.0, (2.0, 4.0))
BAND = "#dff0e8"
BAND_EDGE = "#00795a"


@dataclass(frozen=True, slots=True)
class RiseLines:
    """What the chart needs, in SI.

    Parameters
    ----------
    flow : ndarray
        Airflow, m³/s, shape (N,), rising.
    rise, rule, reference : ndarray
        Rise, K, shape (N,): as things stand, by the 1.08 rule, and at the reference.
    point, start : tuple of float
        Airflow and rise as things stand and at the reference, m³/s and K.
    uncertainty : float
        Half width of the bar at the point, K (95 %).
    band : tuple of float or None
        Least and greatest rise on the nameplate, K.
    moves : tuple of Move
        What each control does alone, from the reference.
    words, rule_words : str
        What the curve and the rule's curve are called in the key.
    """

    flow: npt.NDArray[np.float64]
    rise: npt.NDArray[np.float64]
    rule: npt.NDArray[np.float64]
    reference: npt.NDArray[np.float64]
    point: tuple[float, float]
    start: tuple[float, float]
    uncertainty: float
    band: tuple[float, float] | None
    moves: tuple[Move, ...]
    words: str
    rule_words: str

    def __post_init__(self) -> None:
        flow = finite(self.flow, "flow")
        for key in ("rise", "rule", "reference"):
            shape = finite(getattr(self, key), key).shape
            if shape != flow.shape:
                raise InputError("the lines do not fit", where=key, given=shape, expected=str(flow.shape))
        finite([*self.point, *self.start, self.uncertainty], "point")

    @property
    def moved(self) -> bool:
        """Whether the point stands elsewhere than the reference."""
        return any(abs(a - b) > 1e-6 * max(abs(b), 1e-9) for a, b in zip(self.point, self.start, strict=True))


def rise_chart(lines: RiseLines, width: Width = "wide", system: System = "field") -> Picture:
    """Rise against airflow, with the moves of the controls beside it (below it on a phone).

    Parameters
    ----------
    lines : RiseLines
        Curves, points, band and moves.
    width : {"wide", "narrow"}
        Variant for a desktop column or for a phone.
    system : {"field", "si"}
        Unit system of the axes.

    Returns
    -------
    Picture
        The arrows of the moves share the vertical axis with the chart, so that the band can be read for both.

    Raises
    ------
    InputError
        From `RiseLines`.
    """
    base, marks = CHART_SHEETS[width], Marks()
    narrow = base.narrow
    keys = _keys(lines)
    rows = key_rows(base, keys, base.width - 20.0)
    lane = 0.0 if not narrow else 24.0 * len(lines.moves) + 26.0
    sheet = replace(base, height=round((450 if not narrow else 330) + lane + 1.5 * base.small * rows))
    head = 2.6 * sheet.body + 1.5 * sheet.small * rows + (0.0 if narrow else 16.0)
    right = 480.0 if not narrow else 22.0
    x_ticks, y_ticks = _ticks(lines, system, narrow)
    box = (46.0 if narrow else 58.0, 3.2 * sheet.small + 12 + lane, right, head)
    frame = framed(marks, sheet, box, x_ticks, y_ticks, f"airflow, {label(FLOW, system)}",
                   f"temperature rise, {label(RISE, system)}")  # fmt: skip
    shown_keys = (
        keys if lines.moved else keys[:-1]
    )  # the room for all is kept, so that the picture keeps its height
    key_row(marks, sheet, (10.0, sheet.height - 2.35 * sheet.body), shown_keys, sheet.width - 10.0)
    beside = Lane(
        frame.right + 16.0,
        sheet.width - 4.0,
        (frame.bottom, frame.top, *frame.y_range),
        lines.start[1],
        system,
    )
    words = _points(marks, frame, lines, sheet, system)
    _band(marks, frame, lines, sheet, system, 0.0 if narrow else beside.right, words)
    _curves(marks, frame, lines, system)
    if narrow:
        marks.label(8, lane - 2, "what each control does, alone", sheet.small, bold=True, up="center")
        area = (130.0, 4.0, sheet.width - 30.0, lane - 14.0)
        move_rows(marks, area, lines.moves, lines.start[1], frame.y_range, lines.band, system, sheet)
    else:
        marks.label(beside.left, frame.top + 8, "what each control does, alone", sheet.small, bold=True)
        move_lanes(marks, beside, lines.moves, sheet)
    return Picture(marks, sheet, rise_words(lines, system))


def _keys(lines: RiseLines) -> list[Key]:
    return [(lines.words, BLUE, 3.0, None), (lines.rule_words, INK, 1.2, None), BEFORE]


def _ticks(lines: RiseLines, system: System, narrow: bool) -> tuple[list[float], list[float]]:
    places = [float(shown(v, FLOW, system)) for v in (lines.point[0], lines.start[0])]
    most = 4 if narrow else 6
    top = max(lines.point[1] + lines.uncertainty, lines.start[1], *(m.end for m in lines.moves), 1.0)
    top = max(top, 0.0 if lines.band is None else lines.band[1])
    low = min(0.0, lines.point[1] - lines.uncertainty, *(m.end for m in lines.moves))
    y = nice_ticks(float(shown(low, RISE, system)), 1.12 * float(shown(top, RISE, system)), most)
    return nice_ticks(0.55 * min(places), 1.5 * max(places), most), y


def _band(
    marks: Marks, frame: Frame, lines: RiseLines, sheet: Sheet, system: System, right: float, taken: Rectangle
) -> None:  # fmt: skip
    """The nameplate range over the whole width, with its figures where no curve comes."""
    if lines.band is None:
        marks.label(frame.left + 8, frame.bottom + 8, "no rise range on the plate", sheet.small, colour=GREY)
        return
    low, high = (frame.y(float(shown(v, RISE, system))) for v in lines.band)
    end = max(frame.right, right)
    corners = [(frame.left, low), (end, low), (end, high), (frame.left, high)]
    marks.polygon(corners, face=BAND, edge=BAND, width=0.0, layer=0)
    for y in (low, high):
        marks.stroke([(frame.left, y), (end, y)], colour=BAND_EDGE, width=1.6, layer=3, dash=(10, 4))
    figures = [f"{float(shown(v, RISE, system)):.0f}" for v in lines.band]
    words = f"nameplate {figures[0]} to {figures[1]} {label(RISE, system)}"
    wide = text_width(words, sheet.small, bold=True)
    places = [(frame.left + 8, low + 5), (frame.right - 6 - wide, high - 5 - sheet.small), (frame.left + 8, low - 5 - sheet.small),
              (frame.right - 6 - wide, high + 6), (frame.right - 6 - wide, low + 5)]  # fmt: skip
    boxes = [(x, y, x + wide, y + sheet.small) for x, y in places]
    clear = [box for box in boxes if not _crossed(box, frame, lines, system) and not _meet(box, taken)]
    x, y = (clear or boxes)[0][:2]
    marks.label(x, y, words, sheet.small, colour="#005c45", bold=True, up="bottom")


def _meet(a: Rectangle, b: Rectangle) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def _crossed(box: Rectangle, frame: Frame, lines: RiseLines, system: System) -> bool:
    """Whether a curve or a point comes into a rectangle; the curves fall, so that their ends there tell."""
    flow = np.asarray(shown(lines.flow, FLOW, system), dtype=float)
    span = frame.x_range[1] - frame.x_range[0]
    ends = [frame.x_range[0] + (x - frame.left) / (frame.right - frame.left) * span for x in (box[0], box[2])]
    for row in (lines.rise, lines.rule, lines.reference):
        left, right = (frame.y(float(shown(float(np.interp(x, flow, row)), RISE, system))) for x in ends)
        if right - 4 < box[3] and left + 4 > box[1]:
            return True
    spots = [
        (frame.x(float(shown(f, FLOW, system))), frame.y(float(shown(r, RISE, system))))
        for f, r in (lines.point, lines.start)
    ]
    return any(_meet(box, (x - 9, y - 9, x + 9, y + 9)) for x, y in spots)


def _curves(marks: Marks, frame: Frame, lines: RiseLines, system: System) -> None:
    flow = np.asarray(shown(lines.flow, FLOW, system), dtype=float)
    drawn: list[tuple[npt.NDArray[np.float64], str, float, tuple[float, float] | None]]
    drawn = [(lines.rise, BLUE, 3.0, None), (lines.rule, INK, 1.2, None)]
    if lines.moved:
        drawn.insert(0, (lines.reference, GREY, 2.0, (2.0, 4.0)))
    for values, colour, width, dash in drawn:
        y = np.asarray(shown(values, RISE, system), dtype=float)
        points = _clipped(flow, y, frame)
        if len(points) > 1:
            marks.stroke(points, colour=colour, width=width, layer=5, dash=dash)


def _clipped(
    x: npt.NDArray[np.float64], y: npt.NDArray[np.float64], frame: Frame
) -> list[tuple[float, float]]:
    """The part of a falling curve that lies below the top of the frame, started where it comes in."""
    top = frame.y_range[1]
    inside = np.flatnonzero((y <= top) & (x >= frame.x_range[0]) & (x <= frame.x_range[1]))
    points = [(frame.x(float(x[i])), frame.y(float(y[i]))) for i in inside]
    if inside.size and inside[0] > 0 and y[inside[0] - 1] > top:
        i = int(inside[0])
        share = (top - y[i - 1]) / (y[i] - y[i - 1])
        points.insert(0, (frame.x(float(x[i - 1] + share * (x[i] - x[i - 1]))), frame.top))
    return points


def _points(marks: Marks, frame: Frame, lines: RiseLines, sheet: Sheet, system: System) -> Rectangle:
    """The point with its bar, the reference if it is another, the arrow between them; gives back what its words cover."""

    def at(point: tuple[float, float]) -> tuple[float, float]:
        return frame.x(float(shown(point[0], FLOW, system))), frame.y(float(shown(point[1], RISE, system)))

    here, start = at(lines.point), at(lines.start)
    half = float(shown(lines.uncertainty, RISE, system)) / (frame.y_range[1] - frame.y_range[0])
    half *= frame.top - frame.bottom
    error_bar(marks, here[0], here[1] - half, here[1] + half, VERMILLION, layer=7)
    if lines.moved:
        between(marks, start, here)
        spot(marks, start, GREY, filled=False, layer=9)
    spot(marks, here, VERMILLION, layer=10)
    words = f"{show(lines.point[1], RISE, system, 0)} ± {show(lines.uncertainty, RISE, system, 1)}"
    second = f"at {show(lines.point[0], FLOW, system, 0)}"
    wide = max(text_width(words, sheet.body, True), text_width(second, sheet.small))
    place = _free(frame, lines, here, start, half, wide, system)
    side = "left" if place[2] else "right"
    marks.label(place[0], place[1] + 1.25 * sheet.body, words, sheet.body, bold=True, across=side)  # type: ignore[arg-type]
    marks.label(place[0], place[1], second, sheet.small, across=side)  # type: ignore[arg-type]
    left = place[0] if place[2] else place[0] - wide
    return left, place[1] - 4, left + wide, place[1] + 2.2 * sheet.body


def _free(
    frame: Frame, lines: RiseLines, here: tuple[float, float], start: tuple[float, float], half: float, wide: float,
    system: System,
) -> tuple[float, float, bool]:  # fmt: skip
    """Where the point's words stand: above every curve at its right, else below every curve at its left."""
    at = lines.point[0]
    curves = [float(np.interp(at, lines.flow, row)) for row in (lines.rise, lines.rule, lines.reference)]
    edge = [frame.y(float(shown(v, RISE, system))) for v in curves]
    top = max(here[1], *edge) + 12.0
    for y in sorted(frame.y(float(shown(v, RISE, system))) for v in lines.band or ()):
        if top - 6 < y < top + 34:
            top = y + 8.0  # clear of the edge of the band
    if here[0] + 12 + wide < frame.right and top + 36 < frame.top:
        return here[0] + 12.0, top, True
    low = min(here[1], start[1], *edge) - max(half, 0.0) - 44.0
    return here[0] - 12.0, max(low, frame.bottom + 6.0), False


def rise_words(lines: RiseLines, system: System = "field") -> str:
    """The chart in sentences, for those who do not see it."""
    point = f"{show(lines.point[1], RISE, system, 1)} at {show(lines.point[0], FLOW, system, 0)}"
    told = f"Temperature rise against airflow. The point: {point}, uncertainty {show(lines.uncertainty, RISE, system, 1)}."
    if lines.band is None:
        told += " No rise range on the nameplate."
    else:
        low, high = (show(v, RISE, system, 0) for v in lines.band)
        where = "inside" if lines.band[0] <= lines.point[1] <= lines.band[1] else "outside"
        told += f" It lies {where} the nameplate band, {low} to {high}."
    return f"{told} {moves_words(lines.moves, lines.start[1], system)}"
